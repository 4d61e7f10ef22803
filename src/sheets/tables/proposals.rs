//! What the job does not say and the tool proposed.

use super::{Inputs, Say, Table, heads};

/// Most letters of the ids that share a row.
const WIDE: usize = 64;

/// Each proposal with its reason. On a sheet, several of the same kind share a row.
pub fn proposals(set: &Inputs<'_>, say: &Say) -> Table {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for p in &set.net.proposals {
        let same = |r: &&mut Vec<String>| {
            let room = r.first().is_some_and(|ids| ids.len() + p.id.len() < WIDE);
            room && r.get(1) == Some(&p.what) && r.get(2) == Some(&p.reason)
        };
        match rows.iter_mut().rev().find(same) {
            Some(row) if !say.data() => {
                if let Some(ids) = row.first_mut() {
                    ids.push_str(", ");
                    ids.push_str(&p.id);
                }
            }
            _ => rows.push(vec![p.id.clone(), p.what.clone(), p.reason.clone()]),
        }
    }
    Table {
        name: "proposals",
        title: "Proposed, not stated in the job".into(),
        head: heads(&["For", "Proposed", "Reason"]),
        rows,
        ..Table::default()
    }
}
