//! What is set out on a sheet of vents: each place where they meet, turn or end, from the lowest up.

use std::collections::{BTreeMap, BTreeSet};

use super::set_out::named;
use super::{Datum, End, Height, SetOut, Shown};
use crate::captions::numbered;
use crate::job::FloorIx;
use crate::levels::vents::Heights;
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
        ..
    } = *shown;
    let writer = Writer {
        work,
        datum,
        numbers,
        heights: Heights::of(work.job, work.book),
    };
    let ends = pieces.iter().filter(|p| !cut.contains(p));
    let here: BTreeSet<JointIx> = ends
        .filter(|p| {
            let piece = work.net.graph.edge_weight(**p);
            piece.is_some_and(|p| p.system == System::Vent)
        })
        .filter_map(|p| work.net.to(*p))
        .collect();
    let joints = order(work.net, numbers);
    let joints = joints.into_iter().filter(|j| here.contains(j));
    joints.flat_map(|j| writer.rows(j)).collect()
}

struct Writer<'a> {
    work: &'a Work<'a>,
    datum: &'a Datum,
    numbers: &'a BTreeMap<JointIx, usize>,
    heights: Heights,
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
            let (from, length, bends) = self.way(piece);
            SetOut {
                joint,
                key: key.clone(),
                fitting: fitting.clone(),
                pipe: Some(piece),
                from,
                size: self.work.size(piece),
                length,
                lies: None,
                bends,
                past: None,
                drop: None,
                low: End::default(),
                high: End::default(),
                height,
                over: over.clone(),
                done: self.work.mark(piece).is_some(),
            }
        };
        pipes.map(row).collect()
    }

    /// Where a vent comes from, past places that have no fitting, how long it is from there, and the
    /// bends on its way.
    fn way(&self, piece: PieceIx) -> (Option<String>, Option<Length>, Vec<String>) {
        let net = self.work.net;
        let bends = |p: PieceIx| {
            let bends = self.work.solution.fittings.bends.get(&p);
            bends.cloned().unwrap_or_default()
        };
        let mut length = self.work.length(piece);
        let mut passed = bends(piece);
        let mut at = net.from(piece);
        while let Some(joint) = at {
            if let Some(number) = self.numbers.get(&joint) {
                return (Some(numbered(*number)), length, passed);
            }
            let [before] = net.vents_into(joint)[..] else {
                return (Some(net.graph[joint].id.clone()), length, passed);
            };
            length = length.zip(self.work.length(before)).map(|(a, b)| a + b);
            passed.splice(0..0, bends(before));
            at = net.from(before);
        }
        (None, length, passed)
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
