//! One shape for a typing mistake and for a code finding, and one printer for both.
//!
//! In: the job's text. Out: what a person reads. Promises: a diagnostic that came from the job
//! file points at the words at fault, by byte span; nothing is ever reported twice.

mod cure;
mod json;
mod render;
mod tidy;

use std::ops::Range;

pub use cure::Cure;
pub use json::to_json;
pub use render::{line_column, render};
pub use tidy::tidy;

/// A byte range in the text of the job file.
pub type Span = Range<usize>;

/// How bad it is. Only [`Severity::Error`] makes a run end with exit code 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Good to know; nothing is wrong.
    Advice,
    /// Allowed, but somebody will ask.
    Warning,
    /// The work would not pass.
    Error,
}

impl Severity {
    /// The word that is printed.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Advice => "advice",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// One thing that is wrong, or worth knowing, with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnostic {
    /// Stable code, e.g. `D101`.
    pub code: &'static str,
    /// Name that states the defect, e.g. `drain-too-small`.
    pub name: &'static str,
    /// How bad.
    pub severity: Severity,
    /// The thing of the job it is about, by id or name; empty for the file as a whole.
    pub at: String,
    /// Where in the job file; none when the thing was proposed and has no words of its own.
    pub span: Option<Span>,
    /// What is wrong, in one sentence, with the amount.
    pub message: String,
    /// What was expected, or one way to put it right.
    pub help: Option<String>,
    /// The code section, where a code is the reason.
    pub section: Option<String>,
    /// What stands in the way of putting it right.
    pub note: Option<String>,
    /// Changes of the job that were each worked through and put it right, any one of them.
    pub cures: Vec<Cure>,
}

impl Diagnostic {
    /// One that is about no place, with no help: what more is known of it is added.
    pub fn plain(
        code: &'static str,
        name: &'static str,
        severity: Severity,
        message: String,
    ) -> Diagnostic {
        Diagnostic {
            code,
            name,
            severity,
            at: String::new(),
            span: None,
            message,
            help: None,
            section: None,
            note: None,
            cures: Vec::new(),
        }
    }
}

/// What every stage returns that can fail: its result, or all its problems, never just the first.
pub type Outcome<T> = Result<T, Vec<Diagnostic>>;
