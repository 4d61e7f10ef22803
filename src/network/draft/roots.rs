//! What each run is, from where it ends; and runs that go round in a circle.

use super::{Draft, Root};
use crate::network::model::RunKind;

/// Settles the kind of every horizontal run from what it flows into. Stacks keep theirs.
pub(crate) fn settle(draft: &mut Draft) {
    let mut done = vec![false; draft.runs.len()];
    for run in 0..draft.runs.len() {
        // The chain from here down to the first run whose kind its own root decides.
        let mut chain = vec![run];
        while let Some(parent) = chain.last().and_then(|&r| draft.parent(r)) {
            if draft
                .runs
                .get(parent)
                .is_none_or(|p| p.kind == RunKind::Stack)
                || done[parent]
                || chain.len() > draft.runs.len()
            {
                break;
            }
            chain.push(parent);
        }
        for &r in chain.iter().rev() {
            if std::mem::replace(&mut done[r], true) || draft.runs[r].kind == RunKind::Stack {
                continue;
            }
            let kind = match draft.runs[r].root {
                Some(Root::Exit(_)) | None => RunKind::BuildingDrain,
                Some(Root::Basin(_)) => RunKind::BuildingBranch,
                Some(Root::Run(parent)) => match draft.runs.get(parent).map(|p| p.kind) {
                    Some(RunKind::Stack | RunKind::Branch) => RunKind::Branch,
                    _ => RunKind::BuildingBranch,
                },
            };
            draft.runs[r].kind = kind;
        }
    }
}

/// The circles among runs and basins, each as the ids of what is in it, in order of flow.
///
/// `discharge` gives the run that a basin discharges into.
pub(crate) fn circles(draft: &Draft, discharge: &[Option<usize>]) -> Vec<Vec<usize>> {
    let next = |run: usize| match draft.runs.get(run)?.root? {
        Root::Run(r) => Some(r),
        Root::Basin(b) => discharge.get(b).copied().flatten(),
        Root::Exit(_) => None,
    };
    // 0 not seen, else the number of the walk that saw it.
    let mut seen = vec![0usize; draft.runs.len()];
    let mut circles = Vec::new();
    for start in 0..draft.runs.len() {
        let mut at = Some(start);
        while let Some(run) = at {
            let Some(mark) = seen.get_mut(run) else { break };
            if *mark == start + 1 {
                let mut circle = vec![run];
                let mut round = next(run);
                while let Some(r) = round.filter(|&r| r != run) {
                    circle.push(r);
                    round = next(r);
                }
                circles.push(circle);
                break;
            }
            if *mark != 0 {
                break;
            }
            *mark = start + 1;
            at = next(run);
        }
    }
    circles
}
