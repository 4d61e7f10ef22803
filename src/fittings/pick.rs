//! Only fittings that the book lets make the turn.

use crate::codebook::{Book, Turn};
use crate::units::PipeSize;

/// The first of these fittings that the book allows for a turn at this size; of none, the last.
///
/// A fitting that the book does not list is not restricted by it. `fixture_drain` says that the
/// pipe is a fixture drain or an arm, for which the table is easier up to a size.
pub fn pick<'n>(
    book: &Book,
    turn: Turn,
    size: PipeSize,
    fixture_drain: bool,
    names: &[&'n str],
) -> &'n str {
    let may = |name: &&&str| allowed(book, turn, size, fixture_drain, name);
    names
        .iter()
        .find(may)
        .or(names.last())
        .copied()
        .unwrap_or_default()
}

fn allowed(book: &Book, turn: Turn, size: PipeSize, fixture_drain: bool, name: &str) -> bool {
    let Some(found) = book.fitting(name, turn) else {
        return true;
    };
    let rule = found.value;
    if !rule.allowed {
        return false;
    }
    if rule.fixture_drain_to.is_none() && rule.sizes_from.is_none() {
        return true;
    }
    let by_drain = rule
        .fixture_drain_to
        .is_some_and(|to| fixture_drain && size <= to);
    let by_size = rule.sizes_from.is_some_and(|from| size >= from);
    by_drain || by_size
}
