//! Stage 1 of 12. In: the text of a job file. Out: [`Job`]. Promises: names unique and resolved,
//! units read, file order and source spans kept on everything that can later be blamed; no
//! circle in what drains or vents into what, no two stacks in one place; at least one exit (one
//! about which nothing is known, if none is stated) and one fixture; every fixture has its floor
//! as soon as the job has floors. A job that breaks a promise is not given out: all its mistakes
//! are, at once.

mod build;
pub mod edit;
mod keys;
mod laid;
pub mod model;
mod names;
mod nearest;
mod problems;
mod ranges;
mod reference;
mod repeat;
mod resolve;
mod rules;
mod scalars;
mod schema;
mod values;
mod walk;
mod words;

use std::sync::Arc;

use toml::de::{DeTable, DeValue};

pub use laid::As;
pub use model::*;
pub use nearest::nearest;
pub use problems::{MISTAKES, Mistake, UNKNOWN_NAME};
pub use reference::reference;
pub use schema::schema;

use crate::diagnostics::{Diagnostic, Outcome, tidy};
use crate::units::{Length, UnitSystem};
use problems::{BY_ITSELF, NAME_USED_TWICE, NOT_TOML, Problems};
use walk::Walker;

/// Reads a job file.
///
/// # Arguments
/// - `name`: the job's short name, see [`name_of`].
/// - `path`: the file's path as the user gave it, for messages.
/// - `text`: its whole text.
///
/// # Errors
/// All mistakes of the file, in the order of the file. Where the file is not TOML, the first
/// three places where it is not, and the mistakes that stand before them.
pub fn read(name: &str, path: &str, text: &str) -> Outcome<Job> {
    read_as(As::Built, name, path, text)
}

/// The job as it was approved: the same file without what was changed on site.
///
/// # Errors
/// As [`read`]: what is changed may be in place of a mistake.
pub fn approved(job: &Job) -> Outcome<Job> {
    let source = &job.source;
    read_as(As::Approved, &job.name, &source.path, &source.text)
}

/// A length as the job file writes it; none where it does not read as one.
pub fn read_length(text: &str, units: UnitSystem) -> Option<Length> {
    words::length(text, units).ok()
}

fn read_as(read_as: As, name: &str, path: &str, text: &str) -> Outcome<Job> {
    let mut problems = Problems::default();
    let (root, errors) = DeTable::parse_recoverable(text);
    let broken_at = syntax(text, &errors, &mut problems);
    let units = units(root.get_ref());
    let mut file = Walker {
        units,
        problems: &mut problems,
    }
    .record(&keys::FILE, "", 0..0, root.get_ref());
    let source = Arc::new(Source {
        path: path.to_owned(),
        text: text.to_owned(),
    });
    let plan = repeat::write_out(&mut file, text, &mut problems);
    let tables = (root.get_ref(), text);
    let marked = laid::lay(&mut file, tables, units, read_as, &mut problems);
    laid::unsaid(&file, &mut problems);
    let job = build::job(name, source, &file, (plan, marked), units, &mut problems);
    if problems.is_empty() {
        return Ok(job);
    }
    let mut list = problems.into_list();
    if let Some(broken_at) = broken_at {
        list.retain(|d| reliable(d, broken_at));
    }
    tidy(&mut list);
    Err(list)
}

/// The short name of the job in this file: the file's stem, or its folder's name for `job.toml`.
pub fn name_of(path: &std::path::Path) -> String {
    let word = |part: Option<&std::ffi::OsStr>| part.map(|s| s.to_string_lossy().into_owned());
    let stem = word(path.file_stem());
    let folder = || word(path.parent().and_then(|p| p.file_name()));
    match stem {
        Some(stem) if stem == "job" => folder().unwrap_or(stem),
        Some(stem) => stem,
        None => "job".to_owned(),
    }
}

/// Adds what is not TOML; gives the start of the first line that is not.
fn syntax(text: &str, errors: &[toml::de::Error], problems: &mut Problems) -> Option<usize> {
    const SHOWN: usize = 3;
    let mut broken_at: Option<usize> = None;
    let mut shown = 0;
    for error in errors {
        let span = error.span().unwrap_or(text.len()..text.len());
        if error.message().starts_with("duplicate key") {
            let word = text.get(span.clone()).unwrap_or("").trim();
            let message = format!("`{}` stands here a second time", problems::shown(word));
            let help =
                Some("names and keys are used once; the first is the one that was read".to_owned());
            problems.add(NAME_USED_TWICE, word, span, message, help);
            continue;
        }
        let line = text
            .get(..span.start)
            .and_then(|head| head.rfind('\n'))
            .map_or(0, |i| i + 1);
        broken_at = Some(broken_at.map_or(line, |b| b.min(line)));
        shown += 1;
        if shown <= SHOWN {
            let message = format!("this is not TOML: {}", error.message());
            problems.add(NOT_TOML, "", span, message, None);
        }
    }
    broken_at
}

/// Behind the first place that is not TOML nothing is sure to stand where it seems to, and what
/// is missing or unknown may stand there: only what does not read by itself is told as well.
fn reliable(d: &Diagnostic, broken_at: usize) -> bool {
    let before = d.span.as_ref().is_some_and(|s| s.end <= broken_at);
    d.code == NOT_TOML.code || (before && BY_ITSELF.iter().any(|m| m.code == d.code))
}

/// The unit system, which must be known before any length is read.
fn units(root: &DeTable<'_>) -> UnitSystem {
    let job = root.get("job").and_then(|node| node.get_ref().as_table());
    match job
        .and_then(|job| job.get("units"))
        .map(|node| node.get_ref())
    {
        Some(DeValue::String(word)) if word == "metric" => UnitSystem::Metric,
        _ => UnitSystem::Feet,
    }
}
