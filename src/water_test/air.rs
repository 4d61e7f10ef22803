//! Whether the test may be made with air.

use super::model::Air;
use crate::catalogue;
use crate::codebook::TestRules;
use crate::levels::bores::material;
use crate::solve::Work;

/// The test with air: refused where the book refuses it for a material of the job.
pub(super) fn air(work: &Work<'_>, rules: &TestRules) -> Air {
    let mut all: Vec<&str> = work
        .net
        .graph
        .edge_indices()
        .map(|p| material(work.job, work.net, p))
        .collect();
    all.sort_unstable();
    all.dedup();
    let is = |plastic: Option<bool>| -> Vec<String> {
        let these = all.iter().filter(|m| catalogue::is_plastic(m) == plastic);
        these.map(|m| (*m).to_owned()).collect()
    };
    let plastic = is(Some(true));
    let rule = &rules.air.on_plastic;
    if !rule.value && !plastic.is_empty() {
        return Air::Refused {
            plastic,
            rule: rule.clone(),
        };
    }
    Air::Allowed {
        test: Box::new(rules.air.clone()),
        unknown: is(None),
    }
}
