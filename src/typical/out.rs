//! What of the whole network is not drawn.

use std::collections::BTreeSet;

use super::Typical;
use super::owners::Owners;
use crate::job::FloorIx;
use crate::network::{JointIx, Network, PieceIx, RunIx, TrapIx};

/// What of the whole network is not drawn, because it is built like something that is.
#[derive(Clone, Debug, Default)]
pub struct Out {
    /// Joints.
    pub joints: BTreeSet<JointIx>,
    /// Pipes; those drawn in place of several are not among them.
    pub pieces: BTreeSet<PieceIx>,
    /// Traps.
    pub traps: BTreeSet<TrapIx>,
    /// Names of fixtures and of whole runs.
    pub names: BTreeSet<String>,
    /// The lowest pipe of each stack drawn on each of its floors that is left out.
    pub storeys: Vec<(RunIx, FloorIx, PieceIx)>,
}

impl Out {
    pub(super) fn of(typical: &Typical, whole: &Network, owners: &Owners) -> Out {
        let like: BTreeSet<RunIx> = typical.like.values().flatten().copied().collect();
        let drawn = &typical.net;
        let mut out = Out::default();
        for joint in whole.graph.node_indices() {
            let of_like = owners
                .of_joint(joint)
                .is_some_and(|o| like.contains(&o.stack));
            if of_like || drawn.graph.node_weight(joint).is_none() {
                out.joints.insert(joint);
            }
        }
        for piece in whole.graph.edge_indices() {
            let ends = drawn.graph.edge_endpoints(piece);
            let there = ends.is_some_and(|(a, b)| {
                [a, b].iter().all(|j| !out.joints.contains(j))
                    || typical.as_drawn.contains_key(&piece)
            });
            if !there {
                out.pieces.insert(piece);
            }
        }
        for (i, trap) in whole.traps.iter().enumerate() {
            let over = trap.over.and_then(|o| whole.traps.get(o.0));
            let joint = trap.joint.or(over.and_then(|o| o.joint));
            if joint.is_some_and(|j| out.joints.contains(&j)) {
                out.traps.insert(TrapIx(i));
                // An indirect waste goes by the name of what it stands over.
                out.names.extend(joint.map(|j| whole.graph[j].id.clone()));
            }
        }
        let gone = whole
            .runs
            .iter()
            .filter(|r| !r.pieces.is_empty() && r.pieces.iter().all(|p| out.pieces.contains(p)));
        out.names.extend(gone.map(|r| r.id.clone()));
        for (stack, ranges) in typical.ranges.iter().filter(|(s, _)| !like.contains(s)) {
            let mut last = None;
            for &piece in whole.runs.get(stack.0).map_or(&[][..], |r| &r.pieces) {
                let floor = whole.from(piece).and_then(|j| owners.of_joint(j)?.floor);
                let within = |f: &FloorIx| ranges.iter().any(|r| (r.first..=r.last).contains(f));
                if let Some(f) = floor.filter(within)
                    && last != Some(f)
                {
                    out.storeys.push((*stack, f, piece));
                    last = Some(f);
                }
            }
        }
        out
    }

    /// Whether an id is of something that is not drawn, or of a part of it.
    pub fn is_of(&self, id: &str) -> bool {
        let ends = id.match_indices('.').map(|(i, _)| i).chain([id.len()]);
        ends.filter_map(|i| id.get(..i))
            .any(|part| self.names.contains(part))
    }
}
