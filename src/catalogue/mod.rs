//! Bores, outside diameters and roughing-in figures, each with its source: neither code nor book.
//!
//! In: a word of the trade. Out: the fixture [`Kind`], or the [`Dimension`] of a pipe. Promises:
//! one list of kinds, whose words the code books use; no figure without its source.

mod kinds;
mod list;
mod pipes;

pub use kinds::{Kind, Outlet, Roughing, kind, kinds};
pub use pipes::{Dimension, bore, material, materials, outside};

/// A pipe under a slab keeps its outside so far below it.
pub const UNDER_SLAB: Dimension = Dimension {
    value: crate::units::Length::from_inches(2.0),
    source: "common practice, no source",
};
