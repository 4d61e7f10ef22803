//! How the work stands on site: what is roughed in and tested, and what is built otherwise than
//! approved.
//!
//! In: the job worked through as built and, where anything is changed, as approved. Out:
//! [`Standing`], plain data. Promises: every key that a mark changes is told; all else that differs
//! is told with the change that it follows from; a change that says what the approved job says
//! leaves no difference.

mod compare;
mod found;
mod json;
mod laid;
mod model;
mod names;
mod tables;

pub use found::{came, moved};
pub use json::json;
pub use laid::stands_for_its_own;
pub use model::{Amount, By, Difference, Mark, Standing};
pub use names::unknown;
pub use tables::{changes, marks};

use crate::diagnostics::Diagnostic;
use crate::job::Job;
use crate::solve::Work;

/// A job worked through, and what stands against it.
#[derive(Clone, Copy)]
pub struct State<'a> {
    /// The job, worked through.
    pub work: Work<'a>,
    /// All that was found.
    pub found: &'a [Diagnostic],
}

/// How the work of a job stands; none where the job says nothing of it.
///
/// # Arguments
/// - `now`: the job as it is built.
/// - `approved`: the same without what was changed on site; none where nothing was.
pub fn standing(now: &State<'_>, approved: Option<&State<'_>>) -> Option<Standing> {
    let job = now.work.job;
    if job.progress.is_empty() {
        return None;
    }
    let mut differences = Vec::new();
    if let Some(approved) = approved {
        differences.extend(compare::stated(job));
        differences.extend(compare::followed(&approved.work, &now.work));
        differences.extend(found::differences(job, approved.found, now.found));
    }
    Some(Standing {
        marks: marked(job),
        differences,
    })
}

fn marked(job: &Job) -> Vec<Mark> {
    let each = |p: &crate::job::Progress| {
        let mark = |part: &crate::job::Said<String>| Mark {
            part: part.value.clone(),
            is: p.is,
            date: p.date.as_ref().map(|d| d.value.clone()),
            by: p.by.clone(),
            why: p.why.clone(),
            mark: p.name.clone(),
        };
        p.on.iter().map(mark).collect::<Vec<_>>()
    };
    job.progress.iter().flat_map(each).collect()
}
