//! Stage 12 of 12. In: a [`SheetSet`](crate::sheets::SheetSet) and tables. Out: SVG, PNG, PDF,
//! CSV and JSON. Promises: same input, same bytes; a file loads nothing from outside; nothing is
//! written over a file that is not the tool's own.
//!
//! One scene type, one painter a format: [`svg`] and [`pdf`] paint the scene, [`png`] rasterises
//! the SVG. [`files`] puts what they paint where it belongs, [`set`] says what belongs there.

pub mod coverage;
pub mod csv;
pub mod files;
mod fixed;
pub mod json;
mod manifest;
pub mod pdf;
pub mod png;
pub mod set;
pub mod svg;
mod xml;

pub use files::{Folder, Written};
pub use set::{Format, write};
