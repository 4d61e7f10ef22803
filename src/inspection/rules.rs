//! The rules that were run, and what they found.

use std::collections::BTreeMap;

use super::model::Ran;
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
    let book = ctx.book.amends().map_or(ctx.book.id(), |(id, _)| id);
    let family = book.split('-').next().unwrap_or(book).to_uppercase();
    let mut all: Vec<Ran> = RULES
        .iter()
        .map(|rule| {
            let said = rule.explanation();
            let sections = paragraph(&said, "Section:");
            let mine = sections
                .trim_end_matches('.')
                .split(", ")
                .find_map(|s| s.strip_prefix(family.as_str()));
            Ran {
                code: rule.meta.code,
                checks: paragraph(&said, "Checks"),
                section: mine.map_or(sections.clone(), |s| s.trim().to_owned()),
                open: open.get(rule.meta.code).copied().unwrap_or(0),
                waived: waived.get(rule.meta.code).copied().unwrap_or(0),
            }
        })
        .collect();
    all.sort_by_key(|r| r.code);
    all
}

/// The paragraph of an explanation that begins with a word, without it, on one line; of what is
/// checked the first sentence.
fn paragraph(said: &str, begins: &str) -> String {
    let found = said
        .split("\n\n")
        .find_map(|p| p.trim().strip_prefix(begins));
    let words: Vec<&str> = found.unwrap_or_default().split_whitespace().collect();
    let words = words.join(" ");
    match begins {
        "Checks" => words
            .split(". ")
            .next()
            .unwrap_or_default()
            .trim_end_matches('.')
            .to_owned(),
        _ => words,
    }
}
