//! Waivers of findings.

use super::Said;
use crate::diagnostics::Span;

/// A waiver of a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Waiver {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// Code of the finding waived.
    pub code: Said<String>,
    /// The thing it is waived on, by name or id.
    pub on: Option<Said<String>>,
    /// Why.
    pub reason: Option<String>,
    /// Who approved.
    pub by: Option<String>,
}
