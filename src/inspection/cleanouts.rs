//! Cleanouts.

use super::model::Measure;
use crate::findings::{Context, since_cleanouts};
use crate::units::Length;

/// The longest way down a level drain to its next cleanout.
pub(super) fn apart(ctx: &Context<'_>) -> Option<Measure> {
    let rule = &ctx.book.cleanouts().spacing;
    let ways = since_cleanouts(ctx, None);
    let (piece, way) = ways.iter().reduce(|a, b| if b.1 > a.1 { b } else { a })?;
    Some(Measure {
        what: "way to the next cleanout".to_owned(),
        section: rule.cite().to_owned(),
        applied: ways.len(),
        at: format!("upper end of {}", ctx.net.graph[*piece].id),
        has: ctx.print.length(*way),
        limit: ctx.print.length(rule.value),
        margin: ctx.print.length((rule.value - *way).max(Length::ZERO)),
        kept: *way <= rule.value || way.same(rule.value),
    })
}
