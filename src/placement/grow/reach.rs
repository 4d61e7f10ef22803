//! How far out things stood in the round before, where what grows earlier must leave them room.

use std::collections::BTreeMap;

use crate::job::FloorIx;
use crate::network::{JointIx, PieceIx, RunIx};
use crate::projection::Way;

/// Distances in mm of paper; they only ever grow.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reach {
    /// Of each riser from where its vents lead to.
    pub risers: BTreeMap<RunIx, f64>,
    /// Of each riser from each of its headers, by the header's vent joint.
    pub headers: BTreeMap<JointIx, f64>,
    /// Lanes beside those in line with their stack, by the pipe that each begins with.
    pub lanes: BTreeMap<PieceIx, Sideways>,
}

/// How a pipe leaves its stack to lie in a lane beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sideways {
    /// Its stack.
    pub stack: RunIx,
    /// Its floor.
    pub floor: Option<FloorIx>,
    /// The way of the lane, and its number.
    pub lane: (Way, u8),
    /// The way from the stack to the lane.
    pub way: Way,
    /// How far it is.
    pub length: f64,
    /// How high it leaves the stack, above the branches of its floor.
    pub rise: f64,
    /// The floor above whose rims a vent lies over it, if one does.
    pub vent: Option<FloorIx>,
}
