//! Stacks and their offsets.

use super::{FloorIx, Leg, Said, Target};
use crate::diagnostics::Span;
use crate::units::{Heading, Length, PipeSize};

/// A stack offset.
#[derive(Clone, Debug, PartialEq)]
pub struct Offset {
    /// The floor beneath which it lies.
    pub floor: FloorIx,
    /// Invert from that finished floor.
    pub invert: Option<Said<Length>>,
    /// Which way it goes, walking upstream (from the lower stack to the upper).
    pub heading: Heading,
    /// How far.
    pub length: Option<Length>,
    /// By which bend, 45 or 90 degrees from the vertical.
    pub by_degrees: u32,
    /// Where it is stated.
    pub span: Span,
}

/// A stack.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// A drain or an exit; none: the building drain.
    pub into: Option<Said<Target>>,
    /// Station on that drain.
    pub station: Option<Said<Length>>,
    /// Plan position.
    pub at: Option<(Length, Length)>,
    /// Legs from the drain to the stack's base, walking upstream.
    pub run: Vec<Leg>,
    /// Stated size.
    pub size: Option<Said<PipeSize>>,
    /// The wall it stands in (`2x6`), as written.
    pub wall: Option<String>,
    /// Whether it goes through the roof (`up_to = "roof"`, the default) or which floor it ends at.
    pub up_to: Option<FloorIx>,
    /// Offsets, lowest first.
    pub offsets: Vec<Offset>,
    /// How its own vent serves the fixtures on it that state no vent, in the book's word.
    pub method: Option<Said<String>>,
    /// Already there.
    pub existing: bool,
    /// Roughed in for later.
    pub future: bool,
}
