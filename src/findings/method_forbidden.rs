//! M101 method-forbidden
//!
//! Checks that no trap is vented by a method that the job itself forbids.
//! They stand in `methods = { forbid = […] }`. The tool proposes none of them, unless nothing else is left.
//!
//! Why: who forbids a method has a reason, an inspector's word or a client's, that the drawing
//! would not know of.
//!
//! Example: `methods = { forbid = ["air admittance valve"] }` and a vent of
//! `kind = "air admittance valve"`.
//!
//! To do: vent the trap by another method, or take the word out of `forbid`.
//!
//! Section: none; it is the job's own word.

use super::context::{Context, Meta};
use super::methods_said::{Told, said};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::TrapIx;

/// M101.
pub const META: Meta = Meta::new("M101", "method-forbidden", Severity::Error);

/// Traps vented by a method that the job forbids.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let forbid = &ctx.job.practice.forbid;
    let mut told = Told::default();
    let mut found = Vec::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let Some(word) = trap.vent.word() else {
            continue;
        };
        let (Some(forbidden), Some(fixture)) = (
            forbid.iter().find(|w| w.value == word),
            ctx.fixture(TrapIx(i)),
        ) else {
            continue;
        };
        let stated = said(ctx, TrapIx(i), trap);
        let (span, message) = match stated {
            Some(span) => (
                span,
                format!(
                    "{} is vented by {word}, which the job forbids",
                    fixture.name
                ),
            ),
            None => (
                forbidden.span.clone(),
                format!(
                    "no other method is left for {}: it is vented by {word}",
                    fixture.name
                ),
            ),
        };
        if told.first(&span) {
            found.push(Diagnostic {
                help: Some(format!(
                    "give {} a vent by another method, or take `{word}` out of `forbid`",
                    fixture.name
                )),
                ..META.finding(&fixture.name, Some(span), message)
            });
        }
    }
    found
}
