//! Stage 6 of 12. In: network, sizes, levels. Out: [`Fittings`], keyed by joint. Promises: the
//! named fitting at each joint, reducers, cleanout sizes.

pub mod model;

pub use model::*;

use crate::codebook::Book;
use crate::job::Job;
use crate::network::Network;
use crate::sizing::Sizing;

/// Names the fittings.
pub fn fittings(_job: &Job, _net: &Network, _book: &Book, _sizing: &Sizing) -> Fittings {
    Fittings::default()
}
