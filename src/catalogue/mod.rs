//! Bores, outside diameters and roughing-in figures, each with its source: neither code nor book.
//!
//! In: a word of the trade. Out: the fixture [`Kind`], or the [`Dimension`] of a pipe. Promises:
//! one list of kinds, whose words the code books use; no figure without its source.

mod kinds;
mod list;
mod pipes;
mod practice;

pub use kinds::{Kind, Outlet, Roughing, kind, kinds};
pub use pipes::{
    Dimension, Joined, at_hubs, bore, is_iron, is_plastic, joined, material, materials, outside,
    sold_as, sold_by_outside,
};
pub use practice::{
    Hydraulics, StudWall, agreement, bit_step, fall_step, fine, hole_clearance, hydraulics,
    platform, sawn_joist, sawn_thickness, steepest, stock_length, stud_wall, stud_walls,
    under_slab, widest_spacing,
};
