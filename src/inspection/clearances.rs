//! How far drains keep clear of what they pass: footings, and the bases of stacks.

use super::model::Measure;
use super::worst::Worst;
use crate::findings::{Context, below_bases, footing_called, joining_name};
use crate::levels::Passes;
use crate::units::Length;

/// The footing that a drain passes nearest to.
pub(super) fn footings(ctx: &Context<'_>) -> Option<Measure> {
    let mut worst = Worst::default();
    for pass in &ctx.solution.levels.footings {
        let (clear, how) = match pass.passes {
            Passes::Under { clear } => (clear, "under"),
            Passes::Over { clear } => (clear, "over"),
            Passes::CutsBottom { above_bottom } => (-above_bottom, "under"),
            Passes::CutsTop { below_top } => (-below_top, "over"),
            Passes::Through {
                above_bottom,
                below_top,
            } => (-above_bottom.min(below_top), "through"),
            Passes::Unknown(_) => continue,
        };
        let Some((_, called, _)) = footing_called(ctx, pass.at) else {
            continue;
        };
        let measure = Measure {
            what: "clear of a footing".to_owned(),
            section: "—".to_owned(),
            provenance: None,
            applied: 0,
            at: format!("{how} {called}"),
            has: ctx.print.short(ctx.rounded_down(clear)),
            limit: ctx.print.short(Length::ZERO),
            margin: ctx.print.short(ctx.rounded_down(clear)),
            kept: Some(clear >= Length::ZERO),
        };
        worst.add(-clear.mm(), measure);
    }
    worst.done()
}

/// What joins a drain nearest downstream of a stack's base.
pub(super) fn bases(ctx: &Context<'_>) -> Option<Measure> {
    let rule = ctx.book.heel_distance()?;
    let mut worst = Worst::default();
    for joining in below_bases(ctx) {
        let stack = ctx.net.runs.get(joining.stack.0);
        let Some((name, stack)) = joining_name(ctx, joining.entering).zip(stack) else {
            continue;
        };
        let left = joining.away - joining.clear;
        let measure = Measure {
            what: "way from a stack's base to what joins".to_owned(),
            section: rule.cite().to_owned(),
            provenance: Some(rule.provenance),
            applied: 0,
            at: format!("{name}, from {}", stack.id),
            has: ctx.print.length(joining.away),
            limit: ctx.print.length(joining.clear),
            margin: ctx.print.length(left.max(Length::ZERO)),
            kept: Some(left >= Length::ZERO || joining.away.same(joining.clear)),
        };
        worst.add(-left.mm(), measure);
    }
    worst.done()
}
