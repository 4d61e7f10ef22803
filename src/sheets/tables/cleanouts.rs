//! The cleanout schedule.

use crate::network::cleanout_words;

use super::{Inputs, Say, Table};

/// Every cleanout with its kind, size and the clearance in front of it.
pub fn cleanouts(set: &Inputs<'_>, say: &Say) -> Table {
    let rules = set.book.cleanouts();
    let changed = set.job.changed();
    let rows = set
        .net
        .cleanouts
        .iter()
        .enumerate()
        .filter(|(_, c)| {
            say.data()
                || set
                    .typical
                    .is_none_or(|t| !t.out().joints.contains(&c.joint))
        })
        .map(|(i, c)| {
            let size = set.solution.fittings.cleanouts.get(&i).copied();
            let invert = set
                .net
                .downstream(c.joint)
                .and_then(|p| set.solution.levels.pieces.get(&p))
                .and_then(|l| l.invert_up);
            let clear = size.map(|s| rules.clearance(s).value);
            vec![
                say.marked(&c.id, c.state, changed.contains(c.id.as_str())),
                cleanout_words(set.net, c).to_owned(),
                set.net
                    .runs
                    .get(c.run.0)
                    .map(|r| r.id.clone())
                    .unwrap_or_default(),
                say.size(size),
                say.level(invert),
                match clear {
                    Some(l) if !say.data() => say.print.short(l),
                    clear => say.length(clear),
                },
            ]
        })
        .collect();
    Table {
        name: "cleanouts",
        title: "Cleanouts".into(),
        head: vec![
            "Tag".into(),
            "Kind".into(),
            "On".into(),
            "Size".into(),
            say.in_unit("Invert of drain"),
            say.in_unit("Clear in front"),
        ],
        rows,
        ..Table::default()
    }
}
