//! Stage 5 of 12. In: the network and its sizes. Out: [`Levels`]. Promises: the fall used on
//! every drain, and the invert at each end whose length is known, or what is missing.

mod bores;
pub mod falls;
mod flatten;
pub mod joins;
mod legs;
pub mod model;
mod stations;
mod vents;
mod walk;
mod why;

pub use bores::{Bores, bore};
pub use falls::Falls;
pub use flatten::flatten;
pub use legs::{horizontal, length};
pub use model::*;
pub use vents::vent_lengths;
pub use walk::walk;

use crate::codebook::Book;
use crate::job::Job;
use crate::network::Network;
use crate::sizing::Sizing;

/// Levels of all drains, from the exits up, at these falls.
pub fn levels(job: &Job, net: &Network, book: &Book, sizing: &Sizing, falls: &Falls) -> Levels {
    let (pieces, missing) = walk::walk(job, net, book, sizing, falls);
    let stations = stations::stations(job, net, sizing, &pieces);
    let vents = vent_lengths(job, net, book, &pieces);
    Levels {
        pieces,
        vents,
        stations,
        missing,
    }
}
