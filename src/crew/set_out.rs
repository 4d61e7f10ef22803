//! What is set out on a sheet: each place that pipe is laid up to, with its fitting and its levels.

use std::collections::{BTreeMap, BTreeSet};

use super::numbers::walk;
use super::{Datum, Height, SetOut};
use crate::captions::{called, numbered, part_of};
use crate::fittings::Fitting;
use crate::job::{Job, Standing};
use crate::levels::bores::Bores;
use crate::network::{JointIx, JointKind, PieceIx, RunKind};
use crate::sheets::{CrewPlace, Say};
use crate::solve::Work;
use crate::units::{Length, Printer};

/// The places of a sheet in the order of the work. `pieces` are the pipes on it; of those that are
/// `cut` the upper end stands on another sheet.
pub fn set_out(
    work: &Work<'_>,
    datum: &Datum,
    numbers: &BTreeMap<JointIx, usize>,
    pieces: &[PieceIx],
    cut: &BTreeSet<PieceIx>,
) -> Vec<SetOut> {
    let writer = Writer {
        work,
        datum,
        numbers,
        built: built(work.job),
        bores: Bores::new(work.job, work.net),
        print: Printer {
            units: work.job.units,
        },
    };
    let here: BTreeSet<PieceIx> = pieces.iter().copied().collect();
    let mut rows = Vec::new();
    let mut exits = BTreeSet::new();
    for piece in walk(work.net) {
        if !here.contains(&piece) || cut.contains(&piece) {
            continue;
        }
        let Some((from, to)) = work.net.graph.edge_endpoints(piece) else {
            continue;
        };
        if work.net.graph[to].kind == JointKind::Exit && exits.insert(to) {
            rows.push(writer.exit(to, piece));
        }
        if work.net.runs[work.net.graph[piece].run.0].kind != RunKind::Sewer {
            rows.push(writer.row(piece, from));
        }
    }
    rows
}

/// Places as their sheet letters them: rows of one place together.
pub fn places(rows: &[SetOut], say: &Say) -> Vec<CrewPlace> {
    let mut places: Vec<CrewPlace> = Vec::new();
    let mut before: Option<&SetOut> = None;
    for row in rows {
        let same = before.is_some_and(|b| b.key == row.key && row.from.is_some());
        match places.last_mut().filter(|_| same) {
            Some(place) => {
                place.pipes.push(pipe(row, say));
                place.done &= row.done;
            }
            None => places.push(CrewPlace {
                key: row.key.clone(),
                fitting: row.fitting.clone(),
                pipes: vec![pipe(row, say)],
                levels: levels(row, say),
                done: row.done,
            }),
        }
        before = Some(row);
    }
    places
}

/// The pipe up to a place: its size, its length, what it drops.
fn pipe(row: &SetOut, say: &Say) -> String {
    let length = match (row.pipe, row.length) {
        (_, Some(length)) => Some(say.print.length(length)),
        (Some(_), None) => Some("length not known".to_owned()),
        (None, None) => None,
    };
    let drop = row.drop.map(|d| format!("drop {}", say.print.short(d)));
    let words = [Some(say.size(row.size)), length, drop];
    let words: Vec<String> = words.into_iter().flatten().collect();
    let from = row.from.as_ref().map(|f| format!("from {f}: "));
    format!("{}{}", from.unwrap_or_default(), words.join(" · "))
}

/// How far down, or up, a place lies.
fn levels(row: &SetOut, say: &Say) -> String {
    let below = |l: Length| match l < Length::ZERO {
        true => format!("up {}", say.print.length(-l)),
        false => say.print.length(l),
    };
    match row.height {
        Some(Height::AtLeast(up)) => return format!("{} or higher", below(-up)),
        Some(Height::Said(words)) => return words.to_owned(),
        None => {}
    }
    if row.invert.is_none() {
        return "level not known".to_owned();
    }
    let levels = [
        row.invert.map(|l| format!("inv {}", below(l))),
        row.top.map(|l| format!("top {}", below(l))),
    ];
    let levels: Vec<String> = levels.into_iter().flatten().collect();
    levels.join(" · ")
}

/// The parts that the job says are roughed in or tested.
pub(super) fn built(job: &Job) -> BTreeSet<&str> {
    let marks = job.progress.iter();
    let marks = marks.filter(|m| matches!(m.is, Standing::RoughedIn | Standing::Tested));
    marks
        .flat_map(|m| m.on.iter().map(|on| on.value.as_str()))
        .collect()
}

struct Writer<'a> {
    work: &'a Work<'a>,
    datum: &'a Datum,
    numbers: &'a BTreeMap<JointIx, usize>,
    built: BTreeSet<&'a str>,
    bores: Bores<'a>,
    print: Printer,
}

impl Writer<'_> {
    /// The outside face of the wall, where the drain begins.
    fn exit(&self, exit: JointIx, piece: PieceIx) -> SetOut {
        let level = self.work.solution.levels.pieces.get(&piece);
        let invert = level.and_then(|l| l.invert_down);
        let size = self.work.size(piece);
        SetOut {
            key: self.work.net.graph[exit].id.clone(),
            fitting: "outside face of wall".to_owned(),
            pipe: None,
            from: None,
            size,
            length: None,
            drop: None,
            invert: invert.map(|l| self.datum.level - l),
            top: self.top(piece, invert),
            height: None,
            done: part_of(self.work.net, piece).is_some_and(|p| self.built.contains(p)),
        }
    }

    fn row(&self, piece: PieceIx, from: JointIx) -> SetOut {
        let net = self.work.net;
        let levels = self.work.solution.levels.pieces.get(&piece);
        let invert = levels.and_then(|l| l.invert_up);
        let fall = levels.and_then(|l| l.fall);
        let low = levels.and_then(|l| l.invert_down);
        let key = match net.graph[from].kind {
            JointKind::Trap(trap) => net
                .traps
                .get(trap.0)
                .and_then(|t| self.work.job.fixtures.get(t.fixture))
                .map(|f| f.name.clone()),
            _ => self.numbers.get(&from).map(|n| numbered(*n)),
        };
        SetOut {
            key: key.unwrap_or_else(|| net.graph[from].id.clone()),
            fitting: self.fitting(from),
            pipe: Some(piece),
            from: None,
            size: self.work.size(piece),
            length: levels.and_then(|l| l.length),
            drop: fall.and(low.zip(invert)).map(|(low, high)| high - low),
            invert: invert.map(|l| self.datum.level - l),
            top: self.top(piece, invert),
            height: None,
            done: part_of(self.work.net, piece).is_some_and(|p| self.built.contains(p)),
        }
    }

    /// How far down the top of the outside of a pipe lies whose invert is known.
    fn top(&self, piece: PieceIx, invert: Option<Length>) -> Option<Length> {
        let (size, invert) = (self.work.size(piece)?, invert?);
        let outside = self.bores.outside(piece, size)?;
        Some(self.datum.level - (invert - self.bores.wall(piece, size) + outside))
    }

    /// The fitting at a joint with its sizes, what else stands there, and the stack that rises from it.
    fn fitting(&self, joint: JointIx) -> String {
        let net = self.work.net;
        let mut words: Vec<String> = Vec::new();
        if let Some(fitting) = self.work.solution.fittings.joints.get(&joint) {
            words.push(named(fitting, self.print));
        }
        let stack = net.upstream(joint).into_iter().map(|p| net.graph[p].run);
        if net.graph[joint].kind == JointKind::StackBase
            && let Some(stack) = stack.into_iter().find(|r| net.is_stack(*r))
        {
            words.push(format!("stack {}", net.runs[stack.0].id));
        }
        words.extend(
            net.cleanouts
                .iter()
                .filter(|c| c.joint == joint)
                .map(|c| c.id.clone()),
        );
        words.extend(
            net.valves
                .iter()
                .filter(|v| v.joint == joint)
                .map(|v| v.id.clone()),
        );
        if let JointKind::Trap(_) = net.graph[joint].kind {
            words.insert(0, "trap".to_owned());
            words.truncate(1);
        }
        if words.is_empty() {
            words.push("straight on".to_owned());
        }
        words.join(", ")
    }
}

/// A fitting with its sizes.
pub(super) fn named(fitting: &Fitting, print: Printer) -> String {
    let sizes = fitting.sizes.iter();
    let sizes: Vec<String> = sizes
        .map(|s| print.size(*s).replace(['″', '"'], ""))
        .collect();
    let name = called(&fitting.name);
    match sizes.is_empty() {
        true => name,
        false => format!("{name} {}", sizes.join("×").replace("×DN ", "×")),
    }
}
