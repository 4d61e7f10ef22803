//! D108 heavily-loaded
//!
//! Tells which drains of more than one fixture carry more than nine tenths of what they may. Checks
//! nothing that a code asks for.
//!
//! Why: one more fixture later, and the drain has to come out again.
//!
//! Example: a 2 in branch with 5.5 of its 6 dfu.
//!
//! To do: nothing, or the next size while the wall is open.
//!
//! Section: that of the table which gives what the drain may carry: IPC 710.1, IRC P3005.4.

use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::System;
use crate::sizing::class::{Class, class};

/// D108.
pub const META: Meta = Meta::new("D108", "heavily-loaded", Severity::Advice);

/// Where advice begins: this tool's own practice, no code's.
const MUCH: f64 = 0.9;

/// Flows that came through a unit and back are not told apart closer than this.
const SAME: f64 = 1e-6;

/// Drains over nine tenths full. What serves one fixture is never loaded further.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let mut worst = Worst::new(ctx);
    for (ix, piece, size) in ctx.sized(System::Waste) {
        let Some(most) = size.capacity else { continue };
        let Some(part) = size.demand.part_of(most) else {
            continue;
        };
        let single = ctx
            .solution
            .sizing
            .serves
            .get(&ix)
            .is_none_or(|s| s.fixtures <= 1);
        let own = single || class(ctx.net, ix) == Class::FixtureDrain;
        if own || part <= MUCH || part > 1.0 + SAME {
            continue;
        }
        let message = format!(
            "{} carries {} of the {} allowed on {}",
            piece.id,
            crate::units::number(size.demand.number(), 2, false),
            print.demand(most),
            print.size(size.size)
        );
        let next = ctx
            .job
            .practice
            .stock
            .iter()
            .find(|s| **s > size.size)
            .map(|s| format!("a {} pipe leaves room for more", print.size(*s)));
        let finding = Diagnostic {
            help: next,
            section: Some(size.working.section.clone()).filter(|s| !s.is_empty()),
            ..META.finding(&piece.id, ctx.size_span(piece), message)
        };
        worst.add(piece, part, finding);
    }
    worst.into_findings()
}
