//! What may be bored through the joists of a floor.

use crate::catalogue;
use crate::codebook::{Book, Found};
use crate::job::{FloorIx, Job};
use crate::units::Length;

/// The limits of a hole through the sawn joists of a floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Holes {
    /// What the joists are called (`2x10`).
    pub joists: &'static str,
    /// Their depth.
    pub depth: Length,
    /// Level of their top above zero.
    pub top: Length,
    /// Level of their bottom above zero.
    pub bottom: Length,
    /// Largest hole that the book allows in them, with its section.
    pub most: Found<Length>,
    /// Wood that stays over and under a hole.
    pub edge: Length,
    /// Wood that stays between two holes, or a hole and a notch.
    pub apart: Length,
}

impl Holes {
    /// The largest hole that also leaves enough wood over and under it.
    pub fn largest(&self) -> Length {
        self.most.value.min(self.depth - self.edge * 2.0)
    }
    /// Whether a hole for a pipe of this outside may be bored somewhere in their depth.
    pub fn take(&self, outside: Length) -> bool {
        let largest = self.largest();
        outside <= largest || outside.same(largest)
    }
}

/// The limits on a floor; none where its joists are not of a sawn size, or the book has no rule.
pub fn holes(job: &Job, book: &Book, floor: FloorIx) -> Option<Holes> {
    let floor = job.floors.get(floor.0)?;
    let depth = floor.joists?;
    let joists = catalogue::sawn_joist(depth)?;
    let rules = book.joists()?;
    let top = floor.level - floor.deck.unwrap_or_default();
    Some(Holes {
        joists,
        depth,
        top,
        bottom: top - depth,
        most: rules.hole.clone().map(|part| depth * part),
        edge: rules.edge.value,
        apart: rules.apart.value,
    })
}
