//! K102 changed-after-its-test
//!
//! Checks that a part that was changed on site is tested after that, where it was tested before.
//!
//! Why: a joint that was made after the test has held no water.
//!
//! Example: `T1 = { on = "bath2", is = "tested", date = "2026-03-10" }` and
//! `C1 = { on = "bath2", is = "changed", now = { size = 3 }, date = "2026-03-11" }`.
//!
//! To do: test the part again and write a mark with the day of that test.
//!
//! Section: none.

use super::context::{Context, Meta};
use super::standing_contradicted::{by_part, day};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::Standing;

/// K102.
pub const META: Meta = Meta::new("K102", "changed-after-its-test", Severity::Warning);

/// Parts whose last test is older than a change of them.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (part, marks) in by_part(ctx) {
        let tests = marks.iter().filter(|(m, _)| m.is == Standing::Tested);
        let Some(last) = tests.filter_map(|(m, _)| day(m)).max() else {
            continue;
        };
        for (mark, on) in marks.iter().filter(|(m, _)| m.is == Standing::Changed) {
            let changes = mark.laid.iter().any(|l| !l.same && l.on == part);
            if let Some(day) = day(mark).filter(|d| changes && *d > last) {
                let message = format!("{part} is changed on {day}, after its test on {last}");
                found.push(Diagnostic {
                    help: Some("test it again, and mark that test with its day".to_owned()),
                    ..META.finding(&mark.name, Some(on.span.clone()), message)
                });
            }
        }
    }
    found
}
