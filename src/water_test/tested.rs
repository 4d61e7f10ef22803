//! What of a part was tested already, as the job says.

use super::filling::Pipe;
use super::model::Tested;
use crate::job::Standing;
use crate::network::RunKind;
use crate::solve::Work;
use crate::takeoff::Phase;

/// The test of a part whose drains are all marked as tested: the latest of them.
pub(super) fn tested(work: &Work<'_>, pipes: &[Pipe], phase: Option<Phase>) -> Option<Tested> {
    let net = work.net;
    let mine = pipes
        .iter()
        .filter(|p| phase.is_none_or(|phase| p.phase == phase));
    let drains = mine.filter_map(|p| {
        let piece = net.graph.edge_weight(p.piece)?;
        let run = net.runs.get(piece.run.0)?;
        // What is a fixture's own goes with the drain that it joins.
        let own = matches!(
            run.kind,
            RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch | RunKind::Stack
        );
        own.then_some(p.piece)
    });
    let mut last: Option<Tested> = None;
    for piece in drains {
        let mark = work.mark(piece)?;
        if mark.is != Standing::Tested {
            return None;
        }
        let this = Tested {
            date: mark.date.as_ref().map(|d| d.value.clone()),
            by: mark.by.clone(),
        };
        if last.as_ref().is_none_or(|l| this.date > l.date) {
            last = Some(this);
        }
    }
    last
}

/// Every part that the job marks as tested, in words: `main, cafe (2026-12-09, M. Penhale)`.
pub(super) fn marks(work: &Work<'_>) -> Vec<String> {
    let marks = work.job.progress.iter();
    let marks = marks.filter(|p| p.is == Standing::Tested);
    let words = marks.map(|p| {
        let parts: Vec<&str> = p.on.iter().map(|on| on.value.as_str()).collect();
        let date = p.date.as_ref().map(|d| d.value.as_str());
        let more: Vec<&str> = date.into_iter().chain(p.by.as_deref()).collect();
        match more.is_empty() {
            true => parts.join(", "),
            false => format!("{} ({})", parts.join(", "), more.join(", ")),
        }
    });
    words.collect()
}
