//! The table that sizing makes, keyed by the network's pieces.

use std::sync::Arc;

use crate::codebook::Provenance;
use crate::network::{JointIx, PieceIx, Table, TrapIx};
use crate::units::{Demand, Flow, Load, PipeSize};

/// How a number came about: inputs, table, row, section.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Working {
    /// Section or table of the code (`P3005.4.1`).
    pub section: String,
    /// The table's title, if a table was read.
    pub table: Option<String>,
    /// The row and column that were read, in words.
    pub row: Option<String>,
    /// Whether the table's numbers were read in a source or are from memory, as the book says.
    pub provenance: Option<Provenance>,
    /// The reasoning, a line a step, with the inputs.
    pub steps: Vec<String>,
}

/// The size of one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceSize {
    /// Load on it; a vent: the load it vents.
    pub load: Load,
    /// What it has to carry for that load, in the measure of the book's tables.
    pub demand: Demand,
    /// Least size the code allows; none when a look-up went beyond the table.
    pub code_size: Option<PipeSize>,
    /// The size it has: stated, else the smallest stocked one that code and job allow.
    pub size: PipeSize,
    /// Whether that size was stated.
    pub stated: bool,
    /// Most load that the chosen size may carry there, where a table says.
    pub capacity: Option<Demand>,
    /// How it came about.
    pub working: Working,
    /// Why the size could not be worked out, if so.
    pub unknown: Option<String>,
}

/// The trap of one fixture.
#[derive(Clone, Debug, PartialEq)]
pub struct TrapSize {
    /// Its load.
    pub load: Load,
    /// The largest load of one appliance on it: its own, unless several share the trap.
    pub largest: Load,
    /// Its continuous flow, where the book adds such flows as they are.
    pub steady: Flow,
    /// Least trap size of the code.
    pub code_size: PipeSize,
    /// Its size.
    pub size: PipeSize,
    /// Least drain past its arm by the book, where that is larger than the trap.
    pub drain: Option<PipeSize>,
    /// How it came about.
    pub working: Working,
    /// Whether the fixture's kind is not in the book and nothing was stated.
    pub unknown: Option<String>,
}

/// Loads added up at a stack's base or an exit.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadTotal {
    /// The stack or exit, by name.
    pub name: String,
    /// The joint.
    pub joint: JointIx,
    /// The load there.
    pub load: Load,
    /// The fixtures that make it up: kind, count, load of all of them; group loads in their own rows.
    pub rows: Vec<(String, u32, Load)>,
    /// Branch intervals, for a stack.
    pub intervals: Option<u32>,
}

/// What drains through a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Serves {
    /// Fixtures.
    pub fixtures: u32,
    /// Water closets among them.
    pub closets: u32,
    /// Clothes washers.
    pub washers: u32,
    /// Kitchen fixtures.
    pub kitchens: u32,
    /// Fixtures whose load is not known.
    pub unknown: u32,
}

/// Sizes of everything.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sizing {
    /// By piece, waste and vent.
    pub pieces: Table<PieceIx, PieceSize>,
    /// By trap; fixtures that are alike share one.
    pub traps: Table<TrapIx, Arc<TrapSize>>,
    /// What drains through each waste piece.
    pub serves: Table<PieceIx, Serves>,
    /// At each stack's base and each exit.
    pub totals: Vec<LoadTotal>,
    /// Whether group loads or single loads were used, in words for the sheet.
    pub load_method: String,
}
