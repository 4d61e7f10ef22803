//! W101 unused-waiver
//!
//! Checks that every waiver of the job answers a finding.
//!
//! Why: a waiver that answers nothing hides the next defect of that kind, or has a slip in it.
//!
//! Example: `W1 = { code = "D101", on = "bath2", reason = "…" }` after bath2 was made larger.
//!
//! To do: take the waiver out, or mend its `code` or `on`.
//!
//! Section: none.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};

/// W101.
pub const META: Meta = Meta {
    code: "W101",
    name: "unused-waiver",
    severity: Severity::Warning,
    about_waivers: true,
};

/// Waivers that answer no finding.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let waivers = ctx.job.waivers.iter().enumerate();
    waivers
        .filter(|(i, _)| !ctx.used_waivers.contains(i))
        .map(|(_, w)| {
            let known = super::RULES.iter().any(|r| {
                w.code.value == r.meta.name || w.code.value.eq_ignore_ascii_case(r.meta.code)
            });
            let message = if !known {
                format!("{}: there is no finding {}", w.name, w.code.value)
            } else if let Some(on) = &w.on {
                format!("{}: no finding {} on {}", w.name, w.code.value, on.value)
            } else {
                format!("{}: no finding {} in this job", w.name, w.code.value)
            };
            Diagnostic {
                help: Some("take it out, or mend its `code` or `on`".to_owned()),
                ..META.finding(&w.name, Some(w.span.clone()), message)
            }
        })
        .collect()
}
