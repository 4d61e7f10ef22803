//! V109 offset-without-vent
//!
//! Checks each level offset of a stack with five branch intervals or more above it, as the book counts
//! them: it needs vents of its own, above it and below, or a stack and an offset so large that air
//! passes the water. Offsets below the lowest branch are not meant, nor stacks that are there already.
//! The tool sets no vents of offsets: it only knows the way without them.
//!
//! Why: where the water of many floors turns level it fills the pipe, and what comes behind drives the
//! air before it into the nearest traps.
//!
//! Example: `S1 = { offsets = [{ floor = "f3", go = "east 6'", by = 90 }] }` with branches of six floors
//! above the third.
//!
//! To do: make stack and offset one size larger than a building drain of that load, and of an area of
//! the straight stack and its vent together (`size`); or use 45 degree bends; or have the vents of the
//! offset drawn, and waive the finding.
//!
//! Section: IPC 711.3, 907.1; the UPC has no such rule.

use super::context::{Context, Meta};
use crate::codebook::OffsetRule;
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::falls::is_vertical;
use crate::network::{JointKind, PieceIx, RunIx, RunKind, State};
use crate::sizing::intervals::{Intervals, intervals};
use crate::units::PipeSize;

/// V109.
pub const META: Meta = Meta::new("V109", "offset-without-vent", Severity::Error);

/// Level offsets that need vents and have none.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let Some(rule) = ctx.book.vent_stack_rule().and_then(|r| r.offset.as_ref()) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for (stack, intervals) in intervals(ctx.job, ctx.net, ctx.book) {
        let run = ctx.net.runs.get(stack.0);
        let new = run.is_some_and(|r| r.kind == RunKind::Stack && r.state != State::Existing);
        for piece in run.filter(|_| new).map_or(&[][..], |r| &r.pieces) {
            found.extend(offset(ctx, rule, (stack, &intervals), *piece));
        }
    }
    found
}

fn offset(
    ctx: &Context<'_>,
    rule: &OffsetRule,
    (stack, intervals): (RunIx, &Intervals),
    piece: PieceIx,
) -> Option<Diagnostic> {
    let net = ctx.net;
    let kind = |j| net.graph.node_weight(j).map(|j| j.kind);
    let foot = matches!(kind(net.to(piece)?)?, JointKind::OffsetFoot(_));
    if !foot || is_vertical(net, piece) {
        return None;
    }
    let run = net.runs.get(stack.0)?;
    let at = run.pieces.iter().position(|p| *p == piece)?;
    let (below, above) = run.pieces.split_at(at);
    let enters = |p: &PieceIx| intervals.of.get(&net.from(*p)?).copied();
    // Counted from the top, so the lowest one above tells how many there are.
    let count = above.iter().filter_map(enters).max()? + 1;
    let none_below = below.iter().filter_map(enters).next().is_none();
    if count < rule.from.value || none_below {
        return None;
    }
    let least = least(ctx, rule, stack, piece)?;
    let sizes = &ctx.solution.sizing.pieces;
    let own = run.pieces.iter().filter_map(|p| sizes.get(p));
    let own = own.map(|s| s.size).min()?;
    if own >= least {
        return None;
    }
    Some(Diagnostic {
        help: Some(format!(
            "make {} {} over its whole height, or vent the offset above and below",
            run.id,
            ctx.print.size(ctx.stocked(least))
        )),
        section: Some(rule.from.section.clone()),
        ..META.finding(
            &run.id,
            run.span.clone(),
            format!(
                "{} steps aside level below {count} branch intervals; without vents at the offset \
                 it has to be {}, and is {}",
                run.id,
                ctx.print.size(least),
                ctx.print.size(own)
            ),
        )
    })
}

/// The size of stack and offset that needs no vents of the offset: so many sizes over a building drain
/// of its load, and of the area of the straight stack and its vent together.
fn least(ctx: &Context<'_>, rule: &OffsetRule, stack: RunIx, piece: PieceIx) -> Option<PipeSize> {
    let sizes = &ctx.solution.sizing.pieces;
    let mut least = sizes.get(&piece)?.code_size?;
    for _ in 0..rule.larger_by.value {
        least = least.next_up()?;
    }
    let pieces = &ctx.net.runs.get(stack.0)?.pieces;
    let code = |p: &PieceIx| sizes.get(p)?.code_size;
    let upright = pieces.iter().filter(|p| is_vertical(ctx.net, **p));
    let straight = upright.filter_map(code).max()?;
    let vent = crate::sizing::vent_rules::half(ctx.book, straight);
    // Areas of round pipes are as the squares of their sizes.
    let square = |s: PipeSize| s.inches() * s.inches();
    let asked = square(straight) + square(vent);
    PipeSize::all().find(|s| *s >= least && square(*s) + 1e-9 >= asked)
}
