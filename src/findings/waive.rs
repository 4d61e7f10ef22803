//! Waivers take findings away, and keep them.

use super::Findings;
use crate::diagnostics::Diagnostic;
use crate::job::{Job, Waiver};

/// Parts findings into those that stand and those that a waiver answers.
///
/// A waiver answers a finding of its code (or name) on its thing: the id that the finding is
/// about, or the run that the id is a piece of; `on` a group, on everything that was made of it.
/// Without `on` it answers them all. Of several
/// waivers the first counts. One without a reason answers too; that is a finding of its own.
pub fn waive(job: &Job, found: Vec<Diagnostic>) -> Findings {
    let mut findings = Findings::default();
    for finding in found {
        match job.waivers.iter().position(|w| answers(job, w, &finding)) {
            Some(waiver) => findings.waived.push((finding, waiver)),
            None => findings.open.push(finding),
        }
    }
    findings
}

fn answers(job: &Job, waiver: &Waiver, finding: &Diagnostic) -> bool {
    let code = waiver.code.value.as_str();
    if code != finding.name && !code.eq_ignore_ascii_case(finding.code) {
        return false;
    }
    match &waiver.on {
        None => true,
        Some(on) => {
            let rest = finding.at.strip_prefix(on.value.as_str());
            let group = (job.made.of(&finding.at)).and_then(|t| job.made.groups.get(t.group));
            rest.is_some_and(|r| r.is_empty() || r.starts_with('.'))
                || group.is_some_and(|g| g.name == on.value)
        }
    }
}
