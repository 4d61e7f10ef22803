//! One failing and one passing job for each finding code, run through the whole of stages 1 to 7.
//!
//! In `tests/findings/CODE-fails.toml` every line that is at fault ends in `# <- CODE`; the file
//! as a whole is at fault where the first line is only that. The findings of that code must stand
//! on exactly those lines. `CODE-passes.toml` is the same job put right: no finding of the code.

mod common;
#[path = "findings/cures.rs"]
mod cures;
#[path = "findings/depths.rs"]
mod depths;
#[path = "findings/methods.rs"]
mod methods;
#[path = "findings/sketches.rs"]
mod sketches;
#[path = "findings/smaller.rs"]
mod smaller;

use std::collections::BTreeSet;
use std::path::Path;

use common::{DRAFT, SAMPLES, sample_path, sample_text, worked};
use stackfall::diagnostics::{Diagnostic, Severity};
use stackfall::findings::{Findings, RULES};
use stackfall::job::edit::edited;

fn run(path: &Path) -> (String, Findings) {
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{path:?}: {e}"));
    let findings = worked(&path.display().to_string(), &text).findings;
    (text, findings)
}

/// Lines on which findings of a code stand, from 1; 0 for the file as a whole.
fn lines(text: &str, found: &[Diagnostic], code: &str) -> BTreeSet<usize> {
    found
        .iter()
        .filter(|d| d.code == code)
        .map(|d| {
            d.span.as_ref().map_or(0, |s| {
                let head = text.get(..s.start).expect("a span within the file");
                head.matches('\n').count() + 1
            })
        })
        .collect()
}

fn marked(text: &str, code: &str) -> BTreeSet<usize> {
    let mark = format!("# <- {code}");
    text.lines()
        .enumerate()
        .filter(|(_, l)| l.trim_end().ends_with(&mark))
        .map(|(i, l)| if i == 0 && l.trim() == mark { 0 } else { i + 1 })
        .collect()
}

#[test]
fn every_code_has_a_job_that_fails_and_one_that_passes() {
    let mut wrong = Vec::new();
    for rule in RULES {
        let code = rule.meta.code;
        let file = |what: &str| Path::new("tests/findings").join(format!("{code}-{what}.toml"));
        let (text, found) = run(&file("fails"));
        let (got, wanted) = (lines(&text, &found.open, code), marked(&text, code));
        if got != wanted || wanted.is_empty() {
            let of_code: Vec<_> = found.open.iter().filter(|d| d.code == code).collect();
            wrong.push(format!("{code}: on {got:?}, not {wanted:?}: {of_code:#?}"));
        }
        for d in found.open.iter().filter(|d| d.code == code) {
            assert_eq!((d.name, d.severity), (rule.meta.name, rule.meta.severity));
            assert!(!d.message.is_empty());
        }
        let (text, found) = run(&file("passes"));
        if found.open.iter().any(|d| d.code == code) {
            wrong.push(format!("{code} on a job put right: {:#?}", found.open));
        }
        assert!(
            marked(&text, code).is_empty(),
            "{code}-passes.toml is marked"
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_waived_finding_is_kept_with_its_waiver() {
    let (_, found) = run(Path::new("tests/findings/W101-passes.toml"));
    let codes: Vec<(&str, usize)> = found.waived.iter().map(|(d, w)| (d.code, *w)).collect();
    assert_eq!(codes, [("D105", 0)]);
    assert!(found.open.iter().all(|d| d.code != "D105"));
}

#[test]
fn the_same_job_gives_the_same_findings() {
    let path = Path::new("samples/alder-court/job.toml");
    assert_eq!(run(path).1, run(path).1);
}

/// The samples are meant to pass, but for the draft.
#[test]
fn samples_have_no_errors() {
    let mut wrong = Vec::new();
    for name in SAMPLES.into_iter().filter(|n| *n != DRAFT) {
        let (_, found) = run(Path::new(&sample_path(name)));
        for d in found.open.iter().filter(|d| d.severity == Severity::Error) {
            wrong.push(format!("{name}: {} {}", d.code, d.message));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The draft of the walk-out lacks room at its far bath, and nothing else is wrong with it; the job
/// beside it is the draft with one of the printed cures made, but for the line at its head.
#[test]
fn the_cured_walk_out_is_the_draft_with_its_cure() {
    let (text, found) = run(Path::new(&sample_path(DRAFT)));
    let errors = found.open.iter().filter(|d| d.severity == Severity::Error);
    let errors: Vec<_> = errors.collect();
    assert_eq!(errors.len(), 1, "{errors:#?}");
    assert_eq!(
        (errors[0].code, errors[0].at.as_str()),
        ("L104", "far.LAV-3")
    );
    let body = |text: &str| text.split_once('\n').map(|(_, body)| body.to_owned());
    let cured = body(&sample_text("ridge-walkout-cured"));
    let made = errors[0].cures.iter().map(|c| edited(&text, &c.edits));
    let made: Vec<_> = made.map(|t| t.and_then(|t| body(&t))).collect();
    assert!(made.contains(&cured), "none of {:#?}", errors[0].cures);
}
