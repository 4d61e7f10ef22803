//! What the job does not say and the tool proposed.

use std::collections::HashMap;

use super::{Inputs, Say, Table, heads};

/// Most letters of the ids that share a row.
const WIDE: usize = 64;

/// Each proposal with its reason. On a sheet, several of the same kind share a row.
pub fn proposals(set: &Inputs<'_>, say: &Say) -> Table {
    let mut rows: Vec<Vec<String>> = Vec::new();
    // The rows of each kind: looking through all of them for each proposal takes long.
    let mut kinds: HashMap<(&str, &str), Vec<usize>> = HashMap::new();
    let out = set.typical.map(|t| t.out()).filter(|_| !say.data());
    for p in &set.net.proposals {
        if out.is_some_and(|out| out.is_of(&p.id)) {
            continue;
        }
        let kind = kinds.entry((&p.what, &p.reason)).or_default();
        let room = |r: &&usize| {
            let ids = rows.get(**r).and_then(|r| r.first());
            ids.is_some_and(|ids| ids.len() + p.id.len() < WIDE)
        };
        let shared = kind.iter().rev().find(room).filter(|_| !say.data());
        match shared.and_then(|r| rows.get_mut(*r)) {
            Some(row) => {
                if let [ids, what, ..] = row.as_mut_slice() {
                    ids.push_str(", ");
                    ids.push_str(&p.id);
                    *what = of_several(&p.what);
                }
            }
            None => {
                kind.push(rows.len());
                rows.push(vec![p.id.clone(), p.what.clone(), p.reason.clone()]);
            }
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

/// The words of one thing, said of several.
fn of_several(what: &str) -> String {
    match what {
        "its drop" => "their drops".to_owned(),
        "its trap arm" => "their trap arms".to_owned(),
        "its drop and trap arm" => "their drops and trap arms".to_owned(),
        other => other.to_owned(),
    }
}
