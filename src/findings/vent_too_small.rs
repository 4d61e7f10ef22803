//! V101 vent-too-small
//!
//! Checks every stated vent against the drain or stack that it serves, its length, and the vents
//! that join it.
//!
//! Why: a small vent throttles the air, and the traps pay for it.
//!
//! Example: `V1 = { into = "S1", size = 1.25 }` over a drain that has to be 3 in: half of it is 1 1/2.
//!
//! To do: give it the size that the finding names.
//!
//! Section: IPC 906, IRC P3113.

use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::System;

/// V101.
pub const META: Meta = Meta::new("V101", "vent-too-small", Severity::Error);

/// Vents smaller than the code asks for.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let mut worst = Worst::new(ctx);
    for (_, piece, size) in ctx.sized(System::Vent) {
        let Some(code) = size.code_size.filter(|c| size.size < *c) else {
            continue;
        };
        let message = format!(
            "{} is {}; it vents {} {} and has to be {}",
            piece.id,
            print.size(size.size),
            print.load(size.load),
            ctx.book.unit(),
            print.size(code)
        );
        let finding = Diagnostic {
            help: Some(format!(
                "make it {}, the smallest stocked size that passes",
                print.size(ctx.stocked(code))
            )),
            section: Some(size.working.section.clone()).filter(|s| !s.is_empty()),
            ..META.finding(&piece.id, ctx.size_span(piece), message)
        };
        worst.add(piece, code, finding);
    }
    worst.into_findings()
}
