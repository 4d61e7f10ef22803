//! What is pinned of the drawing.

use super::Said;
use crate::diagnostics::Span;
use crate::units::{Heading, Length};

/// A side of the paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PaperSide {
    /// To the left.
    Left,
    /// To the right.
    Right,
}

impl PaperSide {
    /// As the job file writes it.
    pub fn word(self) -> &'static str {
        match self {
            PaperSide::Left => "left",
            PaperSide::Right => "right",
        }
    }
}

/// How one thing is to be drawn, where the job leaves it free.
#[derive(Clone, Debug, PartialEq)]
pub struct Pin {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// What is pinned, by name or id.
    pub on: Said<String>,
    /// The side of the paper to which it leads.
    pub side: Option<Said<PaperSide>>,
    /// The way on which it leads, walking upstream.
    pub heading: Option<Said<Heading>>,
    /// What it joins upstream of, by name.
    pub after: Option<Said<String>>,
    /// Its least length on paper.
    pub length: Option<Said<Length>>,
}
