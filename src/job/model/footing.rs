//! Footings that drains pass.

use super::{Said, Target};
use crate::diagnostics::Span;
use crate::units::Length;

/// A footing that a drain passes.
#[derive(Clone, Debug, PartialEq)]
pub struct Footing {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// The drain.
    pub on: Said<Target>,
    /// Station on it.
    pub station: Option<Said<Length>>,
    /// Top of the footing above zero.
    pub top: Option<Length>,
    /// Bottom of the footing above zero.
    pub bottom: Option<Length>,
}
