//! What is set out on a sheet of vents: each place where they meet, turn or end, from the lowest up.

use std::collections::{BTreeMap, BTreeSet};

use super::set_out::named;
use super::{Datum, End, Height, SetOut, Shown};
use crate::captions::numbered;
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
        let row = |piece| {
            let (from, length) = self.way(piece);
            SetOut {
                joint,
                key: key.clone(),
                fitting: fitting.clone(),
                pipe: Some(piece),
                from,
                size: self.work.size(piece),
                length,
                bends: Vec::new(),
                past: None,
                drop: None,
                low: End::default(),
                high: End::default(),
                height: self.height(joint),
                done: self.work.mark(piece).is_some(),
            }
        };
        pipes.map(row).collect()
    }

    /// Where a vent comes from, past places that have no fitting, and how long it is from there.
    fn way(&self, piece: PieceIx) -> (Option<String>, Option<Length>) {
        let net = self.work.net;
        let mut length = self.work.length(piece);
        let mut at = net.from(piece);
        while let Some(joint) = at {
            if let Some(number) = self.numbers.get(&joint) {
                return (Some(numbered(*number)), length);
            }
            let [before] = net.vents_into(joint)[..] else {
                return (Some(net.graph[joint].id.clone()), length);
            };
            length = length.zip(self.work.length(before)).map(|(a, b)| a + b);
            at = net.from(before);
        }
        (None, length)
    }

    fn height(&self, joint: JointIx) -> Option<Height> {
        let Work { net, solution, .. } = *self.work;
        let at = match net.graph[joint].kind {
            JointKind::VentJoint(at) | JointKind::Terminal(at) | JointKind::Valve(at) => at,
            _ => return None,
        };
        let known = self.heights.at(net, &solution.levels.pieces, joint);
        Some(match (at.level, known) {
            (_, Some(level)) => Height::AtLeast(level - self.datum.level),
            (VentLevel::UnderFloor(_), None) => Height::Said("under the floor, over the drain"),
            (VentLevel::UnderCounter(_), None) => Height::Said("as high as the counter lets it"),
            (_, None) => Height::Said("height not known"),
        })
    }
}
