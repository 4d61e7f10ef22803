//! Stage 4 of 12. In: the frozen network, the code book and the falls. Out: [`Sizing`].
//! Promises: every pipe has its code size, its chosen size, load, capacity and working, or the
//! reason why it has none.

pub mod model;

pub use model::*;
