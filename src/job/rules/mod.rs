//! What cannot be, though every word of it reads: circles, two things in one place.

mod circles;
mod places;

use super::model::Job;
use super::problems::Problems;

/// Checks the whole job.
pub fn check(job: &Job, problems: &mut Problems) {
    circles::check(job, problems);
    places::check(job, problems);
}
