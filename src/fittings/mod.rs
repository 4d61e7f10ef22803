//! Stage 6 of 12. In: network, sizes, levels. Out: [`Fittings`], keyed by joint. Promises: the
//! named fitting at each joint, reducers, cleanout sizes.

pub mod model;

pub use model::*;
