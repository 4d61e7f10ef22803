//! What differs between the job as built and the job as approved.

use std::collections::{BTreeMap, BTreeSet};

use super::model::{Amount, By, Difference};
use crate::job::{Job, Standing as Is, read_length};
use crate::network::{Network, PieceIx, Run, RunKind};
use crate::result::vent_words;
use crate::solve::Work;
use crate::units::{Fall, Length, PipeSize};

/// Lengths that differ by less than this are the same: less than is printed, in mm.
const FINE: f64 = 0.05;

/// The part that an id is of: what stands before its first point.
pub(super) fn owner(id: &str) -> &str {
    id.split_once('.').map_or(id, |(owner, _)| owner)
}

/// What the marks say themselves, key by key.
pub(super) fn stated(job: &Job) -> Vec<Difference> {
    let text = |span: &std::ops::Range<usize>| {
        let words = job.source.text.get(span.clone()).unwrap_or("");
        let bare = words.replace(['"', '\\', '[', ']', '{', '}'], "");
        Amount::Words(bare.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    let length = |words: &Amount| match words {
        Amount::Words(words) => read_length(words, job.units),
        _ => None,
    };
    // What is a length is printed as one, in the units of the sheets.
    let printed = |key: &str, (approved, now): (Amount, Amount)| {
        let (a, b) = (length(&approved), length(&now));
        let by = a.zip(b).map(|(a, b)| b - a);
        match key {
            "invert" => (
                a.map_or(approved, Amount::Level),
                b.map_or(now, Amount::Level),
                by.map_or(By::Nothing, By::Higher),
            ),
            "arm" | "outlet" | "station" | "length" => (
                a.map_or(approved, Amount::Length),
                b.map_or(now, Amount::Length),
                By::Nothing,
            ),
            _ => (approved, now, By::Nothing),
        }
    };
    let changes = job.progress.iter().filter(|p| p.is == Is::Changed);
    let laid = changes.flat_map(|p| p.laid.iter().map(move |l| (p, l)));
    laid.filter(|(_, l)| !l.same)
        .map(|(p, l)| {
            let approved = l.approved.as_ref().map_or(Amount::Nothing, text);
            let (approved, now, by) = printed(l.key, (approved, text(&l.now)));
            Difference {
                part: (l.on.clone(), None),
                what: format!("stated `{}`", l.key),
                approved,
                now,
                by,
                why: match &p.why {
                    Some(why) => format!("{why} ({})", p.name),
                    None => p.name.clone(),
                },
            }
        })
        .collect()
}

/// Why something of a part differs: the part's own mark, else that it follows from what was changed.
pub(super) fn follows(job: &Job, part: &str) -> String {
    let changed = |p: &&crate::job::Progress| p.laid.iter().any(|l| !l.same);
    let changes: Vec<_> = job.progress.iter().filter(changed).collect();
    let own = changes
        .iter()
        .find(|p| p.laid.iter().any(|l| !l.same && l.on == part));
    let marks: Vec<&str> = match own {
        Some(own) => vec![own.name.as_str()],
        None => changes.iter().map(|p| p.name.as_str()).collect(),
    };
    format!("follows from {}", marks.join(", "))
}

/// What is compared of a pipe.
struct Pipe {
    size: Option<PipeSize>,
    fall: Option<Fall>,
    length: Option<Length>,
    down: Option<Length>,
    up: Option<Length>,
    bends: Vec<String>,
}

fn pipe(work: &Work<'_>, piece: PieceIx) -> Pipe {
    let solution = work.solution;
    let level = solution.levels.pieces.get(&piece);
    let vent = solution.levels.vents.get(&piece).copied();
    Pipe {
        size: solution.sizing.pieces.get(&piece).map(|s| s.size),
        fall: level.and_then(|l| l.fall),
        length: level.and_then(|l| l.length).or(vent),
        down: level.and_then(|l| l.invert_down),
        up: level.and_then(|l| l.invert_up),
        bends: solution
            .fittings
            .bends
            .get(&piece)
            .cloned()
            .unwrap_or_default(),
    }
}

/// Makes the rows.
struct Rows<'a> {
    job: &'a Job,
    all: Vec<Difference>,
}

impl Rows<'_> {
    fn add(&mut self, part: &str, what: &str, (approved, now): (Amount, Amount), by: By) {
        self.all.push(Difference {
            part: (part.to_owned(), None),
            what: what.to_owned(),
            approved,
            now,
            by,
            why: follows(self.job, owner(part)),
        });
    }

    /// One row for places that follow each other.
    fn along(&mut self, (first, last): (&str, &str), what: &str, both: (Amount, Amount), by: By) {
        self.add(first, what, both, by);
        if let Some(row) = self.all.last_mut() {
            row.part.1 = (first != last).then(|| last.to_owned());
        }
    }
}

/// All that differs in what was worked out, run by run.
pub(super) fn followed(approved: &Work<'_>, now: &Work<'_>) -> Vec<Difference> {
    let mut rows = Rows {
        job: now.job,
        all: Vec::new(),
    };
    let old: BTreeMap<&str, PieceIx> = ids(approved.net);
    let own: BTreeMap<&str, PieceIx> = ids(now.net);
    let runs: BTreeSet<&str> = approved.net.runs.iter().map(|r| r.id.as_str()).collect();
    for run in &now.net.runs {
        match runs.contains(run.id.as_str()) {
            true => of_run(&mut rows, (approved, &old), now, run),
            false => rows.add(
                &run.id,
                kind(run),
                (Amount::Nothing, word("there")),
                By::Word("new"),
            ),
        }
    }
    let left: BTreeSet<&str> = now.net.runs.iter().map(|r| r.id.as_str()).collect();
    for run in &approved.net.runs {
        match left.contains(run.id.as_str()) {
            false => rows.add(
                &run.id,
                kind(run),
                (word("there"), Amount::Nothing),
                By::Word("gone"),
            ),
            true => {
                let pieces = run
                    .pieces
                    .iter()
                    .filter_map(|p| approved.net.graph.edge_weight(*p));
                for piece in pieces.filter(|p| !own.contains_key(p.id.as_str())) {
                    rows.add(
                        &piece.id,
                        "pipe",
                        (word("there"), Amount::Nothing),
                        By::Word("gone"),
                    );
                }
            }
        }
    }
    fittings(&mut rows, approved, now);
    vents(&mut rows, approved, now);
    rows.all
}

fn word(word: &str) -> Amount {
    Amount::Words(word.to_owned())
}

fn ids(net: &Network) -> BTreeMap<&str, PieceIx> {
    let pieces = net.graph.edge_indices();
    pieces
        .filter_map(|p| Some((net.graph.edge_weight(p)?.id.as_str(), p)))
        .collect()
}

fn kind(run: &Run) -> &'static str {
    match run.kind {
        RunKind::Stack => "stack",
        RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch => "drain",
        RunKind::Arm => "trap arm",
        RunKind::FixtureDrain => "fixture drain",
        RunKind::Sewer => "sewer",
        RunKind::Discharge => "discharge",
        _ => "vent",
    }
}

/// Sizes, falls and lengths of the pipes of a run, each once for all that follow each other alike,
/// then its inverts.
fn of_run(
    rows: &mut Rows<'_>,
    (approved, old): (&Work<'_>, &BTreeMap<&str, PieceIx>),
    now: &Work<'_>,
    run: &Run,
) {
    let mut both: Vec<(&str, Pipe, Pipe)> = Vec::new();
    for piece in &run.pieces {
        let Some(id) = now.net.graph.edge_weight(*piece).map(|p| p.id.as_str()) else {
            continue;
        };
        match old.get(id) {
            Some(before) => both.push((id, pipe(approved, *before), pipe(now, *piece))),
            None => rows.add(
                id,
                "pipe",
                (Amount::Nothing, word("there")),
                By::Word("new"),
            ),
        }
    }
    let size = |s: Option<PipeSize>| s.map_or(Amount::Nothing, Amount::Size);
    let fall = |f: Option<Fall>| f.map_or(Amount::Nothing, Amount::Fall);
    let sizes = |(_, a, b): &(&str, Pipe, Pipe)| (a.size, b.size);
    for some in both.chunk_by(|x, y| sizes(x) == sizes(y)) {
        if let Some((ends, a, b)) = ends(some).filter(|(_, a, b)| a.size != b.size) {
            let by = compared(a.size, b.size, ["larger", "smaller"]);
            rows.along(ends, "size", (size(a.size), size(b.size)), by);
        }
    }
    let ratio = |f: Option<Fall>| f.map(|f| (f.ratio() * 1e6).round());
    let falls = |(_, a, b): &(&str, Pipe, Pipe)| (ratio(a.fall), ratio(b.fall));
    for some in both.chunk_by(|x, y| falls(x) == falls(y)) {
        let same = |a: &Pipe, b: &Pipe| ratio(a.fall) == ratio(b.fall);
        if let Some((ends, a, b)) = ends(some).filter(|(_, a, b)| !same(a, b)) {
            let by = compared(ratio(a.fall), ratio(b.fall), ["steeper", "flatter"]);
            rows.along(ends, "fall", (fall(a.fall), fall(b.fall)), by);
        }
    }
    for (id, a, b) in both.iter().filter(|(_, a, b)| differ(a.length, b.length)) {
        let length = |l: Option<Length>| l.map_or(Amount::Nothing, Amount::Length);
        let by = a
            .length
            .zip(b.length)
            .map_or(By::Nothing, |(a, b)| By::Longer(b - a));
        rows.add(id, "length", (length(a.length), length(b.length)), by);
    }
    for (id, a, b) in both.iter().filter(|(_, a, b)| a.bends != b.bends) {
        let bends = |b: &[String]| match b {
            [] => Amount::Nothing,
            all => Amount::Words(all.join(", ")),
        };
        rows.add(id, "bends", (bends(&a.bends), bends(&b.bends)), By::Nothing);
    }
    inverts(rows, &both);
}

/// The first and the last of some pipes, and the first as approved and as built.
fn ends<'a>(some: &'a [(&'a str, Pipe, Pipe)]) -> Option<((&'a str, &'a str), &'a Pipe, &'a Pipe)> {
    let ((first, a, b), (last, ..)) = (some.first()?, some.last()?);
    Some(((first, last), a, b))
}

fn compared<T: PartialOrd>(a: Option<T>, b: Option<T>, words: [&'static str; 2]) -> By {
    match a.zip(b) {
        Some((a, b)) if b > a => By::Word(words[0]),
        Some(_) => By::Word(words[1]),
        None => By::Nothing,
    }
}

fn differ(a: Option<Length>, b: Option<Length>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).mm().abs() > FINE,
        (a, b) => a.is_some() != b.is_some(),
    }
}

/// A place along a run: the pipe whose end it is, which end, and its invert in both.
type Place<'a> = (&'a str, &'static str, Option<Length>, Option<Length>);

/// The inverts along a run: one row for all that follow each other with the same difference.
fn inverts(rows: &mut Rows<'_>, both: &[(&str, Pipe, Pipe)]) {
    let first = both
        .first()
        .map(|(id, a, b)| (*id, "invert, lower end", a.down, b.down));
    let ends = both
        .iter()
        .map(|(id, a, b)| (*id, "invert, upper end", a.up, b.up));
    let places: Vec<Place<'_>> = first.into_iter().chain(ends).collect();
    let by = |p: &Place<'_>| p.2.zip(p.3).map(|(a, b)| b - a);
    let alike = |a: &Place<'_>, b: &Place<'_>| match by(a).zip(by(b)) {
        Some((a, b)) => (a - b).mm().abs() <= FINE,
        None => false,
    };
    for some in places.chunk_by(alike) {
        let [first, .., last] = some else {
            if let [(id, what, a, b)] = some
                && differ(*a, *b)
            {
                let level = |l: &Option<Length>| l.map_or(Amount::Nothing, Amount::Level);
                let higher = a.zip(*b).map_or(By::Nothing, |(a, b)| By::Higher(b - a));
                rows.add(id, what, (level(a), level(b)), higher);
            }
            continue;
        };
        if !differ(first.2, first.3) {
            continue;
        }
        let levels = |a: Option<Length>, b: Option<Length>| match a.zip(b) {
            Some((a, b)) => Amount::Levels(a, b),
            None => Amount::Nothing,
        };
        let higher = by(first).map_or(By::Nothing, By::Higher);
        let amounts = (levels(first.2, last.2), levels(first.3, last.3));
        rows.along((first.0, last.0), "inverts", amounts, higher);
    }
}

/// Fittings at joints, and cleanouts.
fn fittings(rows: &mut Rows<'_>, approved: &Work<'_>, now: &Work<'_>) {
    let all = |w: &Work<'_>| {
        let joints = w.solution.fittings.joints.iter();
        let named = joints
            .filter_map(|(j, f)| Some((w.net.graph.node_weight(*j)?.id.clone(), f.name.clone())));
        named.collect::<BTreeMap<String, String>>()
    };
    let (old, new) = (all(approved), all(now));
    let words = |f: Option<&String>| f.map_or(Amount::Nothing, |f| Amount::Words(f.clone()));
    let joints: BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    for joint in joints.into_iter().filter(|j| old.get(*j) != new.get(*j)) {
        let amounts = (words(old.get(joint)), words(new.get(joint)));
        rows.add(joint, "fitting", amounts, By::Nothing);
    }
    let cleanouts = |w: &Work<'_>| {
        let all = w.net.cleanouts.iter().enumerate();
        let sized =
            all.map(|(i, c)| (c.id.clone(), w.solution.fittings.cleanouts.get(&i).copied()));
        sized.collect::<BTreeMap<String, Option<PipeSize>>>()
    };
    let (old, new) = (cleanouts(approved), cleanouts(now));
    let words = |c: Option<&Option<PipeSize>>| match c {
        Some(Some(size)) => Amount::Size(*size),
        Some(None) => word("there"),
        None => Amount::Nothing,
    };
    let ids: BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    for id in ids.into_iter().filter(|c| old.get(*c) != new.get(*c)) {
        let by = match (old.get(id), new.get(id)) {
            (None, _) => By::Word("new"),
            (_, None) => By::Word("gone"),
            _ => By::Nothing,
        };
        rows.add(id, "cleanout", (words(old.get(id)), words(new.get(id))), by);
    }
}

/// How each fixture is vented, and by what.
fn vents(rows: &mut Rows<'_>, approved: &Work<'_>, now: &Work<'_>) {
    let all = |w: &Work<'_>| {
        let traps = w.net.traps.iter();
        let vented = traps.filter_map(|t| {
            let by = t.vent_piece.and_then(|p| w.net.graph.edge_weight(p));
            let by = by.map_or(String::new(), |p| format!(", {}", p.id));
            let name = w.job.fixtures.get(t.fixture)?.name.clone();
            Some((name, format!("{}{by}", vent_words(&t.vent))))
        });
        vented.collect::<BTreeMap<String, String>>()
    };
    let (old, new) = (all(approved), all(now));
    for (name, words) in &new {
        if let Some(before) = old.get(name).filter(|b| *b != words) {
            let amounts = (Amount::Words(before.clone()), Amount::Words(words.clone()));
            rows.add(name, "vent", amounts, By::Nothing);
        }
    }
}
