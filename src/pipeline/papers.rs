//! Which papers a drawing is tried on.

use super::{Options, problem};
use crate::diagnostics::{Diagnostic, Outcome, Severity};
use crate::job::Job;
use crate::sheets::{self, Paper};
use crate::units::UnitSystem;

/// Papers to choose from.
pub struct Papers {
    /// On one sheet of these, the first that the whole drawing fits.
    pub whole: Vec<Paper>,
    /// On as many sheets of this as it takes, if it fits none.
    pub shared: Paper,
}

/// The papers that were asked for, else those that a permit office takes.
///
/// # Errors
/// When the paper that was asked for is none.
pub fn papers(job: &Job, options: &Options) -> Outcome<Papers> {
    let stated = job.drawing.sheet.as_ref();
    let usual: &[&str] = match job.units {
        UnitSystem::Feet => &["arch-d", "arch-e1"],
        UnitSystem::Metric => &["a1", "a0"],
    };
    let (names, span) = match (&options.sheet, stated) {
        (Some(name), _) => (vec![name.as_str()], None),
        (None, Some(said)) => (vec![said.value.as_str()], Some(said.span.clone())),
        (None, None) => (usual.to_vec(), None),
    };
    let whole: Vec<Paper> = names.iter().filter_map(|n| sheets::paper(n)).collect();
    if let Some(&shared) = whole.first() {
        return Ok(Papers { whole, shared });
    }
    let message = format!("there is no paper `{}`", names.join(", "));
    let known: Vec<&str> = sheets::paper_names().collect();
    Err(vec![Diagnostic {
        span,
        help: Some(format!("papers: {}", known.join(", "))),
        ..problem("P001", "unknown-paper", Severity::Error, message)
    }])
}
