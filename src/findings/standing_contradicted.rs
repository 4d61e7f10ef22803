//! K101 standing-contradicted
//!
//! Checks that what the job says of a part's standing goes together: it is not tested before it is roughed
//! in, what stands there already is not roughed in, and nothing is said twice.
//!
//! Why: whoever goes on with the work, or inspects it, trusts what stands on the sheet.
//!
//! Example: `R1 = { on = "main", is = "roughed in", date = "2026-03-09" }` and
//! `T1 = { on = "main", is = "tested", date = "2026-03-02" }`.
//!
//! To do: mend the date or the part, or take one of the marks out. A part that is tested but not
//! marked as roughed in is fine, and so is one that is tested again on another day.
//!
//! Section: none.

use std::collections::BTreeMap;

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::{Progress, Said, Standing};

/// K101.
pub const META: Meta = Meta::new("K101", "standing-contradicted", Severity::Error);

/// A date that can be compared with others: `2026-03-09`.
pub(super) fn day(mark: &Progress) -> Option<&str> {
    let date = mark.date.as_ref()?.value.as_str();
    let shape = date.bytes().enumerate().all(|(i, b)| match i {
        4 | 7 => b == b'-',
        _ => b.is_ascii_digit(),
    });
    (date.len() == 10 && shape).then_some(date)
}

/// Marks of one part, in the order of the file, each with the words that name it there.
pub(super) type Marks<'a> = Vec<(&'a Progress, &'a Said<String>)>;

/// The marks of each part.
pub(super) fn by_part<'a>(ctx: &Context<'a>) -> BTreeMap<&'a str, Marks<'a>> {
    let mut parts: BTreeMap<&str, Marks<'_>> = BTreeMap::new();
    for mark in &ctx.job.progress {
        for on in &mark.on {
            parts.entry(on.value.as_str()).or_default().push((mark, on));
        }
    }
    parts
}

/// Marks that do not go together.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (part, marks) in by_part(ctx) {
        let existing = exists(ctx, part);
        let laid = marks.iter().filter(|(m, _)| m.is == Standing::RoughedIn);
        let first = laid
            .filter_map(|(m, _)| Some((day(m)?, *m)))
            .min_by_key(|(d, _)| *d);
        for (i, (mark, on)) in marks.iter().enumerate() {
            let says = |message: String, help: &str| Diagnostic {
                help: Some(help.to_owned()),
                ..META.finding(&mark.name, Some(on.span.clone()), message)
            };
            if mark.is == Standing::RoughedIn && existing {
                let message = format!(
                    "{part} exists already, and {} says it is roughed in",
                    mark.name
                );
                found.push(says(message, "take `existing` out there, or the mark"));
            }
            let date = |m: &Progress| m.date.as_ref().map(|d| d.value.clone());
            let again = |(m, _): &&(&Progress, &Said<String>)| {
                m.is == mark.is && m.is != Standing::Changed && date(m) == date(mark)
            };
            if let Some((other, _)) = marks.iter().take(i).find(again) {
                let message = format!("{} says of {part} what {} says", mark.name, other.name);
                found.push(says(
                    message,
                    "take one of them out, or give each its own date",
                ));
            }
            let tested = day(mark).filter(|_| mark.is == Standing::Tested);
            if let Some((test, (roughed, first))) = tested.zip(first)
                && test < roughed
            {
                let message = format!(
                    "{part} is tested on {test}, before {} says that it is roughed in, on {roughed}",
                    first.name
                );
                found.push(says(message, "mend one of the dates"));
            }
        }
    }
    found
}

/// Whether a part of the job stands there already.
fn exists(ctx: &Context<'_>, part: &str) -> bool {
    let job = ctx.job;
    job.drains.iter().any(|d| d.existing && d.name == part)
        || job.stacks.iter().any(|s| s.existing && s.name == part)
        || job.vents.iter().any(|v| v.existing && v.name == part)
        || job.fixtures.iter().any(|f| f.existing && f.name == part)
}
