//! P103 pin-not-kept
//!
//! Checks that every pin of the job is kept: that what is pinned to a side, a heading, an order or
//! a length is drawn so.
//!
//! Why: whoever pinned it counts on it, and the sheet shows something else.
//!
//! Example: `P1 = { on = "bath2", heading = "north" }` where bath2 has `run = ["west 10'"]`; a side
//! of a vent, which is drawn over the drains that it serves; an order of two things that stand at
//! stations the other way round.
//!
//! To do: take the pin out, or what stands against it. What the job states wins over a pin; a pin
//! wins over what the tool would choose.
//!
//! Section: none.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity, Span};
use crate::job::Pin;
use crate::pins;

/// P103.
pub const META: Meta = Meta::new("P103", "pin-not-kept", Severity::Warning);

/// Pins that cannot be kept, whatever the drawing; those that only a drawing shows are told with it.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let all = pins::against(ctx.job, ctx.net).into_iter();
    all.map(|n| finding(n.pin, n.span, &n.why, n.help))
        .collect()
}

/// A pin that is not kept.
pub fn finding(pin: &Pin, span: Span, why: &str, help: &str) -> Diagnostic {
    Diagnostic {
        help: Some(help.to_owned()),
        ..META.finding(&pin.name, Some(span), format!("{}: {why}", pin.name))
    }
}
