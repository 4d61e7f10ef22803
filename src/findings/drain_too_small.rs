//! D101 drain-too-small
//!
//! Checks every stated drain, branch, stack and trap arm against the load that it carries, and
//! against the trap that it serves; and, where the book counts them, the closets or fixtures on it.
//!
//! Why: a drain that runs full siphons the traps on it and backs up.
//!
//! Example: `kb = { into = "S1", size = 1.5 }` under a kitchen sink and a laundry tub: 4 dfu, and a
//! 1 1/2 in branch carries 3.
//!
//! To do: give it the size that the finding names, or move fixtures to another drain.
//!
//! Section: IPC 710.1, IRC P3005.4, UPC 703.2.

use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::System;
use crate::sizing::class;
use crate::units::PipeSize;

/// D101.
pub const META: Meta = Meta::new("D101", "drain-too-small", Severity::Error);

/// Drains smaller than their load or trap asks for. What a closet, a washer or an upstream size
/// asks for has rules of its own.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut worst = Worst::new(ctx);
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
            Some(most) if !most.covers(size.demand) => format!(
                "{} is {} and has {} to carry; {} carries {}",
                piece.id,
                print.size(size.size),
                print.demand(size.demand),
                print.size(size.size),
                print.demand(most)
            ),
            _ if too_many(ctx, ix, size.size).is_some() => {
                let (words, _) = too_many(ctx, ix, size.size).unwrap_or_default();
                let serves = serves.unwrap_or_default();
                format!(
                    "{} takes {} water closets and {} fixtures in all: {words}",
                    piece.id, serves.closets, serves.fixtures
                )
            }
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

/// More closets or fixtures than the book counts on such a pipe.
fn too_many(
    ctx: &Context<'_>,
    ix: crate::network::PieceIx,
    size: PipeSize,
) -> Option<(String, String)> {
    let serves = ctx.solution.sizing.serves.get(&ix)?;
    let on = (ctx.net, ctx.book, ctx.print);
    class::too_many(on, ix, size, (serves.closets, serves.fixtures))
}

/// Whether a piece starts at a trap that is larger by the code than the piece is, or at the arm of
/// a fixture that needs a larger drain.
fn trap_is_larger(ctx: &Context<'_>, ix: crate::network::PieceIx) -> bool {
    let sizing = &ctx.solution.sizing;
    let size = sizing.pieces.get(&ix).map(|s| s.size);
    ctx.net.traps.iter().enumerate().any(|(i, trap)| {
        let Some(its) = sizing.traps.get(&crate::network::TrapIx(i)) else {
            return false;
        };
        let past_arm = || {
            let end = trap.arm.and_then(|a| ctx.net.to(a));
            end.and_then(|j| ctx.net.downstream(j)) == Some(ix)
        };
        (trap.arm == Some(ix) && Some(its.code_size) > size)
            || (its.drain.is_some_and(|d| Some(d) > size) && past_arm())
    })
}
