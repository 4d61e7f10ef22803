//! A value with the words that state it, and the text that they stand in.

use crate::diagnostics::Span;

/// A value the job file states, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Said<T> {
    /// The value.
    pub value: T,
    /// The words that state it.
    pub span: Span,
}

/// The text of a job file and the name it is known by.
#[derive(Debug, Default, PartialEq)]
pub struct Source {
    /// Path as given by the user, for messages.
    pub path: String,
    /// The whole text.
    pub text: String,
}
