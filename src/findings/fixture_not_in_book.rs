//! F101 fixture-not-in-book
//!
//! Checks that the load of every fixture is known: by the book's row for its kind, or as stated.
//!
//! Why: a drain without the load of one fixture is not sized.
//!
//! Example: `X-1 = { kind = "fish tank", into = "S1" }`.
//!
//! To do: state its `load`, or its `trap` to have it rated by that; or use a kind of the book.
//!
//! Section: IPC 709.2, IRC P3004.1.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::Fixture;
use crate::sizing::traps::query;

/// F101.
pub const META: Meta = Meta::new("F101", "fixture-not-in-book", Severity::Error);

/// Fixtures whose load is not known.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    ctx.solution
        .sizing
        .traps
        .iter()
        .filter_map(|(ix, trap)| {
            let reason = trap.unknown.as_ref()?;
            let fixture = ctx.fixture(*ix)?;
            (!row_ends(ctx, fixture)).then_some(())?;
            Some(Diagnostic {
                help: Some(
                    "state its `load`, or its `trap` to have it rated by that size".to_owned(),
                ),
                section: Some(trap.working.section.clone()).filter(|s| !s.is_empty()),
                ..META.finding(
                    &fixture.name,
                    Some(fixture.kind.span.clone()),
                    format!("{}: {reason}", fixture.name),
                )
            })
        })
        .collect()
}

/// Whether the book knows the kind but its rows end before this flow or flush.
pub(super) fn row_ends(ctx: &Context<'_>, fixture: &Fixture) -> bool {
    ctx.book.fixture_beyond(&query(fixture)).is_some()
}
