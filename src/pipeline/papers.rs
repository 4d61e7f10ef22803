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
    /// On the first of these instead on which all that cannot be cut has room, if that one has none.
    pub larger: Vec<Paper>,
}

/// The papers that were asked for, else those that a permit office takes.
///
/// # Errors
/// When the paper that was asked for is none.
pub fn papers(job: &Job, options: &Options) -> Outcome<Papers> {
    let stated = job.drawing.sheet.as_ref();
    let (usual, largest): (&[&str], &[&str]) = match job.units {
        UnitSystem::Feet => (&["arch-d", "arch-e1"], &["arch-e"]),
        UnitSystem::Metric => (&["a1", "a0"], &[]),
    };
    let (names, largest, span) = match (&options.sheet, stated) {
        (Some(name), _) => (vec![name.as_str()], &[][..], None),
        (None, Some(said)) => (vec![said.value.as_str()], &[][..], Some(said.span.clone())),
        (None, None) => (usual.to_vec(), largest, None),
    };
    let all =
        |names: &[&str]| -> Vec<Paper> { names.iter().filter_map(|n| sheets::paper(n)).collect() };
    let whole = all(&names);
    if let Some(&shared) = whole.first() {
        let larger = whole[1..].iter().copied().chain(all(largest)).collect();
        return Ok(Papers {
            whole,
            shared,
            larger,
        });
    }
    let message = format!("there is no paper `{}`", names.join(", "));
    let known: Vec<&str> = sheets::paper_names().collect();
    Err(vec![Diagnostic {
        span,
        help: Some(format!("papers: {}", known.join(", "))),
        ..problem("P001", "unknown-paper", Severity::Error, message)
    }])
}
