//! Joints to be made, and what makes them.

use std::collections::BTreeMap;

use super::fittings::{bought, cleaned, within};
use super::model::JoiningLine;
use super::phase::{at, laid, material};
use super::pipes::{stock, whole};
use super::stretches::stretches;
use crate::catalogue;
use crate::levels::{foot, rises};
use crate::network::{JointIx, JointKind};
use crate::solve::Work;
use crate::units::PipeSize;

/// Joints of pipe of one kind, and those of them that are in place.
#[derive(Default)]
struct Sum {
    at_fittings: usize,
    fitted: usize,
    between: u64,
    coupled: u64,
    unknown: usize,
}

impl Sum {
    fn joints(&mut self, count: usize, placed: bool) {
        self.at_fittings += count;
        self.fitted += if placed { count } else { 0 };
    }

    fn couplings(&mut self, count: u64, placed: bool) {
        self.between += count;
        self.coupled += if placed { count } else { 0 };
    }
}

/// Joints by material and size: one at each end of a pipe at a fitting, two at each bend within a
/// pipe, one where a part is set straight into a fitting; and the couplings between lengths of pipe
/// that is longer than they are, and over what is stubbed up through a slab.
pub(super) fn joining(work: &Work<'_>) -> Vec<JoiningLine> {
    let stock = stock(work.job).length;
    let mut all: BTreeMap<(&str, PipeSize), Sum> = BTreeMap::new();
    for piece in laid(work) {
        let Some(size) = work.size(piece) else {
            continue;
        };
        let made_of = material(work, piece);
        let bends = work.solution.fittings.bends.get(&piece);
        let bends = bends.into_iter().flatten();
        // Each of them has two ends, of several set into one another all but those between.
        let bends: usize = bends.map(|b| bought(work.book, b).len() + 1).sum();
        let placed = work.mark(piece).is_some();
        let sum = all.entry((made_of, size)).or_default();
        sum.joints(bends, placed);
        // The foot of what is stubbed up is made with its stub.
        let foot = foot(work.net, piece).filter(|_| rises(work, piece));
        let ends = work.net.graph.edge_endpoints(piece);
        let ends = ends.into_iter().flat_map(|(a, b)| [a, b]);
        for end in ends.filter(|j| joined(work, *j)) {
            let stubbed = Some(end) == foot && work.stub_mark(piece).is_some();
            sum.joints(1, placed || stubbed);
        }
    }
    // Where a length ends and the next one goes on, and over each stub.
    for stretch in stretches(work) {
        let Some(size) = work.size(stretch.piece) else {
            continue;
        };
        let lengths = stretch.length.map_or(0, |l| whole(l, stock));
        let couplings = lengths.saturating_sub(1) + u64::from(stretch.goes_on);
        let sum = all.entry((stretch.material, size)).or_default();
        sum.couplings(couplings, stretch.placed);
        sum.unknown += usize::from(stretch.length.is_none());
    }
    // What is set straight into a fitting.
    for (joint, fitting) in &work.solution.fittings.joints {
        let Some(piece) = at(work.net, *joint).first().copied() else {
            continue;
        };
        let placed = work.mark(piece).is_some();
        for size in within(work.book, fitting) {
            let sum = all.entry((material(work, piece), size)).or_default();
            sum.joints(1, placed);
        }
    }
    // A cleanout beside another fitting stands in the pipe by itself, with a joint at either side.
    for (i, fitting) in &work.solution.fittings.beside {
        let piece = cleaned(work, *i);
        let joint = work.net.cleanouts.get(*i).map(|c| c.joint);
        let fitted = joint.is_some_and(|j| work.solution.fittings.joints.contains_key(&j));
        if let Some((piece, size)) = piece.and_then(|p| Some((p, work.size(p)?))) {
            let made_of = material(work, piece);
            // At an exit what goes on beyond it is laid by others.
            let joints = if fitted { 2 } else { 1 };
            let placed = work.mark(piece).is_some();
            let sum = all.entry((made_of, size)).or_default();
            sum.joints(joints, placed);
            for size in within(work.book, fitting) {
                let sum = all.entry((made_of, size)).or_default();
                sum.joints(1, placed);
            }
        }
    }
    let line = |((made_of, size), sum): ((&str, PipeSize), Sum)| JoiningLine {
        material: made_of.to_owned(),
        size,
        by: catalogue::joined(made_of),
        at_fittings: sum.at_fittings,
        fitted: sum.fitted,
        between: sum.between,
        coupled: sum.coupled,
        unknown: sum.unknown,
    };
    all.into_iter().map(line).collect()
}

/// Whether pipes end in a fitting there: where one only goes on, nothing is cut.
fn joined(work: &Work<'_>, joint: JointIx) -> bool {
    let fitting = work.solution.fittings.joints.contains_key(&joint);
    let kind = work.net.graph.node_weight(joint).map(|j| j.kind);
    let open = matches!(kind, Some(JointKind::Terminal(_)));
    (fitting && !open) || at(work.net, joint).len() > 2
}
