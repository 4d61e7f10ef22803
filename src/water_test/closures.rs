//! What is closed before the water goes into the whole.

use super::gather::Gather;
use super::model::{Closing, Closure, Lift};
use crate::network::JointKind;
use crate::solve::Work;
use crate::units::{Length, PipeSize};

/// Every opening below the roof, those of one kind, size and floor together.
pub(super) fn closures(work: &Work<'_>, lifts: &[Lift]) -> Vec<Closure> {
    let net = work.net;
    let mut all = Gather::new(work, |level| head(lifts, level));
    for exit in &net.exits {
        for piece in net.upstream(*exit) {
            all.exit(*exit, piece);
        }
    }
    for lift in lifts.iter().skip(1) {
        let floor = work.job.floors.iter().position(|f| f.name == lift.plug_at);
        for run in stacks_at(work, lift.bottom) {
            all.add((Closing::TestTee, run.1, floor), run.0, Some(lift.bottom));
        }
    }
    for trap in 0..net.traps.len() {
        all.trap(trap);
    }
    for cleanout in 0..net.cleanouts.len() {
        all.cleanout(cleanout);
    }
    for joint in net.graph.node_indices() {
        let Some(node) = net.graph.node_weight(joint) else {
            continue;
        };
        let JointKind::Valve(at) = node.kind else {
            continue;
        };
        for vent in net.vents_into(joint) {
            if let Some(size) = work.size(vent) {
                let floor = at.level.floor().map(|f| f.0);
                all.add((Closing::ValveCap, size, floor), &node.id, None);
            }
        }
    }
    all.done()
}

/// The most head that an opening at a level stands under, in whatever lift.
fn head(lifts: &[Lift], level: Length) -> Option<Length> {
    let over = lifts
        .iter()
        .filter(|l| l.bottom <= level + Length::from_mm(0.5) && level <= l.top);
    over.map(|l| l.top - level).reduce(Length::max)
}

/// The stacks and risers that stand upright at a level, by name, with their size there.
fn stacks_at<'a>(work: &Work<'a>, level: Length) -> Vec<(&'a str, PipeSize)> {
    let net = work.net;
    let mut found: Vec<(&'a str, PipeSize)> = Vec::new();
    for (piece, levels) in &work.solution.levels.pieces {
        let ends = levels.invert_down.zip(levels.invert_up);
        let passes = ends.is_some_and(|(low, high)| low <= level && level < high);
        let upright = levels.fall.is_none();
        let Some(p) = net.graph.edge_weight(*piece).filter(|_| passes && upright) else {
            continue;
        };
        let (Some(run), Some(size)) = (net.runs.get(p.run.0), work.size(*piece)) else {
            continue;
        };
        found.push((run.id.as_str(), size));
    }
    found.sort();
    found.dedup();
    found
}
