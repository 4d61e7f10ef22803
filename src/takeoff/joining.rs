//! Joints to be made, and what makes them.

use std::collections::BTreeMap;

use super::fittings::cleaned;
use super::model::{By, JoiningLine};
use super::phase::{at, laid, material};
use super::pipes::{stock, whole};
use crate::catalogue;
use crate::network::{JointIx, JointKind};
use crate::solve::Work;
use crate::units::PipeSize;

/// Joints by material and size: one at each end of a pipe at a fitting, two at each bend within a
/// pipe, and the couplings between lengths of pipe that is longer than they are.
pub(super) fn joining(work: &Work<'_>) -> Vec<JoiningLine> {
    let stock = stock(work.job).length;
    let mut all: BTreeMap<(&str, PipeSize), (usize, u64)> = BTreeMap::new();
    for piece in laid(work) {
        let Some(size) = work.size(piece) else {
            continue;
        };
        let made_of = material(work, piece);
        let bends = work.solution.fittings.bends.get(&piece).map_or(0, Vec::len);
        let lengths = work.length(piece).map_or(0, |l| whole(l, stock));
        let ends = work.net.graph.edge_endpoints(piece);
        let ends = ends.map_or(0, |(a, b)| {
            [a, b].into_iter().filter(|j| joined(work, *j)).count()
        });
        let sum = all.entry((made_of, size)).or_default();
        sum.0 += ends + 2 * bends;
        sum.1 += lengths.saturating_sub(1);
    }
    // A cleanout beside another fitting stands in the pipe by itself, with a joint at either side.
    for i in work.solution.fittings.beside.keys() {
        let piece = cleaned(work, *i);
        let joint = work.net.cleanouts.get(*i).map(|c| c.joint);
        let fitted = joint.is_some_and(|j| work.solution.fittings.joints.contains_key(&j));
        if let Some((piece, size)) = piece.and_then(|p| Some((p, work.size(p)?))) {
            let made_of = material(work, piece);
            // At an exit what goes on beyond it is laid by others.
            let joints = if fitted { 2 } else { 1 };
            all.entry((made_of, size)).or_default().0 += joints;
        }
    }
    let line = |((made_of, size), (at_fittings, between)): ((&str, PipeSize), _)| JoiningLine {
        material: made_of.to_owned(),
        size,
        by: by(made_of),
        at_fittings,
        between,
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

fn by(made_of: &str) -> By {
    match catalogue::material(made_of) {
        Some(m) if m.contains("no-hub") => By::Coupling,
        Some(m) if m.contains("copper") => By::Solder,
        Some(_) => By::Cement,
        // Of what the catalogue has no table of the job's own words may say it.
        None if made_of.to_lowercase().contains("ring seal") => By::RingSeal,
        None => By::Unknown,
    }
}
