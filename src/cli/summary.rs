//! The screenful after a run.

use std::fmt::Write as _;
use std::time::Duration;

use super::End;
use super::terminal::{Mark, marked};
use crate::diagnostics::{Diagnostic, Severity};
use crate::pipeline::Run;
use crate::units::number;
use crate::writers::Written;

/// More findings than this are only counted.
const FINDINGS: usize = 10;
/// More sheets than this are only counted.
const SHEETS: usize = 8;

/// What was drawn, from what, and what stands against it.
pub(super) fn of_drawing(run: &Run, written: &Written, command: &str, colour: bool) -> String {
    let mut out = head(run, colour);
    let sheets = &run.sheets.sheets;
    let paper = sheets.first().map_or("", |s| s.paper.name);
    let folder = written.folder.display();
    let _ = writeln!(
        out,
        "  {} on {paper}, in {folder}",
        counted(sheets.len(), "sheet", "sheets")
    );
    for sheet in sheets.iter().take(SHEETS) {
        let _ = writeln!(out, "    {}  {}", sheet.number, sheet.title);
    }
    if sheets.len() > SHEETS {
        let _ = writeln!(out, "    and {} more", sheets.len() - SHEETS);
    }
    let _ = writeln!(out, "  {}", files(written));
    out.push_str(&findings(run, command, colour));
    out
}

/// How many files were written, and what else became of them.
pub(super) fn files(w: &Written) -> String {
    let mut words = format!("{} written", counted(w.files.len(), "file", "files"));
    if w.unchanged > 0 {
        let _ = write!(words, ", {} of them unchanged", w.unchanged);
    }
    if !w.removed.is_empty() {
        let _ = write!(words, ", {} of an earlier run removed", w.removed.len());
    }
    if !w.kept.is_empty() {
        let _ = write!(
            words,
            "; {} of an earlier run left as they were",
            w.kept.len()
        );
    }
    words
}

/// Title, book, fixtures and loads.
fn head(run: &Run, colour: bool) -> String {
    let title = [&run.job.title.title, &run.job.name]
        .into_iter()
        .find(|t| !t.is_empty());
    let title = title.map_or("", String::as_str);
    let mut out = marked(title, Mark::Bold, colour) + "\n";
    let s = &run.summary;
    let _ = writeln!(out, "  {}", s.book);
    let loads: Vec<String> = s
        .load_at_exit
        .iter()
        .map(|(exit, load)| match exit.as_str() {
            "exit" => format!("{} {} at the exit", number(*load, 2, false), s.unit),
            name => format!("{} {} at {name}", number(*load, 2, false), s.unit),
        })
        .collect();
    let fixtures = counted(s.fixtures, "fixture", "fixtures");
    let _ = writeln!(out, "  {}", [vec![fixtures], loads].concat().join(", "));
    out
}

fn findings(run: &Run, command: &str, colour: bool) -> String {
    let mut out = String::from("  ") + &tally(&run.findings, colour) + "\n";
    let mut worst: Vec<&Diagnostic> = run.findings.iter().collect();
    worst.sort_by_key(|d| std::cmp::Reverse(d.severity));
    for d in worst.iter().take(FINDINGS) {
        let at = if d.at.is_empty() || d.message.contains(&d.at) {
            String::new()
        } else {
            format!("{}: ", d.at)
        };
        let word = marked(d.severity.word(), mark(d.severity), colour);
        let _ = writeln!(out, "    {word} {} {at}{}", d.code, short(&d.message));
    }
    if worst.len() > FINDINGS {
        let _ = writeln!(out, "    and {} more", worst.len() - FINDINGS);
    }
    if !worst.is_empty() {
        let _ = writeln!(out, "  where, why and what to do: {command}");
    }
    out
}

/// A line on a terminal of usual width.
fn short(message: &str) -> String {
    const MOST: usize = 100;
    if message.chars().count() <= MOST {
        return message.to_owned();
    }
    message.chars().take(MOST - 1).chain(['…']).collect()
}

fn mark(severity: Severity) -> Mark {
    match severity {
        Severity::Error => Mark::Red,
        Severity::Warning => Mark::Yellow,
        Severity::Advice => Mark::Cyan,
    }
}

/// Findings by severity.
pub(super) fn tally(findings: &[Diagnostic], colour: bool) -> String {
    if findings.is_empty() {
        return "no findings".to_owned();
    }
    let kinds = [
        (Severity::Error, "error", "errors"),
        (Severity::Warning, "warning", "warnings"),
        (Severity::Advice, "advice", "advice"),
    ];
    let parts: Vec<String> = kinds
        .into_iter()
        .filter_map(|(severity, one, many)| {
            let n = findings.iter().filter(|d| d.severity == severity).count();
            (n > 0).then(|| marked(&counted(n, one, many), mark(severity), colour))
        })
        .collect();
    parts.join(", ")
}

/// How a run with these findings ends.
pub(super) fn end(findings: &[Diagnostic]) -> End {
    if findings.iter().any(|d| d.severity == Severity::Error) {
        End::Findings
    } else {
        End::Clean
    }
}

/// Time spent on each stage.
pub(super) fn timings(laps: &[(&'static str, Duration)]) -> String {
    let total: Duration = laps.iter().map(|l| l.1).sum();
    let mut out = String::new();
    for (stage, took) in laps.iter().chain([&("all", total)]) {
        let _ = writeln!(out, "{stage:<10} {:>10.3} ms", took.as_secs_f64() * 1000.0);
    }
    out
}

fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
