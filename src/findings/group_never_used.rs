//! R101 group-never-used
//!
//! Checks that every group is placed somewhere.
//!
//! Why: a group by itself is nothing in the building; its fixtures are in no load and on no sheet.
//!
//! Example: `[groups.bath.fixtures]` and no line in `[repeat]` that says `group = "bath"`.
//!
//! To do: place it in `[repeat]`, or take it out.
//!
//! Section: none.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};

/// R101.
pub const META: Meta = Meta::new("R101", "group-never-used", Severity::Advice);

/// Groups of which there is no copy.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let unused = ctx.job.made.groups.iter().filter(|g| g.copies == 0);
    unused
        .map(|g| Diagnostic {
            help: Some(format!(
                "place it: `[repeat]` `NAME = {{ group = \"{}\", into = \"…\", floors = \"…\" }}`",
                g.name
            )),
            ..META.finding(
                &g.name,
                Some(g.span.clone()),
                format!("the group {} is written and placed nowhere", g.name),
            )
        })
        .collect()
}
