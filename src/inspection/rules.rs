//! The rules that were run, and what they found.

use std::collections::BTreeMap;

use super::applies::idle;
use super::model::Ran;
use super::sections;
use crate::findings::{Context, Findings, RULES};

/// Every rule, by code.
pub(super) fn ran(ctx: &Context<'_>, findings: &Findings) -> Vec<Ran> {
    let mut open: BTreeMap<&str, usize> = BTreeMap::new();
    for finding in &findings.open {
        *open.entry(finding.code).or_default() += 1;
    }
    let mut waived: BTreeMap<&str, usize> = BTreeMap::new();
    for (finding, _) in &findings.waived {
        *waived.entry(finding.code).or_default() += 1;
    }
    let mut all: Vec<Ran> = RULES
        .iter()
        .map(|rule| {
            let said = rule.explanation();
            let code = rule.meta.code;
            let count = |of: &BTreeMap<&str, usize>| of.get(code).copied().unwrap_or(0);
            let (open, waived) = (count(&open), count(&waived));
            // What was found was looked at.
            let idle = idle(ctx, code).filter(|_| open + waived == 0);
            Ran {
                code,
                checks: checks(&said),
                section: sections::of_rule(ctx, code, &explained(&said)),
                open,
                waived,
                idle,
            }
        })
        .collect();
    all.sort_by_key(|r| r.code);
    all
}

/// What a rule checks: the first sentence of its explanation, after the title.
fn checks(said: &str) -> String {
    let first = said.split("\n\n").nth(1).unwrap_or_default();
    let words = one_line(first);
    let sentence = words.split(". ").next().unwrap_or_default();
    let plain = sentence
        .strip_prefix("Checks")
        .or(sentence.strip_prefix("Tells"));
    let plain = plain.unwrap_or(sentence).trim_start_matches([',', ' ']);
    plain.trim_end_matches('.').to_owned()
}

/// The sections that an explanation names.
fn explained(said: &str) -> String {
    let mut paragraphs = said.split("\n\n");
    let found = paragraphs.find_map(|p| p.trim().strip_prefix("Section:"));
    one_line(found.unwrap_or_default())
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
