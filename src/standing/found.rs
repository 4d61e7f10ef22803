//! Findings that came or went with what was changed on site.

use super::model::{Amount, By, Difference};
use crate::diagnostics::{Diagnostic, Span};
use crate::job::{Job, Laid, Progress};

/// Whether two findings are of one rule at one place; their figures may differ.
fn same(a: &Diagnostic, b: &Diagnostic) -> bool {
    a.code == b.code && a.at == b.at
}

/// The findings of a list that another one does not have.
pub fn came<'a>(
    now: &'a [Diagnostic],
    approved: &'a [Diagnostic],
) -> impl Iterator<Item = &'a Diagnostic> {
    now.iter().filter(|d| !approved.iter().any(|a| same(a, d)))
}

/// Shows findings that the approved job does not have where they come from: at the words that were
/// changed.
pub fn moved(job: &Job, approved: &[Diagnostic], found: &mut [Diagnostic]) {
    for d in found.iter_mut() {
        if approved.iter().any(|a| same(a, d)) {
            continue;
        }
        let (marks, place) = origin(job, d);
        // What stands in the words of a mark points at the very value already.
        if let Some(laid) = place.filter(|_| !stands_there(job, d.span.as_ref())) {
            d.span = Some(laid.now.clone());
        }
        let words = format!("the approved job does not have it: it came with {marks}");
        d.note = Some(match d.note.take() {
            Some(note) => format!("{note}; {words}"),
            None => words,
        });
    }
}

/// Whether it stands in what a mark says already.
fn stands_there(job: &Job, span: Option<&Span>) -> bool {
    let laid = job.progress.iter().flat_map(|p| &p.laid);
    span.is_some_and(|s| {
        let mut laid = laid.filter(|l| !l.same);
        laid.any(|l| l.now.start <= s.start && s.end <= l.now.end)
    })
}

/// The marks that a finding comes with, in words, and where it is to stand: that of the part that it
/// is about, or the only one there is. Of several that may have brought it none is blamed.
fn origin<'j>(job: &'j Job, d: &Diagnostic) -> (String, Option<&'j Laid>) {
    let changes: Vec<(&Progress, &Laid)> = (job.progress.iter())
        .filter_map(|p| Some((p, p.laid.iter().find(|l| !l.same)?)))
        .collect();
    let own = (job.progress.iter()).find_map(|p| {
        let part = super::compare::owner(&d.at);
        let laid = p.laid.iter().find(|l| !l.same && l.on == part)?;
        Some((p.name.clone(), laid))
    });
    match (own, changes.as_slice()) {
        (Some((mark, laid)), _) => (mark, Some(laid)),
        (None, [(mark, laid)]) => (mark.name.clone(), Some(laid)),
        (None, all) => {
            let names: Vec<&str> = all.iter().map(|(p, _)| p.name.as_str()).collect();
            (names.join(", "), None)
        }
    }
}

/// Findings that came and those that went, as rows of the table.
pub(super) fn differences(
    job: &Job,
    approved: &[Diagnostic],
    now: &[Diagnostic],
) -> Vec<Difference> {
    let row = |d: &Diagnostic, is_new: bool| {
        let found = Amount::Words(d.severity.word().to_owned());
        let (approved, now) = match is_new {
            true => (Amount::Nothing, found),
            false => (found, Amount::Nothing),
        };
        Difference {
            part: (d.at.clone(), None),
            what: format!("{} {}", d.code, d.name.replace('-', " ")),
            approved,
            now,
            by: By::Word(if is_new { "came" } else { "gone" }),
            why: super::compare::follows(job, super::compare::owner(&d.at)),
        }
    };
    let new = came(now, approved).map(|d| row(d, true));
    let gone = came(approved, now).map(|d| row(d, false));
    new.chain(gone).collect()
}
