//! D102 trap-too-small
//!
//! Checks every stated trap against the least that the book gives for the fixture.
//!
//! Why: a small trap empties the fixture slowly and clogs.
//!
//! Example: `CW-1 = { kind = "clothes washer", trap = 1.5 }`: a standpipe has a 2 in trap at least.
//!
//! To do: take the size that the finding names; leave `trap` out to have it chosen.
//!
//! Section: IPC 709.1, IRC P3201.7.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};

/// D102.
pub const META: Meta = Meta::new("D102", "trap-too-small", Severity::Error);

/// Traps smaller than the book's least.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    ctx.solution
        .sizing
        .traps
        .iter()
        .filter(|(_, trap)| trap.size < trap.code_size)
        .filter_map(|(ix, trap)| {
            let fixture = ctx.fixture(*ix)?;
            let span = fixture.trap.as_ref().map(|s| s.span.clone());
            let message = format!(
                "the trap of {} is {}; a {} has {} at least",
                fixture.name,
                print.size(trap.size),
                fixture.kind.value,
                print.size(trap.code_size)
            );
            Some(Diagnostic {
                help: Some(format!(
                    "make it {}",
                    print.size(ctx.stocked(trap.code_size))
                )),
                section: Some(trap.working.section.clone()).filter(|s| !s.is_empty()),
                ..META.finding(
                    &fixture.name,
                    span.or_else(|| Some(fixture.span.clone())),
                    message,
                )
            })
        })
        .collect()
}
