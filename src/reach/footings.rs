//! Footings that a drain passes as it is laid, and no longer when it is laid again.

use super::Work;
use crate::levels::{FootingAt, Passes};
use crate::network::RunIx;

/// The first footing on the way from a run of the job laid again down to its exit that the drains
/// pass now, and would then go through or into.
pub(super) fn no_longer_passed(now: &Work<'_>, again: &Work<'_>, run: RunIx) -> Option<String> {
    let way = runs_down(again, run);
    let then = again.solution.levels.footings.iter();
    let blocked = then.zip(&now.solution.levels.footings).find(|(then, now)| {
        let run = then
            .piece
            .and_then(|p| again.net.graph.edge_weight(p))
            .map(|p| p.run);
        run.is_some_and(|r| way.contains(&r)) && clear(&now.passes) && !clear(&then.passes)
    });
    blocked.and_then(|(then, _)| match then.at {
        FootingAt::Exit(i) => Some(format!("at {}", now.job.exits.get(i)?.name)),
        FootingAt::Footing(i) => Some(now.job.footings.get(i)?.name.clone()),
    })
}

fn clear(passes: &Passes) -> bool {
    matches!(
        passes,
        Passes::Under { .. } | Passes::Over { .. } | Passes::Unknown(_)
    )
}

/// A run and those that its water goes through.
fn runs_down(work: &Work<'_>, run: RunIx) -> Vec<RunIx> {
    let net = work.net;
    let mut way = vec![run];
    let mut at = run;
    while let Some(first) = net.runs.get(at.0).and_then(|r| r.pieces.first())
        && let Some(below) = net.to(*first).and_then(|j| net.downstream(j))
        && let Some(piece) = net.graph.edge_weight(below)
        && !way.contains(&piece.run)
    {
        at = piece.run;
        way.push(at);
    }
    way
}
