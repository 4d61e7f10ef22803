//! The crew's sheets: one a floor and one for underground, drains first and then vents, each with
//! the steps of its work.
//!
//! In: a job worked through, and what is drawn on each sheet. Out: what its levels are measured
//! from, its title, its steps and the figures of its pipes, all from the same result as the permit
//! sheets.

mod alike;
mod datum;
mod framing;
mod list;
mod model;
mod notes;
mod numbers;
mod parts;
mod reduced;
mod set_out;
mod set_with;
mod steps;
mod tables;
mod vents;

pub use alike::{Alike, alike};
pub use datum::Datum;
pub use framing::{Framing, ToJoists};
pub use list::list;
pub use model::{CrewPart, CrewSheet, End, Height, SetOut, Shown, Step};
pub use notes::{caution, lengths, letters, measured, no_tops, sides, slab, sold_as, ticked, tie};
pub use numbers::numbers;
pub use parts::{Ground, hung_over, parts};
pub use reduced::{drains_only, vents_alone};
pub use set_out::set_out;
pub use steps::Last;
pub use tables::tables;
pub use vents::{measured_from, vent_numbers, vents_set_out};
