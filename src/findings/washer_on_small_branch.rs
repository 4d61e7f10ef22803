//! D106 washer-on-small-branch
//!
//! Checks that the standpipe of a clothes washer drains into a branch or stack of the book's
//! least size for it, whatever its load.
//!
//! Why: a washer pumps out faster than its fixture units say, and suds rise.
//!
//! Example: `lb = { into = "S1", size = 2 }` with `CW-1 = { kind = "clothes washer", into = "lb" }`.
//!
//! To do: make the branch 3 in from the washer down.
//!
//! Section: IPC 406.2, IRC P2718.1.

use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{RunKind, System};
use crate::sizing::class::{Class, class};

/// D106.
pub const META: Meta = Meta::new("D106", "washer-on-small-branch", Severity::Error);

/// Branches and stacks below a washer that are too small for one.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let Some(least) = ctx.book.washer_branch() else {
        return Vec::new();
    };
    let print = ctx.print;
    let mut worst = Worst::new(ctx);
    for (ix, piece, size) in ctx.sized(System::Waste) {
        let washers = ctx.solution.sizing.serves.get(&ix).map_or(0, |s| s.washers);
        let fixture_drain = class(ctx.net, ix) == Class::FixtureDrain;
        let drawn = matches!(ctx.kind(piece), Some(RunKind::Sewer | RunKind::Discharge));
        if washers == 0 || fixture_drain || drawn || size.size >= least.value {
            continue;
        }
        let message = format!(
            "{} is {} and takes a clothes washer, which drains into {} or larger",
            piece.id,
            print.size(size.size),
            print.size(least.value)
        );
        let finding = Diagnostic {
            help: Some(format!("make it {}", print.size(ctx.stocked(least.value)))),
            section: Some(least.section.clone()),
            ..META.finding(&piece.id, ctx.size_span(piece), message)
        };
        worst.add(piece, washers, finding);
    }
    worst.into_findings()
}
