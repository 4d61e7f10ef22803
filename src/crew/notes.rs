//! What a crew must know beside the list.

use super::{CrewSheet, Datum};
use crate::captions::{Trade, part_of};
use crate::catalogue;
use crate::job::Lies;
use crate::levels::bores;
use crate::levels::falls::leg_is_vertical;
use crate::levels::lies;
use crate::network::PieceIx;
use crate::sheets::{CrewLine, Scene};
use crate::solve::Work;
use crate::takeoff::Phase;
use crate::units::{Length, Printer};

/// What lengths are measured between, and to which face of a wall; that one at a mark is that of the whole
/// pipe, on both its sheets.
pub fn lengths(work: &Work<'_>, sheet: &CrewSheet) -> String {
    let faces = match work.job.practice.faces {
        Some(faces) => format!("walls to {}", faces.words()),
        None => "stud face or finish not stated, ask".to_owned(),
    };
    let marked = match sheet.cut.is_empty() {
        true => "",
        false => ", at a mark of the whole pipe",
    };
    format!("Lengths centre to centre{marked}; {faces}")
}

/// How a benchmark lies against the lowest finished floor, so that one can be checked by the other.
pub fn tie(work: &Work<'_>, datum: &Datum) -> Option<String> {
    let floors = work.job.floors.iter();
    let lowest = floors.reduce(|a, b| if b.level < a.level { b } else { a })?;
    let down = datum.level - lowest.level;
    datum
        .is_benchmark
        .then(|| format!("Finished floor, {}: {}", lowest.name, way(work, down)))
}

/// So far down, or up, from a datum.
fn way(work: &Work<'_>, down: Length) -> String {
    let print = Printer {
        units: work.job.units,
    };
    match down < Length::ZERO {
        true => format!("up {}", print.length(-down)),
        false => format!("{} down", print.length(down)),
    }
}

/// How far down the underside of the slab lies over what is laid below it, so that nothing ends in it.
pub fn slab(work: &Work<'_>, sheet: &CrewSheet) -> Option<String> {
    let part = sheet
        .parts
        .first()
        .filter(|_| sheet.trade == Trade::Drains)?;
    let mut below = sheet.pieces.iter().copied();
    let piece = below.find(|p| Phase::of(work, *p) == Phase::Underground)?;
    let (Lies::UnderSlab, floor) = lies(work.job, work.net, piece, 0)? else {
        return None;
    };
    let floor = work.job.floors.get(floor.0)?;
    let down = part.datum.level - (floor.level - floor.slab?);
    Some(format!("Underside of the slab: {}", way(work, down)))
}

/// What the levels of a sheet are measured from, in words: of vents all that is said lies over it.
pub fn measured(sheet: &CrewSheet) -> String {
    let words = sheet.parts.first().map_or("", |p| p.datum.words.as_str());
    let mut rows = sheet.parts.iter().flat_map(|p| &p.set_out);
    match sheet.trade {
        Trade::Vents if rows.all(|r| r.height.is_none()) => "Heights: where they go on".to_owned(),
        Trade::Drains => format!("Levels down from: {words}"),
        Trade::Vents => format!("Heights over: {words}"),
    }
}

/// What the marks beside tags and sizes say, of those that a sheet has.
pub fn letters(scene: &Scene, list: &[CrewLine]) -> Vec<String> {
    const ALL: [(&str, &str); 4] = [
        ("*", "* proposed, not on the plan"),
        ("(C)", "(C) changed on site, as built"),
        ("(E)", "(E) existing"),
        ("(F)", "(F) future"),
    ];
    let drawn = scene.items.iter().flat_map(|i| &i.texts);
    let drawn = drawn.map(|t| t.text.as_str());
    let noted = scene.notes.iter().map(|(_, words)| words.as_str());
    let listed = list.iter().flat_map(|line| match line {
        CrewLine::Place(p) => vec![p.key.as_str(), p.fitting.as_str()],
        CrewLine::Heading(words) | CrewLine::Note(words) | CrewLine::Step(words, _) => {
            vec![words.as_str()]
        }
    });
    let words: Vec<&str> = drawn.chain(noted).chain(listed).collect();
    let stands = |(mark, _): &&(&str, &str)| words.iter().any(|w| w.contains(mark));
    let said = ALL.iter().filter(stands);
    said.map(|(_, meaning)| (*meaning).to_owned()).collect()
}

/// How far the job's marks go that its boxes are ticked by: the last of their dates.
pub fn ticked(work: &Work<'_>, list: &[CrewLine]) -> Option<String> {
    let any = list.iter().any(|line| match line {
        CrewLine::Place(place) => place.done,
        CrewLine::Step(_, done) => *done,
        CrewLine::Heading(_) | CrewLine::Note(_) => false,
    });
    let marks = work.job.progress.iter().filter(|_| any);
    let last = marks
        .filter_map(|p| p.date.as_ref())
        .map(|d| &d.value)
        .max();
    last.map(|date| format!("Ticked: as the job marks it, to {date}"))
}

/// That tops of pipes are not known, where inverts are.
pub fn no_tops(sheet: &CrewSheet) -> Option<String> {
    let rows = sheet.parts.iter().flat_map(|p| &p.set_out);
    let mut laid = rows.filter(|r| r.drop.is_some() && r.high.invert.is_some());
    let missing = laid.any(|r| r.high.top.is_none());
    missing.then(|| "Top of pipe: outside not in the catalogue, measure it".to_owned())
}

/// Which level pipes of a sheet go off to a side that nobody stated, by their fixture or run: it is
/// drawn to the side that suits the sheet.
pub fn sides(work: &Work<'_>, sheet: &CrewSheet) -> Option<String> {
    /// So many are named.
    const NAMED: usize = 4;
    if sheet.trade == Trade::Vents {
        return None;
    }
    let net = work.net;
    let level = |piece: &PieceIx| {
        let legs = net.graph.edge_weight(*piece).map(|p| p.legs.iter());
        legs.into_iter()
            .flatten()
            .filter(|l| !leg_is_vertical(l))
            .map(|l| l.heading.is_some())
            .collect::<Vec<bool>>()
    };
    if !sheet.pieces.iter().flat_map(level).any(|stated| stated) {
        let any = sheet.pieces.iter().flat_map(level).next().is_some();
        return any.then(|| "No side is stated: drawn as it suits the sheet, ask".to_owned());
    }
    let mut names: Vec<&str> = Vec::new();
    for piece in &sheet.pieces {
        let run = net.graph.edge_weight(*piece).map(|p| p.run.0);
        let run = run.and_then(|r| net.runs.get(r));
        let name = part_of(net, *piece).or(run.map(|r| r.id.as_str()));
        if level(piece).iter().any(|stated| !stated) {
            names.extend(name.filter(|n| !names.contains(n)));
        }
    }
    let more = names.len().saturating_sub(NAMED);
    let mut said = names
        .iter()
        .take(NAMED)
        .copied()
        .collect::<Vec<_>>()
        .join(", ");
    if more > 0 {
        said += &format!(" and {more} more");
    }
    (!names.is_empty()).then(|| format!("Side not stated, drawn as it suits, ask: {said}"))
}

/// What is printed on pipe that is sold by its outside diameter.
pub fn sold_as(work: &Work<'_>, sheet: &CrewSheet) -> Option<String> {
    let pipes = sheet.pieces.iter().filter_map(|p| {
        let made_of = bores::material(work.job, work.net, *p);
        Some((made_of, work.size(*p)?))
    });
    Some(format!("On the pipe: {}", catalogue::sold_as(pipes)?))
}

/// The usual cautions of a sheet's work.
pub fn caution(work: &Work<'_>, sheet: &CrewSheet) -> String {
    let below = (sheet.pieces.iter()).any(|p| Phase::of(work, *p) == Phase::Underground);
    let own = match (sheet.trade, below) {
        (Trade::Drains, true) => "call before you dig; shore or slope the trench.",
        (Trade::Drains, false) => "fresh air where you glue; cut no member without leave.",
        (Trade::Vents, _) => "tie off on the roof; tie the ladder.",
    };
    format!("Caution: {own} Local code and the licensed plumber decide.")
}
