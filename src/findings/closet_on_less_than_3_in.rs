//! D103 closet-on-less-than-3-in
//!
//! Checks every drain downstream of a water closet: none may be smaller than the least that the
//! book lets a closet drain into. A 4 by 3 closet bend or flange is no decrease.
//!
//! Why: what a closet sends down does not pass a smaller pipe.
//!
//! Example: `bath2 = { into = "S1", size = 2 }` with `WC-1 = { into = "bath2" }`.
//!
//! To do: make the drain 3 in from the closet to the exit.
//!
//! Section: IPC 710.1, IRC P3005.4, UPC 703.2.

use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{RunKind, System};

/// D103.
pub const META: Meta = Meta::new("D103", "closet-on-less-than-3-in", Severity::Error);

/// Drains of closets that are too small for any closet.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let least = ctx.book.closet_least();
    let mut worst = Worst::new(ctx);
    for (ix, piece, size) in ctx.sized(System::Waste) {
        let closets = ctx.solution.sizing.serves.get(&ix).map_or(0, |s| s.closets);
        let pumped = ctx.kind(piece) == Some(RunKind::Discharge);
        if closets == 0 || pumped || ctx.book.closets_allowed(size.size).value {
            continue;
        }
        let message = format!(
            "{} is {} and takes {}; a closet drains into {} or larger",
            piece.id,
            print.size(size.size),
            match closets {
                1 => "a water closet".to_owned(),
                n => format!("{n} water closets"),
            },
            print.size(least.value)
        );
        let finding = Diagnostic {
            help: Some(format!("make it {}", print.size(ctx.stocked(least.value)))),
            section: Some(least.section.clone()),
            ..META.finding(&piece.id, ctx.size_span(piece), message)
        };
        worst.add(piece, closets, finding);
    }
    worst.into_findings()
}
