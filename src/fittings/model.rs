//! The table of fittings, keyed by joint.

use std::collections::BTreeMap;

use crate::network::{JointIx, PieceIx, Table};
use crate::units::PipeSize;

/// The fitting at one joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitting {
    /// What it does besides joining pipes.
    pub does: Does,
    /// Its name in the trade (`combination wye and eighth bend`, `sanitary tee`, `wye, rolled 45°`).
    pub name: String,
    /// Its sizes, run first: `4 × 4 × 3`.
    pub sizes: Vec<PipeSize>,
    /// A reducer at this joint: larger and smaller size.
    pub reducer: Option<(PipeSize, PipeSize)>,
    /// A reducer from its end to the vent that goes on from there: larger and smaller size.
    pub to_vent: Option<(PipeSize, PipeSize)>,
    /// A bend beside it, of its first size, where the drain turns farther than the fitting does.
    pub turn: Option<String>,
}

/// What a fitting does besides joining pipes, whatever its name in a book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Does {
    /// Nothing.
    Joins,
    /// It only takes one size to another.
    Reduces,
    /// It holds a cleanout.
    Opens,
    /// It is rolled up on a level drain for a vent that leaves there.
    Vents,
}

/// Fittings by joint, and cleanout sizes by cleanout index of the network.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fittings {
    /// By joint.
    pub joints: Table<JointIx, Fitting>,
    /// Bends within a pipe, from its lower end up; pipes without any are left out.
    pub bends: Table<PieceIx, Vec<String>>,
    /// By index into the network's cleanouts.
    pub cleanouts: BTreeMap<usize, PipeSize>,
    /// Of cleanouts that the fitting of their joint does not hold, as at an exit and where a branch
    /// comes in as well: the fitting that each stands in beside it. By index as above.
    pub beside: BTreeMap<usize, Fitting>,
}
