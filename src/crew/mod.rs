//! The crew's sheets: one a floor and one for underground, drains first and then vents, each with
//! the steps of its work.
//!
//! In: a job worked through, and what is drawn on each sheet. Out: what its levels are measured
//! from, its title, its steps and the figures of its pipes, all from the same result as the permit
//! sheets.

mod datum;
mod drains;
mod model;
mod notes;
mod numbers;
mod set_out;
mod steps;
mod tables;
mod vents;

pub use datum::Datum;
pub use drains::drains_only;
pub use model::{CrewSheet, Height, SetOut, Step};
pub use notes::{caution, lengths};
pub use numbers::numbers;
pub use set_out::{places, set_out};
pub use steps::steps;
pub use tables::tables;
pub use vents::{vent_numbers, vents_set_out};
