//! What is set out on a sheet of vents: each place where they meet, turn or end, from the lowest up.

use std::collections::{BTreeMap, BTreeSet};

use super::set_out::named;
use super::{Datum, Framing, Height, SetOut, Shown};
use crate::captions::numbered;
use crate::job::FloorIx;
use crate::levels::vents::Heights;
use crate::levels::{Stub, stub};
use crate::network::{JointIx, JointKind, Network, PieceIx, System, VentLevel};
use crate::solve::Work;
use crate::units::{Length, Printer};

/// The numbers of the joints that a sheet of vents shows: those of the drains that a vent rises from,
/// as the sheets of drains have them, and on from there those of the vents that are drawn.
pub fn vent_numbers(
    work: &Work<'_>,
    drains: &BTreeMap<JointIx, usize>,
    is_drawn: impl Fn(JointIx) -> bool,
) -> BTreeMap<JointIx, usize> {
    let mut numbers: BTreeMap<JointIx, usize> = (drains.iter())
        .filter(|(j, _)| !work.net.vents_from(**j).is_empty())
        .map(|(j, n)| (*j, *n))
        .collect();
    let mut next = drains.values().max().map_or(1, |n| n + 1);
    for joint in order(work.net, drains) {
        let fitted = work.solution.fittings.joints.contains_key(&joint);
        if fitted
            && is_drawn(joint)
            && matches!(work.net.graph[joint].kind, JointKind::VentJoint(_))
        {
            numbers.entry(joint).or_insert_with(|| {
                next += 1;
                next - 1
            });
        }
    }
    numbers
}

/// The joints of the vents as they are built: each after all that comes up to it.
fn order(net: &Network, drains: &BTreeMap<JointIx, usize>) -> Vec<JointIx> {
    let mut starts: Vec<JointIx> = (net.graph.node_indices())
        .filter(|j| net.vents_into(*j).is_empty() && !net.vents_from(*j).is_empty())
        .collect();
    starts.sort_by_key(|j| (drains.get(j).copied().unwrap_or(usize::MAX), *j));
    let mut open: BTreeMap<JointIx, usize> = BTreeMap::new();
    let mut found = Vec::new();
    for start in starts {
        let mut next = vec![start];
        while let Some(joint) = next.pop() {
            for piece in net.vents_from(joint).into_iter().rev() {
                let Some(to) = net.to(piece) else { continue };
                let left = open.entry(to).or_insert_with(|| net.vents_into(to).len());
                *left -= 1;
                if *left == 0 {
                    found.push(to);
                    next.push(to);
                }
            }
        }
    }
    found
}

/// The places of a sheet of vents in the order of the work.
pub fn vents_set_out(work: &Work<'_>, shown: &Shown<'_>) -> Vec<SetOut> {
    let Shown {
        datum,
        numbers,
        pieces,
        cut,
        framing,
        ..
    } = *shown;
    let writer = Writer {
        work,
        framing,
        datum,
        numbers,
        heights: Heights::of(work.job, work.book),
    };
    let is_vent = |p: &&PieceIx| {
        let piece = work.net.graph.edge_weight(**p);
        piece.is_some_and(|p| p.system == System::Vent)
    };
    let (begun, ended): (Vec<PieceIx>, Vec<PieceIx>) =
        (pieces.iter().filter(is_vent)).partition(|p| cut.contains(p));
    let here: BTreeSet<JointIx> = ended.iter().filter_map(|p| work.net.to(*p)).collect();
    let joints = order(work.net, numbers);
    let joints = joints.into_iter().filter(|j| here.contains(j));
    let mut rows: Vec<SetOut> = joints.flat_map(|j| writer.rows(j)).collect();
    // What only begins here has nothing else in the list of its sheet.
    let begun = begun.into_iter().filter_map(|p| writer.begun(p));
    rows.extend(begun);
    rows
}

/// Where most of the places of a sheet of vents are measured from; none where none has a height.
pub fn measured_from(rows: &[SetOut], datum: &Datum) -> Option<Datum> {
    let known = |r: &&SetOut| matches!(r.height, Some(Height::AtLeast(_)));
    let mut each: Vec<(Datum, usize)> = Vec::new();
    for row in rows.iter().filter(known) {
        let own = row.over.clone().unwrap_or_else(|| datum.clone());
        match each.iter_mut().find(|(d, _)| *d == own) {
            Some((_, count)) => *count += 1,
            None => each.push((own, 1)),
        }
    }
    // Of as many the one that is met first, from below.
    let most = each
        .into_iter()
        .reduce(|a, b| if b.1 > a.1 { b } else { a });
    most.map(|(datum, _)| datum)
}

struct Writer<'a> {
    work: &'a Work<'a>,
    framing: &'a Framing,
    datum: &'a Datum,
    numbers: &'a BTreeMap<JointIx, usize>,
    heights: Heights,
}

/// The way of a vent up to a place.
struct Way {
    /// Where it comes from.
    from: Option<String>,
    /// How long it is from there.
    length: Option<Length>,
    /// The bends on it.
    bends: Vec<String>,
    /// Its pipes, from below.
    pieces: Vec<PieceIx>,
}

impl Writer<'_> {
    /// A place, a row for each pipe that comes up to it; none where a vent only goes straight on.
    fn rows(&self, joint: JointIx) -> Vec<SetOut> {
        let Work { net, solution, .. } = *self.work;
        let kind = net.graph[joint].kind;
        let key = match kind {
            JointKind::Terminal(_) => Some("VTR".to_owned()),
            JointKind::Valve(_) => Some(net.graph[joint].id.clone()),
            _ => self.numbers.get(&joint).map(|n| numbered(*n)),
        };
        let (Some(key), Some(fitting)) = (key, solution.fittings.joints.get(&joint)) else {
            return Vec::new();
        };
        let print = Printer {
            units: self.work.job.units,
        };
        let fitting = named(fitting, print);
        let pipes = net.vents_into(joint).into_iter();
        let (height, over) = self.height(joint);
        let row = |piece| {
            let Way {
                from,
                length,
                bends,
                pieces,
            } = self.way(piece);
            SetOut {
                joint,
                key: key.clone(),
                fitting: fitting.clone(),
                pipe: Some(piece),
                from,
                size: self.work.size(piece),
                length,
                stub: pieces.first().and_then(|p| self.stub(*p)),
                holes: self.framing.names(self.work.job, &pieces),
                bends,
                height,
                over: over.clone(),
                done: self.work.mark(piece).is_some(),
                ..SetOut::default()
            }
        };
        pipes.map(row).collect()
    }

    /// A vent that rises from a place of this sheet, and goes on on another.
    fn begun(&self, piece: PieceIx) -> Option<SetOut> {
        let net = self.work.net;
        let joint = net.from(piece)?;
        let number = self.numbers.get(&joint)?;
        Some(SetOut {
            joint,
            key: numbered(*number),
            fitting: "vent, goes on above".to_owned(),
            pipe: Some(piece),
            size: self.work.size(piece),
            length: self.work.length(piece),
            stub: self.stub(piece),
            goes_on: true,
            done: self.work.mark(piece).is_some(),
            ..SetOut::default()
        })
    }

    /// What of a vent was stubbed up from below ground.
    fn stub(&self, piece: PieceIx) -> Option<Length> {
        stub(self.work, piece).map(Stub::whole)
    }

    /// The way of a vent from where it comes, past places that have no fitting.
    fn way(&self, piece: PieceIx) -> Way {
        let net = self.work.net;
        let bends = |p: PieceIx| {
            let bends = self.work.solution.fittings.bends.get(&p);
            bends.cloned().unwrap_or_default()
        };
        let mut way = Way {
            from: None,
            length: self.work.length(piece),
            bends: bends(piece),
            pieces: vec![piece],
        };
        let mut at = net.from(piece);
        while let Some(joint) = at {
            if let Some(number) = self.numbers.get(&joint) {
                way.from = Some(numbered(*number));
                break;
            }
            let [before] = net.vents_into(joint)[..] else {
                way.from = Some(net.graph[joint].id.clone());
                break;
            };
            way.length = (way.length.zip(self.work.length(before))).map(|(a, b)| a + b);
            way.bends.splice(0..0, bends(before));
            way.pieces.insert(0, before);
            at = net.from(before);
        }
        way
    }

    /// How high a place stands, and over what: the floor below it, a terminal over the roof.
    fn height(&self, joint: JointIx) -> (Option<Height>, Option<Datum>) {
        let Work { net, solution, .. } = *self.work;
        let at = match net.graph[joint].kind {
            JointKind::VentJoint(at) | JointKind::Terminal(at) | JointKind::Valve(at) => at,
            _ => return (None, None),
        };
        let known = self.heights.at(net, &solution.levels.pieces, joint);
        let words = match (at.level, known) {
            (_, Some(level)) => {
                let own = self.nearest(at.level, level).filter(|d| d != self.datum);
                let from = own.as_ref().map_or(self.datum.level, |d| d.level);
                return (Some(Height::AtLeast(level - from)), own);
            }
            (VentLevel::UnderFloor(_), None) => "under the floor, over the drain",
            (VentLevel::UnderCounter(_), None) => "as high as the counter lets it",
            (_, None) => "height not known",
        };
        (Some(Height::Said(words)), None)
    }

    /// The roof for what ends over it, else the highest finished floor that lies below a level.
    fn nearest(&self, at: VentLevel, level: Length) -> Option<Datum> {
        let job = self.work.job;
        if let (VentLevel::Roof, Some(roof)) = (at, job.roof.as_ref()) {
            return Some(Datum {
                level: roof.value,
                words: "roof".to_owned(),
                is_benchmark: false,
            });
        }
        let floors = job.floors.iter().enumerate();
        let below = floors.filter(|(_, f)| f.part_of.is_none() && f.level < level);
        let highest = below.reduce(|a, b| if b.1.level > a.1.level { b } else { a })?;
        Some(Datum::of_floor(job, FloorIx(highest.0)))
    }
}
