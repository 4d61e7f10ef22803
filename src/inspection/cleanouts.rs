//! Cleanouts.

use super::model::Measure;
use crate::findings::{Context, Since, since_cleanouts};
use crate::units::Length;

/// The longest way down a level drain to its next cleanout, of those that are known whole or too
/// long already; where nobody gave their lengths, that.
pub(super) fn apart(ctx: &Context<'_>) -> Option<Measure> {
    let rule = &ctx.book.cleanouts().spacing;
    let most = rule.value;
    let keeps = |w: &Since| w.least <= most || w.least.same(most);
    let all = since_cleanouts(ctx, None);
    let ways: Vec<&Since> = all.iter().filter(|w| w.known || !keeps(w)).collect();
    let longest = ways
        .iter()
        .reduce(|a, b| if b.least > a.least { b } else { a });
    let measure = |at: String, has: String, margin: String, kept| Measure {
        what: "way to the next cleanout".to_owned(),
        section: rule.cite().to_owned(),
        provenance: Some(rule.provenance),
        applied: ways.len(),
        at,
        has,
        limit: ctx.print.length(most),
        margin,
        kept,
    };
    let Some(worst) = longest else {
        let unknown = "no length of a level drain is given".to_owned();
        let none = || "—".to_owned();
        return (!all.is_empty()).then(|| measure(unknown, none(), none(), None));
    };
    Some(measure(
        format!("upper end of {}", ctx.net.graph[worst.piece].id),
        ctx.print.length(worst.least),
        ctx.print.length((most - worst.least).max(Length::ZERO)),
        Some(keeps(worst)),
    ))
}
