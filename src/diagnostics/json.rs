//! Diagnostics as data.

use serde_json::{Value, json};

use super::{Diagnostic, line_column};
use crate::job::Source;

/// One object a diagnostic: `code`, `name`, `severity`, `at`, `line`, `column`, `message`,
/// `section`, `help`, `note`, `cures`; what is not known is `null`. A cure is its words and the edits of
/// the job file that make it: `at` and the TOML `value` to write there, `null` to take it out.
pub fn to_json(list: &[Diagnostic], source: &Source) -> Value {
    list.iter().map(|d| one(d, source)).collect()
}

fn one(d: &Diagnostic, source: &Source) -> Value {
    let place = d.span.as_ref().map(|s| line_column(&source.text, s.start));
    json!({
        "code": d.code,
        "name": d.name,
        "severity": d.severity.word(),
        "at": d.at,
        "line": place.map(|p| p.0),
        "column": place.map(|p| p.1),
        "message": d.message,
        "section": d.section,
        "help": d.help,
        "note": d.note,
        "cures": d.cures.iter().map(|c| json!({
            "words": c.words,
            "edits": c.edits.iter().map(|e| json!({ "at": e.place(), "value": e.value })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}
