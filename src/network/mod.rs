//! Stage 2 of 12. In: [`Job`](crate::job::Job). Out: a [`Network`] that holds only what the job
//! says, and the list of what it does not say. Promises: gravity systems have no cycle; every
//! name is resolved; nothing is filled in.

pub mod model;

pub use model::*;
