//! V109 offset-without-vent
//!
//! Checks each level offset of a stack with five branch intervals or more above it, as the book counts
//! them: it needs vents of its own, above it and below, or a stack and an offset so large that air
//! passes the water. Offsets below the lowest branch are not meant, nor stacks that are there already.
//! The tool sets no vents of offsets: where the job states no size it makes the stack that large.
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
use crate::diagnostics::{Diagnostic, Severity};
use crate::sizing::intervals::intervals;
use crate::sizing::offsets::{Offset, offsets};

/// V109.
pub const META: Meta = Meta::new("V109", "offset-without-vent", Severity::Error);

/// Level offsets that need vents and have none.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let intervals = intervals(ctx.job, ctx.net, ctx.book);
    let all = offsets(ctx.net, ctx.book, &intervals, &ctx.solution.sizing.pieces);
    all.iter().filter_map(|o| one(ctx, o)).collect()
}

fn one(ctx: &Context<'_>, offset: &Offset) -> Option<Diagnostic> {
    let rule = ctx.book.vent_stack_rule()?.offset.as_ref()?;
    let run = ctx.net.runs.get(offset.stack.0)?;
    let sizes = &ctx.solution.sizing.pieces;
    let own = run.pieces.iter().filter_map(|p| sizes.get(p));
    let own = own.map(|s| s.size).min()?;
    if own >= offset.least {
        return None;
    }
    Some(Diagnostic {
        help: Some(format!(
            "make {} {} over its whole height, or vent the offset above and below",
            run.id,
            ctx.print.size(ctx.stocked(offset.least))
        )),
        section: Some(rule.from.section.clone()),
        ..META.finding(
            &run.id,
            run.span.clone(),
            format!(
                "{} steps aside level below {} branch intervals; without vents at the offset it \
                 has to be {}, and is {}",
                run.id,
                offset.intervals,
                ctx.print.size(offset.least),
                ctx.print.size(own)
            ),
        )
    })
}
