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

/// Flattens falls that the job only prefers where they do not fit; true if any was. What is stated
/// stays as it is, and nothing falls less than the book's least.
pub fn flatten(
    job: &Job,
    net: &Network,
    book: &Book,
    sizing: &Sizing,
    levels: &Drains,
    falls: &mut Falls,
) -> bool {
    // Arms first: what they give up may be all the room that is wanted.
    arms::flatten(job, net, book, sizing, levels, falls)
        || room::flatten(job, net, book, sizing, levels, falls)
}
