//! D101 drain-too-small
//!
//! Checks every stated drain, branch, stack and trap arm against the load that it carries, and
//! against the trap that it serves.
//!
//! Why: a drain that runs full siphons the traps on it and backs up.
//!
//! Example: `kb = { into = "S1", size = 1.5 }` under a kitchen sink and a laundry tub: 4 dfu, and a
//! 1 1/2 in branch carries 3.
//!
//! To do: give it the size that the finding names, or move fixtures to another drain.
//!
//! Section: IPC 710.1, IRC P3005.4.

use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::System;

/// D101.
pub const META: Meta = Meta::new("D101", "drain-too-small", Severity::Error);

/// Drains smaller than their load or trap asks for. What a closet, a washer or an upstream size
/// asks for has rules of its own.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut worst = Worst::new();
    for (ix, piece, size) in ctx.sized(System::Waste) {
        let Some(code) = size.code_size.filter(|c| size.size < *c) else {
            continue;
        };
        let serves = ctx.solution.sizing.serves.get(&ix).copied();
        let closets = serves.is_some_and(|s| s.closets > 0);
        if closets && !ctx.book.closets_allowed(size.size).value {
            continue;
        }
        let print = ctx.print;
        let message = match size.capacity {
            Some(most) if most < size.load => format!(
                "{} is {} and has {} dfu to carry; {} carries {} dfu",
                piece.id,
                print.size(size.size),
                print.load(size.load),
                print.size(size.size),
                print.load(most)
            ),
            Some(_) if !trap_is_larger(ctx, ix) => continue,
            _ => format!(
                "{} is {}; what it serves asks for {}",
                piece.id,
                print.size(size.size),
                print.size(code)
            ),
        };
        let finding = Diagnostic {
            help: Some(format!(
                "make it {}, the smallest stocked size that passes",
                print.size(ctx.stocked(code))
            )),
            section: Some(size.working.section.clone()).filter(|s| !s.is_empty()),
            ..META.finding(&piece.id, ctx.size_span(piece), message)
        };
        worst.add(piece, (code, size.load), finding);
    }
    worst.into_findings()
}

/// Whether a piece starts at a trap that is larger by the code than the piece is.
fn trap_is_larger(ctx: &Context<'_>, ix: crate::network::PieceIx) -> bool {
    let sizing = &ctx.solution.sizing;
    let size = sizing.pieces.get(&ix).map(|s| s.size);
    ctx.net.traps.iter().enumerate().any(|(i, trap)| {
        trap.arm == Some(ix)
            && sizing
                .traps
                .get(&crate::network::TrapIx(i))
                .is_some_and(|t| Some(t.code_size) > size)
    })
}
