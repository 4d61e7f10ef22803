//! D107 beyond-the-table
//!
//! Checks that every look-up stayed within its table: no load, flow or length is extrapolated.
//!
//! Why: what the table does not hold the code does not allow without a design of its own.
//!
//! Example: a shower of 60 gpm, where the rows end at 55.6; a branch of more load than the
//! largest pipe of the table carries.
//!
//! To do: split the load, or have it designed and state the load, the trap or the size.
//!
//! Section: that of the table.

use super::context::{Context, Meta, Worst};
use super::fixture_not_in_book::row_ends;
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{RunKind, System};

/// D107.
pub const META: Meta = Meta::new("D107", "beyond-the-table", Severity::Error);

/// Fixtures and pipes whose look-up left its table.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (ix, trap) in &ctx.solution.sizing.traps {
        let (Some(fixture), Some(reason)) = (ctx.fixture(*ix), &trap.unknown) else {
            continue;
        };
        if !row_ends(ctx, fixture) {
            continue;
        }
        let span = match (&fixture.flow, fixture.gpf) {
            (None, None) => fixture.kind.span.clone(),
            _ => fixture.span.clone(),
        };
        found.push(Diagnostic {
            help: Some("state its `load` and `trap` from its maker's figures".to_owned()),
            section: Some(trap.working.section.clone()).filter(|s| !s.is_empty()),
            ..META.finding(&fixture.name, Some(span), reason.clone())
        });
    }
    let mut worst = Worst::new(ctx);
    for system in [System::Waste, System::Vent] {
        for (_, piece, size) in ctx.sized(system) {
            let drawn = matches!(ctx.kind(piece), Some(RunKind::Sewer | RunKind::Discharge));
            let Some(reason) = size
                .unknown
                .as_ref()
                .filter(|_| size.code_size.is_none() && !drawn)
            else {
                continue;
            };
            let finding = Diagnostic {
                help: Some("divide the load over more pipes, or have it designed".to_owned()),
                section: Some(size.working.section.clone()).filter(|s| !s.is_empty()),
                ..META.finding(
                    &piece.id,
                    ctx.size_span(piece),
                    format!("{}: {reason}", piece.id),
                )
            };
            worst.add(piece, size.load, finding);
        }
    }
    found.extend(worst.into_findings());
    found
}
