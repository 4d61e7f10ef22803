//! Findings that stand, and those that are waived.

use crate::diagnostics::Diagnostic;

use super::{Inputs, Say, Table, heads};

/// What was found and stands.
pub fn open(set: &Inputs<'_>, say: &Say) -> Table {
    let row = |d: &Diagnostic| {
        let mut row = vec![
            d.code.to_owned(),
            d.severity.word().to_owned(),
            d.at.clone(),
            match say.data() {
                true => d.message.clone(),
                false => [Some(&d.message), d.help.as_ref(), d.note.as_ref()]
                    .into_iter()
                    .flatten()
                    .map(|words| sentence(words))
                    .collect::<Vec<_>>()
                    .join(" "),
            },
            d.section.clone().unwrap_or_else(|| say.nothing()),
        ];
        if say.data() {
            row.push(d.help.clone().unwrap_or_else(|| say.nothing()));
        }
        row
    };
    let mut head = heads(&["Code", "Severity", "At", "Finding", "Section"]);
    if say.data() {
        head.push("To do".into());
    }
    // What would not pass stands first.
    let mut open: Vec<&Diagnostic> = set.findings.open.iter().collect();
    open.sort_by_key(|d| std::cmp::Reverse(d.severity));
    Table {
        name: "findings",
        title: "Findings".into(),
        head,
        rows: open.into_iter().map(row).collect(),
        ..Table::default()
    }
}

/// What a waiver of the job answers.
pub fn waived(set: &Inputs<'_>, _: &Say) -> Table {
    let rows = set.findings.waived.iter().map(|(d, w)| {
        let waiver = set.job.waivers.get(*w);
        vec![
            waiver.map(|w| w.name.clone()).unwrap_or_default(),
            d.code.to_owned(),
            d.at.clone(),
            d.message.clone(),
            waiver.and_then(|w| w.reason.clone()).unwrap_or_default(),
            waiver.and_then(|w| w.by.clone()).unwrap_or_default(),
        ]
    });
    Table {
        name: "waivers",
        title: "Waived findings".into(),
        head: heads(&["Waiver", "Code", "At", "Finding", "Reason", "Approved by"]),
        rows: rows.collect(),
        ..Table::default()
    }
}

fn sentence(text: &str) -> String {
    let text = text.trim_end();
    if text.ends_with(['.', '!', '?']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}
