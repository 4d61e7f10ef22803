//! Waivers take findings away, and keep them.

use super::Findings;
use crate::diagnostics::Diagnostic;
use crate::job::Waiver;

/// Parts findings into those that stand and those that a waiver answers.
///
/// A waiver answers a finding of its code (or name) on its thing: the id that the finding is
/// about, or the run that the id is a piece of. Without `on` it answers them all. Of several
/// waivers the first counts. One without a reason answers too; that is a finding of its own.
pub fn waive(waivers: &[Waiver], found: Vec<Diagnostic>) -> Findings {
    let mut findings = Findings::default();
    for finding in found {
        match waivers.iter().position(|w| answers(w, &finding)) {
            Some(waiver) => findings.waived.push((finding, waiver)),
            None => findings.open.push(finding),
        }
    }
    findings
}

fn answers(waiver: &Waiver, finding: &Diagnostic) -> bool {
    let code = waiver.code.value.as_str();
    if code != finding.name && !code.eq_ignore_ascii_case(finding.code) {
        return false;
    }
    match &waiver.on {
        None => true,
        Some(on) => {
            let rest = finding.at.strip_prefix(on.value.as_str());
            rest.is_some_and(|r| r.is_empty() || r.starts_with('.'))
        }
    }
}
