//! Fittings, from the named junctions.

use std::collections::BTreeMap;

use super::model::{FittingLine, FittingTotal};
use super::phase::{Phase, at, laid, material};
use crate::catalogue::{self, Joined};
use crate::codebook::Book;
use crate::fittings::{Does, Fitting};
use crate::network::{PieceIx, State};
use crate::solve::Work;
use crate::units::PipeSize;

/// What a fitting is counted by.
type Kind = (Phase, String, Vec<PipeSize>);

/// Every fitting of the job, by phase, name and sizes.
pub(super) fn fittings(work: &Work<'_>) -> Vec<FittingLine> {
    let mut counted: BTreeMap<Kind, (usize, usize)> = BTreeMap::new();
    let mut add = |(phase, placed), name: &str, sizes: Vec<PipeSize>| {
        let count = counted.entry((phase, name.to_owned(), sizes));
        let count = count.or_default();
        count.0 += 1;
        count.1 += usize::from(placed);
    };
    // The phase of a pipe, and whether it is in place.
    let of = |piece| (Phase::of(work, piece), work.mark(piece).is_some());
    for (joint, fitting) in &work.solution.fittings.joints {
        // A new branch in an old drain takes a new fitting; one among old pipes alone is there.
        let Some(first) = at(work.net, *joint).first().copied() else {
            continue;
        };
        let phase = of(first);
        for (part, sizes) in parts(work.book, fitting) {
            add(phase, part, sizes);
        }
        for bend in fitting.turn.iter().flat_map(|t| bought(work.book, t)) {
            let sizes = fitting.sizes.first().copied().into_iter().collect();
            add(phase, bend, sizes);
        }
        for (large, small) in reducers(fitting) {
            let name = reducer_within(material(work, first));
            add(phase, name, vec![large, small]);
        }
    }
    for (i, fitting) in &work.solution.fittings.beside {
        let Some(piece) = cleaned(work, *i) else {
            continue;
        };
        for (part, sizes) in parts(work.book, fitting) {
            add(of(piece), part, sizes);
        }
    }
    for piece in laid(work) {
        let bends = work.solution.fittings.bends.get(&piece);
        let phase = of(piece);
        let bends = bends.into_iter().flatten();
        for bend in bends.flat_map(|b| bought(work.book, b)) {
            let sizes = work.size(piece).into_iter().collect();
            add(phase, bend, sizes);
        }
    }
    let basins = work.job.basins.len();
    for _ in 0..basins {
        add(
            (Phase::Underground, false),
            "ejector basin with pump, cover and check valve",
            Vec::new(),
        );
    }
    let primed = work.job.fixtures.iter();
    for _ in primed.filter(|f| f.primed_by.is_some() && !f.existing) {
        add((Phase::Drains, false), "trap primer", Vec::new());
    }
    let line = |((phase, name, sizes), (count, in_place))| FittingLine {
        phase,
        name,
        sizes,
        count,
        in_place,
    };
    counted.into_iter().map(line).collect()
}

/// The fittings of all phases together, by name and sizes.
pub(super) fn together(lines: &[FittingLine]) -> Vec<FittingTotal> {
    let mut all: BTreeMap<(&str, &[PipeSize]), (usize, usize)> = BTreeMap::new();
    for line in lines {
        let sum = all.entry((&line.name, &line.sizes)).or_default();
        sum.0 += line.count;
        sum.1 += line.in_place;
    }
    let total = |((name, sizes), (count, in_place)): ((&str, &[PipeSize]), _)| FittingTotal {
        name: name.to_owned(),
        sizes: sizes.to_vec(),
        count,
        in_place,
    };
    all.into_iter().map(total).collect()
}

const REDUCER: &str = "reducer";
/// One that is set into the hub of a fitting.
const BUSHING: &str = "reducing bushing";
/// The same where sockets have ring seals, which no bushing goes into.
const REDUCER_IN_SOCKET: &str = "reducer into a socket";
const ADAPTER: &str = "cleanout adapter with plug";

/// What reduces the hub of a fitting, by the material.
fn reducer_within(made_of: &str) -> &'static str {
    match catalogue::joined(made_of) {
        Joined::RingSeal => REDUCER_IN_SOCKET,
        _ => BUSHING,
    }
}

/// The pipe that a cleanout beside another fitting stands in; none where it is there already.
pub(super) fn cleaned(work: &Work<'_>, cleanout: usize) -> Option<PieceIx> {
    let cleanout = work.net.cleanouts.get(cleanout)?;
    if cleanout.state == State::Existing {
        return None;
    }
    let here = at(work.net, cleanout.joint);
    let own = |p: &&PieceIx| {
        let piece = work.net.graph.edge_weight(**p);
        piece.is_some_and(|p| p.run == cleanout.run)
    };
    here.iter().find(own).or(here.first()).copied()
}

/// How a fitting lies does not matter at the counter: `wye, rolled 45°` is a wye.
fn bought_as(name: &str) -> &str {
    name.split(',').next().unwrap_or(name)
}

/// The parts that are bought for a fitting, each with the sizes that it is bought in: what is set into
/// the branch of another has the branch's own.
fn parts<'a>(
    book: &'a Book,
    fitting: &'a Fitting,
) -> impl Iterator<Item = (&'a str, Vec<PipeSize>)> {
    let parts = bought(book, &fitting.name).into_iter().enumerate();
    parts.map(|(i, part)| match (i, fitting.sizes.as_slice()) {
        (1.., [.., branch]) => (part, bought_in(part, &[*branch])),
        (_, sizes) => (part, bought_in(part, sizes)),
    })
}

/// The sizes that a part is bought in. Where one pipe only goes on as another, the fitting is of
/// the larger, and the reducer is listed by itself.
fn bought_in(part: &str, sizes: &[PipeSize]) -> Vec<PipeSize> {
    match (part, sizes) {
        (REDUCER | BUSHING | REDUCER_IN_SOCKET, _) => sizes.to_vec(),
        // The opening of what it closes.
        (ADAPTER, sizes) => sizes.last().copied().into_iter().collect(),
        // In line, with a cleanout in its branch.
        ("wye", [a, b]) => vec![*a.max(b); 3],
        (_, [a, b]) => vec![*a.max(b)],
        (_, sizes) => sizes.to_vec(),
    }
}

/// The reducers that are set into a fitting: the larger and the smaller size of each.
fn reducers(fitting: &Fitting) -> impl Iterator<Item = (PipeSize, PipeSize)> {
    let own = fitting.reducer.filter(|_| fitting.does != Does::Reduces);
    own.into_iter().chain(fitting.to_vent)
}

/// The joints between the parts that a fitting is made up of, by their sizes: a bend or a plug in its
/// branch, a reducer in its hub.
pub(super) fn within(book: &Book, fitting: &Fitting) -> Vec<PipeSize> {
    let parts = |name| bought(book, name).len();
    let more = parts(&fitting.name).saturating_sub(1);
    let last = fitting.sizes.last().into_iter();
    let mut all: Vec<PipeSize> = last.copied().cycle().take(more).collect();
    let turns = fitting.turn.iter().map(|t| parts(t)).sum();
    let first = fitting.sizes.first().into_iter();
    all.extend(first.copied().cycle().take(turns));
    all.extend(reducers(fitting).map(|(large, _)| large));
    all
}

/// What is bought for a fitting, one or several things.
pub(super) fn bought<'a>(book: &'a Book, name: &'a str) -> Vec<&'a str> {
    let name = bought_as(name);
    let several = book.bought_for(name);
    if !several.is_empty() {
        return several.iter().map(String::as_str).collect();
    }
    // Whatever the book calls the wye.
    if let Some(wye) = name.strip_suffix(" with cleanout") {
        return vec![wye, ADAPTER];
    }
    match name {
        "closet bend and flange" => vec!["closet bend", "closet flange"],
        "cleanout adapter and plug" => vec![ADAPTER],
        "cleanout tee" => vec!["cleanout tee with plug"],
        "two-way cleanout tee" => vec!["two-way cleanout tee", ADAPTER],
        "vent terminal and flashing" => vec!["terminal flashing"],
        plain => vec![plain],
    }
}
