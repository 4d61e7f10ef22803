//! L101 lengths-missing
//!
//! Tells which lengths nobody gave. Checks nothing that a code asks for.
//!
//! Why: the inverts beyond them are not known, and neither is whether the fall fits.
//!
//! Example: `bath2 = { into = "S1" }` without a `run`.
//!
//! To do: state `run`, `station` and `arm` where an invert matters; leave the rest.
//!
//! Section: none.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};

/// L101.
pub const META: Meta = Meta::new("L101", "lengths-missing", Severity::Advice);

/// How many are named before the rest is counted.
const NAMED: usize = 12;

/// One finding for all of them.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let missing = &ctx.solution.levels.missing;
    if missing.is_empty() {
        return Vec::new();
    }
    let named: Vec<&str> = missing.iter().take(NAMED).map(String::as_str).collect();
    let more = missing.len().saturating_sub(NAMED);
    let mut message = format!("no length is given for {}", named.join(", "));
    if more > 0 {
        message.push_str(&format!(" and {more} more"));
    }
    vec![Diagnostic {
        help: Some("state `run`, `station` or `arm` where an invert matters".to_owned()),
        ..META.finding("", None, message)
    }]
}
