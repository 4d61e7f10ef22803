//! Stage 1 of 12. In: the text of a job file. Out: [`Job`]. Promises: names unique and resolved,
//! units read, file order and source spans kept on everything that can later be blamed.

pub mod model;

pub use model::*;
