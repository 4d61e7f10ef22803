//! Where each trap stands: its place on a run, its branch, its stack.

use std::collections::BTreeMap;

use crate::job::FloorIx;
use crate::network::draft::Draft;
use crate::network::tree::Tree;
use crate::network::{JointIx, JointKind, Network, RunKind};

/// Where a trap is vented and what its water goes through.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Site {
    /// Where its arm ends.
    pub(crate) fitting: JointIx,
    /// The joint of the run that it drains into (the same, where there is no drop).
    pub(crate) place: JointIx,
    /// That run, and how many joints up it; none in a basin.
    pub(crate) run: Option<(usize, usize)>,
    /// The run by which its water reaches a stack or the building drain; that drain itself, if
    /// it enters there.
    pub(crate) top: Option<usize>,
    /// Its stack.
    pub(crate) stack: Option<usize>,
    /// Its floor.
    pub(crate) floor: FloorIx,
}

/// The sites of all traps that have an arm, by trap.
pub(crate) fn sites(net: &Network, draft: &Draft, tree: &Tree) -> Vec<Option<Site>> {
    let mut on: BTreeMap<JointIx, (usize, usize)> = BTreeMap::new();
    for (r, run) in net.runs.iter().enumerate() {
        for (i, &p) in run.pieces.iter().enumerate() {
            if is_drain(run.kind)
                && let Some(joint) = net.from(p)
            {
                on.insert(joint, (r, i));
            }
        }
    }
    (net.traps.iter().enumerate())
        .map(|(t, trap)| {
            let fitting = trap.vent_fitting?;
            let place = match net.graph.node_weight(fitting)?.kind {
                JointKind::VentFitting => tree.down(fitting)?.1,
                _ => fitting,
            };
            let (top, stack) = reach(net, tree, place);
            Some(Site {
                fitting,
                place,
                run: on.get(&place).copied(),
                top,
                stack,
                floor: draft
                    .fixtures
                    .get(t)
                    .and_then(|f| f.floor)
                    .unwrap_or(FloorIx(0)),
            })
        })
        .collect()
}

/// Whether a run is a drain that things enter.
pub(crate) fn is_drain(kind: RunKind) -> bool {
    matches!(
        kind,
        RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch
    )
}

/// The run by which a joint's water reaches a stack or the building drain, and the stack.
pub(crate) fn reach(net: &Network, tree: &Tree, place: JointIx) -> (Option<usize>, Option<usize>) {
    let mut top = None;
    for run in tree.runs_below(net, place) {
        match net.runs.get(run.0).map(|r| r.kind) {
            Some(RunKind::Stack) => return (top, Some(run.0)),
            Some(RunKind::BuildingDrain) => return (top.or(Some(run.0)), None),
            Some(RunKind::Discharge) | None => break,
            Some(_) => top = Some(run.0),
        }
    }
    (top, None)
}
