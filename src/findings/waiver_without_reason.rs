//! W102 waiver-without-reason
//!
//! Checks that every waiver says why, in more than one word.
//!
//! Why: the reviewer decides, and can only decide on a reason.
//!
//! Example: `W1 = { code = "A101", on = "LAV-1", reason = "ok" }`. (With no `reason` at all the job
//! file does not read.)
//!
//! To do: write the reason out, and `by` where somebody approved it.
//!
//! Section: none.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};

/// W102.
pub const META: Meta = Meta {
    code: "W102",
    name: "waiver-without-reason",
    severity: Severity::Error,
    about_waivers: true,
};

/// Waivers without a reason.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let words = |r: &str| {
        r.split_whitespace()
            .filter(|w| w.chars().any(char::is_alphanumeric))
            .count()
    };
    let blank = |r: &Option<String>| r.as_ref().is_none_or(|r| words(r) < 2);
    ctx.job
        .waivers
        .iter()
        .filter(|w| blank(&w.reason))
        .map(|w| Diagnostic {
            help: Some("write out `reason = \"…\"`".to_owned()),
            ..META.finding(
                &w.name,
                Some(w.span.clone()),
                format!("{} waives {} and gives no reason", w.name, w.code.value),
            )
        })
        .collect()
}
