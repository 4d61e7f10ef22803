//! Stage 5 of 12. In: the network and its sizes. Out: [`Levels`]. Promises: the fall used on
//! every drain, and the invert at each end whose length is known, or what is missing.

pub mod model;

pub use model::*;
