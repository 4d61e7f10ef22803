//! Floors.

use crate::diagnostics::Span;
use crate::units::{Heading, Length};

/// Index of a floor in [`Job::floors`](super::Job::floors).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FloorIx(pub usize);

/// A finished floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Floor {
    /// Its name.
    pub name: String,
    /// Where it is stated.
    pub span: Span,
    /// Level of the finished floor above zero.
    pub level: Length,
    /// Slab thickness, if it is a slab.
    pub slab: Option<Length>,
    /// Deck thickness above the joists.
    pub deck: Option<Length>,
    /// Joist depth.
    pub joists: Option<Length>,
    /// Which way joists run.
    pub joists_run: Option<Heading>,
    /// Joist spacing.
    pub spacing: Option<Length>,
    /// First joist from plan zero.
    pub first_joist: Option<Length>,
    /// Thickness of a joist seen from above.
    pub joist_width: Option<Length>,
    /// Ceiling thickness below the joists.
    pub ceiling: Option<Length>,
    /// Depth of a soffit below the joists' bottom, clear for pipes.
    pub soffit: Option<Length>,
    /// Level of the ground outside.
    pub grade: Option<Length>,
    /// The floor that this pit is part of.
    pub part_of: Option<FloorIx>,
}

impl Floor {
    /// Whether its joists run east and west, one north of the other; none: nobody says.
    pub fn joists_run_east(&self) -> Option<bool> {
        let run = self.joists_run?;
        Some(matches!(run, Heading::East | Heading::West))
    }
}
