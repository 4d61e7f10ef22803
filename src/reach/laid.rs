//! The same job laid otherwise, and worked through again.

use super::footings::no_longer_passed;
use super::push::{self, Push, Stop};
use super::{Laid, Reach, Work};
use crate::catalogue;
use crate::codebook::Book;
use crate::findings;
use crate::job::{Job, Said};
use crate::network::{self, Network};
use crate::proposals;
use crate::solve::{Solution, solve};
use crate::units::{Fall, Length, PipeSize};

/// A job that was worked through again.
pub(super) struct Again {
    pub(super) job: Job,
    pub(super) net: Network,
    pub(super) solution: Solution,
}

impl Again {
    pub(super) fn work<'a>(&'a self, book: &'a Book) -> Work<'a> {
        Work {
            job: &self.job,
            net: &self.net,
            book,
            solution: &self.solution,
        }
    }
}

fn worked(job: Job, book: &Book) -> Option<Again> {
    let stated = network::build(&job).ok()?;
    let (net, _) = proposals::complete(&job, stated, book);
    let solution = solve(&job, &net, book);
    Some(Again { job, net, solution })
}

/// Every drain at the book's least fall, whatever is stated or preferred.
pub(super) fn at_least(work: &Work<'_>) -> Option<Again> {
    let mut job = work.job.clone();
    job.practice.falls.clear();
    for drain in job.drains.iter_mut().filter(|d| !d.existing) {
        drain.fall = None;
        drain.run.iter_mut().for_each(|leg| leg.fall = None);
    }
    for fixture in &mut job.fixtures {
        fixture.fall = None;
    }
    worked(job, work.book)
}

/// One drain of the job at each size of the stock and each step of fall that the book and the job
/// allow.
pub(super) fn each(work: &Work<'_>, drain: &str) -> Vec<Reach> {
    let mut all = Vec::new();
    let mut drains = work.job.drains.iter();
    // What is there already is not laid again.
    let Some(at) = drains.position(|d| d.name == drain && !d.existing) else {
        return all;
    };
    let before = errors(work);
    for &size in &work.job.practice.stock {
        for fall in falls(work, size) {
            let mut job = work.job.clone();
            if let Some(d) = job.drains.get_mut(at) {
                let said = d.span.clone();
                d.size = Some(Said {
                    value: size,
                    span: said.clone(),
                });
                d.fall = Some(Said {
                    value: fall,
                    span: said,
                });
                for leg in &mut d.run {
                    leg.size = None;
                    leg.fall = None;
                }
            }
            let Some(again) = worked(job, work.book) else {
                continue;
            };
            let its = again.work(work.book);
            let run = its.net.run_by_id(drain);
            let reach = run.and_then(|run| {
                let mut reach = push::of(&its, run, Laid::Again)?;
                if let Some(footing) = no_longer_passed(work, &its, run) {
                    reach.push = Push::By(Length::ZERO, Stop::Footing(footing));
                }
                Some(reach)
            });
            let Some(reach) = reach else { continue };
            // What brings an error is not legal, but for the room that is asked for here.
            if errors(&its).iter().all(|e| before.contains(e)) {
                all.push(reach);
            }
        }
    }
    all
}

/// The falls to try: the book's least, and in steps up to the steepest.
fn falls(work: &Work<'_>, size: PipeSize) -> Vec<Fall> {
    let (Ok(least), Some((step, _))) = (
        work.book.least_fall(size),
        catalogue::fall_step(work.job.units),
    ) else {
        return Vec::new();
    };
    let stated = work.job.practice.steepest.as_ref().map(|s| s.value);
    let most = stated.or(catalogue::steepest().map(|s| s.0));
    let most = most.map_or(least.value, |m| m.max(least.value));
    // Coarser than the step where that is fine, so that a table stays a table.
    let step = match work.job.units {
        crate::units::UnitSystem::Feet => step,
        crate::units::UnitSystem::Metric => Fall::from_ratio(step.ratio() * 5.0),
    };
    let mut all = vec![least.value];
    let mut n = (least.value.ratio() / step.ratio() + 1e-6).floor() + 1.0;
    while step.ratio() * n <= most.ratio() + 1e-9 && all.len() < 64 {
        all.push(Fall::from_ratio(step.ratio() * n));
        n += 1.0;
    }
    all
}

/// Errors of a job but those of room and of depth: code and place.
fn errors(work: &Work<'_>) -> Vec<(&'static str, String)> {
    findings::errors(work.job, work.net, work.book, work.solution)
        .into_iter()
        .filter(|(code, _)| !findings::OF_DEPTH.contains(code))
        .collect()
}
