//! V107 stack-without-vent-stack
//!
//! Checks that each stack that is tall enough for it has a vent stack beside it, from its base to the
//! open air or to its own vent above its highest branch. The book counts branch intervals or storeys.
//! Says nothing of stacks that are there already.
//!
//! Why: the water of many floors drives the air before it down the stack and draws air after it; with
//! air at its top alone the traps of the lower floors are blown, those of the upper ones siphoned.
//!
//! Example: `S1 = { up_to = "f5" }` with branches of six floors: it ends below the roof, and a vent
//! stack would lead nowhere.
//!
//! To do: take the stack up to the roof (no `up_to`); the tool then proposes its vent stack. Where there
//! is no free place on the drain just downstream of its base, move what stands there.
//!
//! Section: IPC 904.2, UPC 907.1.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{RunIx, RunKind, State};
use crate::sizing::intervals::intervals;
use crate::sizing::tall::{Tall, tall};

/// V107.
pub const META: Meta = Meta::new("V107", "stack-without-vent-stack", Severity::Error);

/// Tall stacks without one.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let Some(rule) = ctx.book.vent_stack_rule() else {
        return Vec::new();
    };
    let counted = match rule.by_storeys {
        true => "storeys",
        false => "branch intervals",
    };
    let found = tall_stacks(ctx).into_iter().filter_map(|(run, tall)| {
        if ctx.net.vent_stacks.contains_key(&run) {
            return None;
        }
        let stack = ctx.net.runs.get(run.0)?;
        Some(Diagnostic {
            help: Some(
                "take it up to the roof, with room for the foot of a vent stack below its base"
                    .to_owned(),
            ),
            section: Some(rule.from.section.clone()),
            ..META.finding(
                &stack.id,
                stack.span.clone(),
                format!(
                    "{} has {} {counted} and no vent stack; from {} on it needs one",
                    stack.id, tall.count, rule.from.value
                ),
            )
        })
    });
    found.collect()
}

/// The new stacks that need a vent stack, with what else they need.
pub fn tall_stacks(ctx: &Context<'_>) -> Vec<(RunIx, Tall)> {
    let intervals = intervals(ctx.job, ctx.net, ctx.book);
    let stacks = intervals.iter().filter(|(run, _)| {
        let run = ctx.net.runs.get(run.0);
        run.is_some_and(|r| r.kind == RunKind::Stack && r.state != State::Existing)
    });
    let tall =
        stacks.filter_map(|(run, i)| Some((*run, tall(ctx.job, ctx.net, ctx.book, *run, i)?)));
    tall.collect()
}
