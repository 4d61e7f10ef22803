//! Exits and the sewers beyond.

use super::Said;
use crate::diagnostics::Span;
use crate::units::{Heading, Length, PipeSize};

/// Where a building drain leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Exit {
    /// `exit`, or the name under `[exits]`.
    pub name: String,
    /// Where it is stated.
    pub span: Span,
    /// What it goes to (`public sewer`, `septic tank`).
    pub to: Option<String>,
    /// Invert at the outside face of the wall.
    pub invert: Option<Said<Length>>,
    /// The way the water leaves.
    pub heading: Option<Said<Heading>>,
    /// Plan position, east and north of plan zero.
    pub at: Option<(Length, Length)>,
    /// Top of the footing there.
    pub footing_top: Option<Length>,
    /// Bottom of the footing there.
    pub footing_bottom: Option<Length>,
    /// The sewer beyond the wall.
    pub sewer: Option<Sewer>,
}

/// The sewer beyond the wall.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sewer {
    /// Its length.
    pub length: Option<Length>,
    /// Its size.
    pub size: Option<PipeSize>,
    /// Whether it is there already.
    pub existing: bool,
    /// Invert at the tap.
    pub tap: Option<Length>,
    /// Rim of the next upstream manhole.
    pub manhole_rim: Option<Length>,
    /// Ground level over it.
    pub grade: Option<Length>,
}
