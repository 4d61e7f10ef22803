//! L109 slab-not-stated
//!
//! Tells where drains lie under a slab whose thickness nobody gave. Checks nothing that a code asks
//! for.
//!
//! Why: how high such a drain may lie, and so whether it fits, is not known; everything else says
//! that it fits.
//!
//! Example: `run = ["lies under slab", "north 20'"]`, and a floor without `slab`.
//!
//! To do: state `slab = "4in"` for that floor.
//!
//! Section: none.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::Lies;

/// L109.
pub const META: Meta = Meta::new("L109", "slab-not-stated", Severity::Advice);

/// One for all drains that the job says lie under a slab, where it states none.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    if ctx.job.floors.iter().any(|f| f.slab.is_some()) {
        return Vec::new();
    }
    let mut drains = ctx.job.drains.iter();
    let under = drains.find(|d| d.run.iter().any(|l| l.lies == Some(Lies::UnderSlab)));
    let found = under.map(|drain| Diagnostic {
        help: Some("state `slab`, its thickness, for the floor over it".to_owned()),
        ..META.finding(
            &drain.name,
            Some(drain.span.clone()),
            format!(
                "{} lies under a slab whose thickness no floor states: whether it fits there is not checked",
                drain.name
            ),
        )
    });
    found.into_iter().collect()
}
