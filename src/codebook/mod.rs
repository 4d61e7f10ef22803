//! Code books: TOML tables with their sections and provenance, and their look-up.
//!
//! In: a book's id or path. Out: [`Book`]. Promises: every number has its section, its table and
//! whether it was read in a source; a look-up beyond a table is a [`Beyond`], never an
//! extrapolation; no rule branches on which book it is, so a town's own book needs no new code.
//!
//! The numbers live in `books/*.toml` and nowhere else.

mod amend;
mod book;
mod check;
mod design;
mod drains;
mod fittings;
mod fixtures;
mod found;
mod framing;
mod grid;
mod load;
mod load_rules;
mod methods;
mod number;
mod open;
mod options;
mod printed;
mod provenance;
mod raw;
mod rules;
mod sewers;
mod shared_vents;
mod single_stack;
mod supports;
mod vents;

pub use amend::Change;
pub use book::Book;
pub use drains::ArmRow;
pub use fittings::{FittingUse, Turn};
pub use fixtures::{FixtureQuery, FixtureRow, GroupKind};
pub use found::{Beyond, Found, TableInfo};
pub use framing::{PlateRules, ShieldRules, StudRules};
pub use methods::{Method, Methods};
pub use options::{Group, Options};
pub use printed::Printed;
pub use provenance::Provenance;
pub use rules::{
    AirTest, ArmRules, BuildingVent, CleanoutRules, JoistRules, OffsetRule, ReliefRule,
    TerminalRules, TestRules, TrapRules, VentRule, VentStackRule, WetVentRules,
};
pub use shared_vents::{CircuitRules, CombinationRules, UprightWetRules, WasteStackRules};
pub use single_stack::{SingleStackRules, UnventedBranch};
pub use supports::Spacing;

#[cfg(test)]
mod tests;
