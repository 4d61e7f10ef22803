//! The table of falls and inverts, keyed by the network's pieces.

use crate::network::{JointIx, PieceIx, Table};
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
    /// Rise of its invert at the downstream joint over the invert of what it joins there.
    pub step: Option<Length>,
}

/// One row of the level table.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// The joint.
    pub joint: JointIx,
    /// The place in words (`base of S1`, `CO-1`, `end of main`).
    pub place: String,
    /// Run it is on, by id.
    pub run: String,
    /// Developed length up that run, if known.
    pub station: Option<Length>,
    /// Invert above zero, if known.
    pub invert: Option<Length>,
    /// Why it is not known, if so.
    pub missing: Option<String>,
}

/// Falls and inverts of everything that flows by gravity.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Levels {
    /// By waste piece.
    pub pieces: Table<PieceIx, PieceLevels>,
    /// Developed length of each vent piece, if known.
    pub vents: Table<PieceIx, Length>,
    /// The level table, from the exit up.
    pub stations: Vec<Station>,
    /// Ids of pieces whose length nobody gave, so that inverts beyond them are unknown.
    pub missing: Vec<String>,
}
