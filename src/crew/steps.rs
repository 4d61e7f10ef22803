//! The steps of a sheet, in the order of the work: from the lowest pipe up.

use super::Step;
use crate::network::{PieceIx, RunKind};
use crate::solve::Work;
use crate::standing::stands_for_its_own;
use crate::takeoff::Phase;
use crate::water_test::{Tested, tested};

/// When a sheet is worked on: what is done once for all of a floor, or of a job, stands on the last
/// sheet of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Last {
    /// Sheets of the same floor follow.
    No,
    /// No other sheet of this floor follows.
    OfFloor,
    /// No other sheet follows at all.
    OfAll,
}

/// What is done below the ground before its pipes are set out.
pub(super) fn trench(work: &Work<'_>, pieces: &[PieceIx]) -> Vec<Step> {
    // What is a fixture's own lies in the trench of the drain that it joins.
    let drains = pieces.iter().copied();
    let drains: Vec<PieceIx> = drains
        .filter(|p| stands_for_its_own(work.net, *p))
        .collect();
    let dug = match drains.as_slice() {
        [] => laid(work, pieces),
        drains => laid(work, drains),
    };
    vec![step("dig, bed to the fall, dig out for hubs", dug)]
}

/// What is done below the ground, or below the floor, once its pipes are set out; `with` is set with
/// them, and `through` are the names of what comes up through the floor from there, with the lengths of
/// its stubs.
pub(super) fn underground(
    work: &Work<'_>,
    pieces: &[PieceIx],
    (with, through): (&[String], &[String]),
    last: Last,
) -> Vec<Step> {
    let laid = laid(work, pieces);
    let tested = tested(work, Some(Phase::Underground));
    // No mark says anything of a primer's tubing or an air gap.
    let mut steps: Vec<Step> = with.iter().map(|words| seen(words)).collect();
    if !through.is_empty() {
        let names = through.join(", ");
        // The test is held on the caps of the stubs.
        let words = format!("sleeve and stub up to the finished floor, cap: {names}");
        steps.push(step(&words, tested.is_some() || laid));
    }
    if last != Last::No {
        steps.push(seen("check the levels again"));
        steps.push(test(tested.as_ref(), work.book.test().is_some()));
        steps.push(seen("inspection before it is covered"));
        steps.push(seen("backfill, not on the pipe alone"));
    }
    steps
}

/// A step of which no mark of the job says that it is done.
fn seen(words: &str) -> Step {
    step(words, false)
}

/// What is done for drains above the ground once they are set out.
pub(super) fn drains(
    work: &Work<'_>,
    pieces: &[PieceIx],
    with: &[String],
    last: Last,
) -> Vec<Step> {
    let laid = laid(work, pieces);
    // No mark says anything of a primer's tubing or an air gap.
    let mut steps: Vec<Step> = with.iter().map(|words| seen(words)).collect();
    steps.push(step("hang and strap", laid));
    if last != Last::No {
        steps.push(seen("check the levels again"));
    }
    steps
}

/// What is done for vents once they are set out; at the end of all, what is done before walls close.
pub(super) fn vents(work: &Work<'_>, pieces: &[PieceIx], last: Last) -> Vec<Step> {
    let laid = laid(work, pieces);
    let mut steps = vec![step("vents drain back: no sags", laid)];
    if last == Last::OfAll {
        steps.push(step("strap, shield plates", laid));
        let whole = work.book.test().is_some_and(|t| t.water.fills_whole());
        let mut whole = test(tested(work, None).as_ref(), whole);
        // What lies below ground has a test of its own.
        if work.book.test().is_some_and(|t| !t.water.fills_whole()) {
            whole.words = format!("above ground: {}", whole.words);
        }
        steps.push(whole);
        steps.push(seen("inspection before walls close"));
    }
    steps
}

/// The test, as the book has it or without; when it was done, and by whom.
fn test(done: Option<&Tested>, planned: bool) -> Step {
    let words = match planned {
        true => "plug, fill, test: test sheet",
        false => "test as the local code says",
    };
    let by = done.into_iter().flat_map(|t| [&t.date, &t.by]);
    let by: Vec<&str> = by.flatten().map(String::as_str).collect();
    let by = match by.is_empty() {
        true => String::new(),
        false => format!(" ({})", by.join(", ")),
    };
    step(&format!("{words}{by}"), done.is_some())
}

/// Whether all of some pipes are marked as laid; the sewer, which others lay, does not count.
fn laid(work: &Work<'_>, pieces: &[PieceIx]) -> bool {
    let mut own = pieces.iter().filter(|p| !is_sewer(work, **p));
    !pieces.is_empty() && own.all(|p| work.mark(*p).is_some())
}

fn step(words: &str, done: bool) -> Step {
    Step {
        words: words.to_owned(),
        done,
    }
}

fn is_sewer(work: &Work<'_>, piece: PieceIx) -> bool {
    let run = work.net.graph.edge_weight(piece).map(|p| p.run.0);
    let run = run.and_then(|r| work.net.runs.get(r));
    run.is_some_and(|r| r.kind == RunKind::Sewer)
}
