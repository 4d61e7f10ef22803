//! The table of falls and inverts, keyed by the network's pieces.

use crate::job::FloorIx;
use crate::network::{JointIx, PieceIx, Table, TrapIx};
use crate::units::{Fall, Length};

/// Where a fall comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FallFrom {
    /// The job states it for this drain.
    Stated,
    /// The job's preferred fall for the size.
    Preferred,
    /// The book's least fall for the size.
    Least,
}

/// What keeps a pipe from lying higher, or lower.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// The outlet of a fixture upstream.
    Outlet(TrapIx),
    /// The slab of this floor.
    Slab(FloorIx),
    /// The deck of this floor, on its joists.
    Deck(FloorIx),
    /// The joists of this floor, from below.
    Joists(FloorIx),
    /// The bottom of the joists of this floor, from within.
    JoistBottom(FloorIx),
    /// The wood that stays over a hole through the joists of this floor.
    OverHole(FloorIx),
    /// The wood that stays under a hole through the joists of this floor.
    UnderHole(FloorIx),
    /// The soffit below the joists of this floor.
    Soffit(FloorIx),
}

impl Bound {
    /// Whether it keeps a pipe from lying lower; the others keep it from lying higher.
    pub fn is_below(self) -> bool {
        matches!(
            self,
            Bound::JoistBottom(_) | Bound::UnderHole(_) | Bound::Soffit(_)
        )
    }
    /// Whether it is the wood beside a hole through a joist.
    pub fn is_of_a_hole(self) -> bool {
        matches!(self, Bound::OverHole(_) | Bound::UnderHole(_))
    }
}

/// A limit of a pipe's invert above zero, and what sets it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// The highest, or the lowest, invert.
    pub invert: Length,
    /// What sets it.
    pub bound: Bound,
}

/// The highest that a piece may lie at its two ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Highest {
    /// At its downstream end.
    pub down: Option<Limit>,
    /// At its upstream end.
    pub up: Option<Limit>,
    /// Whether all that lies upstream was counted: every length is known.
    pub complete: bool,
}

/// Room to spare at a place; negative where something does not fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// How much higher, or lower, the invert could be.
    pub spare: Length,
    /// What bounds it.
    pub bound: Bound,
}

/// Room at the two ends of a piece, where it is known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rooms {
    /// At its downstream end.
    pub down: Option<Room>,
    /// At its upstream end.
    pub up: Option<Room>,
}

/// Levels of one piece of drain.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceLevels {
    /// Its fall; none for a vertical piece.
    pub fall: Option<Fall>,
    /// Where the fall comes from.
    pub fall_from: FallFrom,
    /// Developed length, if known.
    pub length: Option<Length>,
    /// Horizontal length over which it falls, if known.
    pub horizontal: Option<Length>,
    /// Invert at its downstream end above zero, if known.
    pub invert_down: Option<Length>,
    /// Invert at its upstream end above zero, if known.
    pub invert_up: Option<Length>,
    /// Whether its level was worked out from the fixtures down: a branch whose invert at its stack
    /// nobody stated hangs as high as they let it, and what lies on it with it.
    pub hung: bool,
    /// Rise of its invert at the downstream joint over the invert of what it joins there.
    pub step: Option<Length>,
}

/// Bottom and top of a pipe's outside above zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outside {
    /// Its bottom.
    pub low: Length,
    /// Its top.
    pub high: Length,
}

/// One row of the level table.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// The joint.
    pub joint: JointIx,
    /// The piece of the run that the row is about.
    pub piece: PieceIx,
    /// The place in words (`base of S1`, `CO-1`, `end of main`).
    pub place: String,
    /// Run it is on, by id.
    pub run: String,
    /// Developed length up that run, if known.
    pub station: Option<Length>,
    /// Invert above zero, if known.
    pub invert: Option<Length>,
    /// Room to spare there, if known.
    pub room: Option<Room>,
    /// Why it is not known, if so.
    pub missing: Option<String>,
}

/// Falls and inverts of everything that flows by gravity.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Levels {
    /// By waste piece.
    pub pieces: Table<PieceIx, PieceLevels>,
    /// Room to spare, by waste piece.
    pub rooms: Table<PieceIx, Rooms>,
    /// Developed length of each vent piece, if known.
    pub vents: Table<PieceIx, Length>,
    /// The level table, from the exit up.
    pub stations: Vec<Station>,
    /// Ids of pieces whose length nobody gave, so that inverts beyond them are unknown.
    pub missing: Vec<String>,
}
