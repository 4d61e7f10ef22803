//! V108 relief-vent-missing
//!
//! Checks that a relief (yoke) vent leads from each tall stack to its vent stack as often as the book
//! has it, in branch intervals or storeys counted from the top. Says nothing of stacks that are
//! there already.
//!
//! Why: in a tall stack pressure builds up between its two ends, where neither the foot nor the top of
//! the vent stack reaches.
//!
//! Example: `S1 = { up_to = "f12" }` with branches of twelve floors: without a vent stack no relief vent
//! has anywhere to lead.
//!
//! To do: take the stack up to the roof (no `up_to`); the tool then proposes its vent stack and the
//! relief vents.
//!
//! Section: IPC 908.1, UPC 907.1.

use super::context::{Context, Meta};
use super::stack_without_vent_stack::tall_stacks;
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::FloorIx;
use crate::network::{JointKind, RunIx};

/// V108.
pub const META: Meta = Meta::new("V108", "relief-vent-missing", Severity::Error);

/// Tall stacks that lack relief vents.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let Some(rule) = ctx.book.vent_stack_rule().and_then(|r| r.relief.as_ref()) else {
        return Vec::new();
    };
    let found = tall_stacks(ctx).into_iter().filter_map(|(run, tall)| {
        let there = relief_floors(ctx, run);
        let lacks = tall.relief.iter().filter(|f| !there.contains(f));
        let names = lacks
            .filter_map(|f| ctx.job.floors.get(f.0))
            .map(|f| f.name.as_str());
        let names: Vec<&str> = names.collect();
        if names.is_empty() {
            return None;
        }
        let stack = ctx.net.runs.get(run.0)?;
        Some(Diagnostic {
            help: Some(format!(
                "lead one from a wye below the branches of that floor into the vent stack, {} or \
                 more above the floor",
                ctx.print.length(rule.head.value)
            )),
            section: Some(rule.each.section.clone()),
            ..META.finding(
                &stack.id,
                stack.span.clone(),
                format!(
                    "{} has no relief vent at {}; it needs one at each {}th from the top",
                    stack.id,
                    names.join(", "),
                    rule.each.value
                ),
            )
        })
    });
    found.collect()
}

/// The floors at which a relief vent leaves a stack for its vent stack.
fn relief_floors(ctx: &Context<'_>, stack: RunIx) -> Vec<FloorIx> {
    if !ctx.net.vent_stacks.contains_key(&stack) {
        return Vec::new();
    }
    let pieces = ctx.net.runs.get(stack.0).map_or(&[][..], |r| &r.pieces);
    let joints = pieces.iter().filter_map(|p| ctx.net.from(*p));
    let floors = joints.filter_map(|j| match ctx.net.graph.node_weight(j)?.kind {
        JointKind::Relief(floor) => Some(floor),
        _ => None,
    });
    floors.collect()
}
