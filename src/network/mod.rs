//! Stage 2 of 12. In: [`Job`](crate::job::Job). Out: a [`Network`] that holds only what the job
//! says, and the list of what it does not say. Promises: gravity systems have no cycle; every
//! name is resolved; nothing is filled in.

mod build;
mod called;
mod check;
mod cut;
pub mod draft;
pub(crate) mod faults;
pub(crate) mod kinds;
pub mod model;
mod openings;
mod plan;
mod positions;
mod table;
pub(crate) mod tree;

pub use build::build;
pub use called::{piece_called, run_called, way_missing};
pub use check::check;
pub use model::*;
pub use openings::{
    Openings, cleanout_words, outside_at_exit, reached_at, reached_in_stack, stands_outside,
};
pub use positions::{positions, unplaced_by, walk};
pub use table::{Dense, Table};

pub(crate) use cut::{Ids, cut};
pub(crate) use plan::{Point, go, place, point_at, stack_at};
