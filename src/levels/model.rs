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
    /// Flatter than the job's preferred one, which does not fit.
    Flattened(Flattened),
}

/// Why a fall is flatter than the job's preferred one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flattened {
    /// A trap arm may not fall by more than its diameter.
    Arm,
    /// There is no room for more under this.
    Room(Bound),
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
    /// The least of the room below it, where something lies there.
    pub below: Option<Room>,
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

/// A footing that a drain passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FootingAt {
    /// That of an exit, by its index in the job.
    Exit(usize),
    /// One of the job's footings, by index.
    Footing(usize),
}

/// Bottom and top of a pipe's outside above zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outside {
    /// Its bottom.
    pub low: Length,
    /// Its top.
    pub high: Length,
}

/// Why it is not known how a drain passes a footing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotKnown {
    /// Neither side of the footing is stated.
    Levels,
    /// The pipe is not clear of the side that is stated, and the other one is not.
    OtherSide,
    /// The footing's station on the drain is not stated.
    Station,
    /// The drain's invert there is not known.
    Invert,
    /// The drain stands upright there.
    Upright,
    /// Its size, or the outside diameter of its pipe, is not known.
    Outside,
}

impl NotKnown {
    /// In words, as the end of a sentence.
    pub fn words(self) -> &'static str {
        match self {
            NotKnown::Levels => "neither its top nor its bottom is stated",
            NotKnown::OtherSide => {
                "only one side of it is stated, and the drain is not clear of that"
            }
            NotKnown::Station => "its station is not stated",
            NotKnown::Invert => "the drain's invert there is not known",
            NotKnown::Upright => "the drain stands upright there",
            NotKnown::Outside => "the outside of the drain's pipe is not known",
        }
    }
}

/// How a drain passes a footing; lengths are to the outside of its pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Passes {
    /// Under its bottom.
    Under {
        /// From the pipe's top to the footing's bottom.
        clear: Length,
    },
    /// Over its top, through the wall that stands on it.
    Over {
        /// From the footing's top to the pipe's bottom.
        clear: Length,
    },
    /// Through it.
    Through {
        /// From the footing's bottom to the pipe's bottom.
        above_bottom: Length,
        /// From the pipe's top to the footing's top.
        below_top: Length,
    },
    /// Into its bottom.
    CutsBottom {
        /// From the footing's bottom to the pipe's top.
        above_bottom: Length,
    },
    /// Into its top.
    CutsTop {
        /// From the pipe's bottom to the footing's top.
        below_top: Length,
    },
    /// Not known.
    Unknown(NotKnown),
}

impl Passes {
    /// The word in data.
    pub fn word(self) -> &'static str {
        match self {
            Passes::Under { .. } => "under",
            Passes::Over { .. } => "over",
            Passes::Through { .. } => "through",
            Passes::CutsBottom { .. } => "cuts its bottom",
            Passes::CutsTop { .. } => "cuts its top",
            Passes::Unknown(_) => "not known",
        }
    }
}

/// A footing and the drain that passes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FootingPass {
    /// Which footing.
    pub at: FootingAt,
    /// The piece of drain that passes it, if known.
    pub piece: Option<PieceIx>,
    /// Top of the footing above zero, if stated.
    pub top: Option<Length>,
    /// Bottom of the footing above zero, if stated.
    pub bottom: Option<Length>,
    /// The pipe there, if known.
    pub pipe: Option<Outside>,
    /// How it passes.
    pub passes: Passes,
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
    /// The highest that each may lie, by waste piece.
    pub highest: Table<PieceIx, Highest>,
    /// Room to spare, by waste piece.
    pub rooms: Table<PieceIx, Rooms>,
    /// Developed length of each vent piece, if known.
    pub vents: Table<PieceIx, Length>,
    /// The level table, from the exit up.
    pub stations: Vec<Station>,
    /// How the drains pass the footings that are stated.
    pub footings: Vec<FootingPass>,
    /// Ids of pieces whose length nobody gave, so that inverts beyond them are unknown.
    pub missing: Vec<String>,
}
