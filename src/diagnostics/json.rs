//! Diagnostics as data.

use serde_json::{Value, json};

use super::{Diagnostic, line_column};
use crate::job::Source;

/// One object a diagnostic: `code`, `name`, `severity`, `at`, `line`, `column`, `message`,
/// `section`, `help`; what is not known is `null`.
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
    })
}
