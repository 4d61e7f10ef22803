//! What stands of the findings, counted.

use std::collections::BTreeSet;

use super::model::Verdict;
use crate::diagnostics::Severity;
use crate::findings::Findings;

impl Verdict {
    /// Counts them.
    pub fn of(findings: &Findings) -> Verdict {
        let of = |severity| {
            let open = findings.open.iter();
            open.filter(move |d| d.severity == severity)
        };
        let codes: BTreeSet<&'static str> = of(Severity::Error).map(|d| d.code).collect();
        Verdict {
            errors: of(Severity::Error).count(),
            codes: codes.into_iter().collect(),
            warnings: of(Severity::Warning).count(),
            advice: of(Severity::Advice).count(),
            waived: findings.waived.len(),
        }
    }
}
