//! Valves in drains.

use super::{Said, Target};
use crate::diagnostics::Span;
use crate::units::Length;

/// A valve in a drain.
#[derive(Clone, Debug, PartialEq)]
pub struct Valve {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// Its kind; `backwater`.
    pub kind: Said<String>,
    /// The drain it stands in.
    pub on: Said<Target>,
    /// Station on it.
    pub station: Option<Said<Length>>,
}
