//! Which preferred falls do not fit and are made flatter: of trap arms, by the code's own limit,
//! and of drains that have no room, to the steepest fall at which they fit.

mod arms;
mod room;

use super::Drains;
use super::falls::Falls;
use crate::codebook::Book;
use crate::job::Job;
use crate::network::Network;
use crate::sizing::Sizing;

/// What one round of sizes and levels came to.
#[derive(Clone, Copy)]
pub struct Round<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its network.
    pub net: &'a Network,
    /// The code book.
    pub book: &'a Book,
    /// The sizes.
    pub sizing: &'a Sizing,
    /// The levels of the drains at these sizes.
    pub levels: &'a Drains,
}

/// Flattens falls that the job only prefers where they do not fit; true if any was. What is stated
/// stays as it is, and nothing falls less than the book's least.
pub fn flatten(round: &Round<'_>, falls: &mut Falls) -> bool {
    // Arms first: what they give up may be all the room that is wanted.
    arms::flatten(round, falls) || room::flatten(round, falls)
}
