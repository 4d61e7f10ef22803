//! What of a part was tested already, as the job says.

use super::model::Tested;
use crate::job::Standing;
use crate::solve::Work;
use crate::standing::stands_for_its_own;
use crate::takeoff::Phase;

/// The test of a part whose drains are all marked as tested: the latest of them. Of no phase: the whole.
pub fn tested(work: &Work<'_>, phase: Option<Phase>) -> Option<Tested> {
    let net = work.net;
    let mine = net.graph.edge_indices();
    let mine = mine.filter(|p| phase.is_none_or(|phase| Phase::of(work, *p) == phase));
    let drains = mine.filter(|p| stands_for_its_own(net, *p));
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
