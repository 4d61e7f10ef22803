//! V105 vent-joins-its-stack-below-waste
//!
//! Checks that a vent whose legs the job states comes to its stack above everything that drains
//! into that stack. Said only where the levels of both are known.
//!
//! Why: below a waste inlet the stack is a drain: what falls in it closes the mouth of the vent
//! and runs into it.
//!
//! Example: `V1 = { run = ["up 5'", "east 8'"], into = "S1" }` on the first floor, where the second
//! floor drains into S1 farther up.
//!
//! To do: take it up above the highest waste of that stack, and 6 in above the rims there; or lead
//! it to another vent or the roof.
//!
//! Section: IPC 905.1, IRC P3104.1.

use super::context::{Context, Meta};
use super::vent_flat_below_rim::{climb, feet};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::{Target, Vent};
use crate::units::Length;

/// V105.
pub const META: Meta = Meta::new("V105", "vent-joins-its-stack-below-waste", Severity::Error);

/// Vents that end in the wet part of a stack.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    ctx.job.vents.iter().filter_map(|v| below(ctx, v)).collect()
}

fn below(ctx: &Context<'_>, vent: &Vent) -> Option<Diagnostic> {
    let (net, print) = (ctx.net, ctx.print);
    let into = vent.into.as_ref()?;
    let Target::Stack(stack) = into.value else {
        return None;
    };
    if vent.run.is_empty() {
        return None;
    }
    let stack = ctx.job.stacks.get(stack)?;
    let run = net.run_by_id(&stack.name)?;
    let (waste, highest) = net
        .runs
        .get(run.0)?
        .pieces
        .iter()
        .filter_map(|p| net.from(*p))
        .flat_map(|joint| net.upstream(joint))
        .filter_map(|p| {
            let piece = net.graph.edge_weight(p).filter(|q| q.run != run)?;
            let level = ctx.solution.levels.pieces.get(&p)?.invert_down?;
            Some((net.runs.get(piece.run.0)?, level))
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let lowest = feet(ctx, vent)
        .into_iter()
        .map(|(_, level)| level + climb(vent.run.iter()))
        .min_by(Length::total_cmp)?;
    if lowest >= highest || lowest.same(highest) {
        return None;
    }
    let under = ctx.rounded_up(highest - lowest);
    Some(Diagnostic {
        help: Some(format!(
            "take it up more than {} higher, above {}",
            print.length(under),
            waste.id
        )),
        section: ctx.book.section("vent-joins").map(str::to_owned),
        ..META.finding(
            &vent.name,
            Some(into.span.clone()),
            format!(
                "{} comes to {} {} below where {} drains into it",
                vent.name,
                stack.name,
                print.length(under),
                waste.id
            ),
        )
    })
}
