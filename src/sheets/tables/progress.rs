//! How the work stands, and what was changed: of jobs that say so.

use super::{Inputs, Say, Table};
use crate::standing;

/// The parts that are marked.
pub fn marks(set: &Inputs<'_>, say: &Say) -> Table {
    let all = set.standing.map(|s| standing::marks(s, say));
    all.unwrap_or_else(|| Table {
        name: "standing",
        ..Table::default()
    })
}

/// What is built otherwise than approved.
pub fn changes(set: &Inputs<'_>, say: &Say) -> Table {
    let all = set.standing.map(|s| standing::changes(s, say));
    all.unwrap_or_else(|| Table {
        name: "changes",
        ..Table::default()
    })
}

/// Whether a table is one of these without a row: a job that says nothing of it has none, not even
/// an empty one as data.
pub fn is_unsaid(table: &Table) -> bool {
    ["standing", "changes"].contains(&table.name) && table.rows.is_empty()
}
