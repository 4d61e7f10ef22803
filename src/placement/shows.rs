//! What one sheet shows: which stacks between which floors, and whether the building drain.

use super::part::Part;
use crate::job::FloorIx;
use crate::network::{JointKind, RunIx, RunKind};

/// What one sheet shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shows {
    /// Stacks, in the order of the job, each with the lowest and the highest floor at which
    /// something enters it on this sheet.
    pub stacks: Vec<(RunIx, FloorIx, FloorIx)>,
    /// Stacks whose foot stands on the sheet.
    pub feet: Vec<RunIx>,
    /// Whether a building drain, or a branch of one, runs on it.
    pub drain: bool,
}

impl Shows {
    /// What a part shows, in the names of the whole.
    pub fn of(part: &Part) -> Shows {
        let net = &part.net;
        let mut shows = Shows::default();
        for (new, run) in net.runs.iter().enumerate() {
            let Some(whole) = part.run(RunIx(new)) else {
                continue;
            };
            let drains = matches!(run.kind, RunKind::BuildingDrain | RunKind::BuildingBranch);
            shows.drain |= drains && !run.pieces.is_empty();
            if run.kind != RunKind::Stack {
                continue;
            }
            let joints = run.pieces.iter().filter_map(|p| net.from(*p));
            let floors: Vec<FloorIx> = joints.filter_map(|j| part.base.tree.floor(j)).collect();
            if let (Some(low), Some(high)) = (floors.iter().min(), floors.iter().max()) {
                shows
                    .stacks
                    .push((whole, part.floor(*low), part.floor(*high)));
            }
            let foot = run.pieces.first().and_then(|p| net.to(*p));
            if foot.is_some_and(|j| net.graph[j].kind == JointKind::StackBase) {
                shows.feet.push(whole);
            }
        }
        shows.stacks.sort_unstable();
        shows.feet.sort_unstable();
        shows
    }
}
