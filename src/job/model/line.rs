//! Reference lines that holes are measured from.

use crate::diagnostics::Span;
use crate::units::Length;

/// A line or face on site. One that states `east` runs north and south, one that states `north`
/// east and west.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// What it is, in the job's words.
    pub is: String,
    /// How far east of plan zero it stands.
    pub east: Option<Length>,
    /// How far north of plan zero it stands.
    pub north: Option<Length>,
}
