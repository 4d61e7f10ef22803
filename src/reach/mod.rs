//! How far the end of each drain can still be pushed, with what stands on it: as it is laid, with
//! everything laid again at the book's least falls, and one drain at each legal size and fall.
//!
//! In: a job worked through. Out: [`Reach`] of each end. Promises: every figure comes of a job that
//! was worked through, not of a formula beside it; what is not known has its reason.

mod footings;
mod laid;
mod push;
mod table;

pub use crate::solve::Work;
pub use push::{Push, Stop};
pub use table::{all, one};

use crate::network::{Network, RunIx, RunKind};
use crate::units::{Fall, Length, PipeSize};

/// How far one end can be pushed, in one way of laying it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    /// The drain.
    pub run: String,
    /// How it is laid.
    pub laid: Laid,
    /// Its size at the end.
    pub size: Option<PipeSize>,
    /// Its fall at the end.
    pub fall: Option<Fall>,
    /// How far, and what stops it.
    pub push: Push,
}

/// How the drains are laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Laid {
    /// As the job has it.
    AsItIs,
    /// All at the book's least falls.
    AllAtLeast,
    /// This drain at this size and fall, the rest as the job has it.
    Again,
}

/// The reach of every drain that has an end, in the order of the network: as it is laid, and with
/// all drains laid again at the least falls, where that makes a difference.
pub fn reach(work: &Work<'_>) -> Vec<Reach> {
    let least = laid::at_least(work);
    let runs = (0..work.net.runs.len()).map(RunIx);
    let mut all = Vec::new();
    for run in runs.filter(|r| has_end(work.net, *r)) {
        all.extend(push::of(work, run, Laid::AsItIs));
        let id = &work.net.runs[run.0].id;
        let again = least.as_ref().and_then(|l| {
            let run = l.net.run_by_id(id)?;
            let its = l.work(work.book);
            let mut again = push::of(&its, run, Laid::AllAtLeast)?;
            if let Some(footing) = footings::no_longer_passed(work, &its, run) {
                again.push = Push::By(Length::ZERO, Stop::Footing(footing));
            }
            Some(again)
        });
        // What gains nothing has one line.
        let same = |a: &Reach, b: &Reach| a.push == b.push && a.fall == b.fall && a.size == b.size;
        let gains = again.filter(|again| !all.last().is_some_and(|now| same(now, again)));
        all.extend(gains);
    }
    all
}

/// The reach of one drain of the job at each legal size and fall, as far as it is laid in one size
/// and one fall from end to end.
pub fn of_drain(work: &Work<'_>, drain: &str) -> Vec<Reach> {
    let Some(run) = work.net.run_by_id(drain) else {
        return Vec::new();
    };
    let mut all: Vec<Reach> = push::of(work, run, Laid::AsItIs).into_iter().collect();
    all.extend(laid::each(work, drain));
    all
}

/// Whether a run is a drain with an end that could be pushed: not a stack, nor a fixture's own.
fn has_end(net: &Network, run: RunIx) -> bool {
    net.runs.get(run.0).is_some_and(|r| {
        matches!(
            r.kind,
            RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch
        ) && !r.pieces.is_empty()
    })
}
