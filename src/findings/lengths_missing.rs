//! L101 lengths-missing
//!
//! Tells which lengths of drains nobody gave, and which exits have no invert. Vents without a length
//! stand in the list of material. Checks nothing that a code asks for.
//!
//! Why: the inverts beyond them are not known, and neither is whether the fall fits.
//!
//! Example: `bath2 = { into = "S1" }` without a `run`.
//!
//! To do: state `run`, `station` and `arm` where an invert matters, and the exit's `invert`; leave the
//! rest.
//!
//! Section: none.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::Exit;

/// L101.
pub const META: Meta = Meta::new("L101", "lengths-missing", Severity::Advice);

/// How many are named before the rest is counted.
const NAMED: usize = 40;

/// One finding for all of them.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> = ctx.job.exits.iter().filter_map(no_invert).collect();
    let missing = &ctx.solution.levels.missing;
    if missing.is_empty() {
        return found;
    }
    let named: Vec<&str> = missing.iter().take(NAMED).map(String::as_str).collect();
    let more = missing.len().saturating_sub(NAMED);
    let mut message = format!("no length is given for {}", named.join(", "));
    if more > 0 {
        message.push_str(&format!(" and {more} more"));
    }
    found.push(Diagnostic {
        help: Some("state `run`, `station` or `arm` where an invert matters".to_owned()),
        ..META.finding("", None, message)
    });
    found
}

/// The one hard number of the job.
fn no_invert(exit: &Exit) -> Option<Diagnostic> {
    exit.invert.is_none().then(|| Diagnostic {
        help: Some("state `invert`, at the outside face of the wall".to_owned()),
        ..META.finding(
            &exit.name,
            Some(exit.span.clone()).filter(|s| !s.is_empty()),
            format!(
                "the invert of {} is not stated: no level of its drains is known, nor whether they fit",
                exit.name
            ),
        )
    })
}
