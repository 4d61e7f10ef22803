//! The inspector's list as tables.

use super::Idle;
use super::model::{Inspection, Measure, Ran, Share, Step};
use crate::sheets::{Say, Table};

/// The tables of the list itself, each with a box to tick; empty ones are left out.
pub fn tables(list: &Inspection, say: &Say) -> Vec<Table> {
    let all = [
        measures(list, say),
        walk(list, say),
        shares(list),
        rules(list),
    ];
    all.into_iter().filter(|t| !t.rows.is_empty()).collect()
}

/// What a reader of the list must know.
pub fn notes() -> Vec<String> {
    [
        "The list goes with the permit sheets of the same job file; every figure on it is theirs.",
        "Worst case: of all places to which a limit applies the one with the least left. A place \
         whose figure is not known is not counted; the permit sheets name it.",
        "The drains stand in the order in which they are walked, from the exit up: each with the \
         pipe that leaves it downstream.",
        "Caution: this list was worked out by a computer program from what its author stated. It \
         replaces no inspection; the authority having jurisdiction decides.",
    ]
    .map(str::to_owned)
    .to_vec()
}

fn heads(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

/// Room for a tick between the rules of its row; data have none.
fn tick(say: &Say) -> Option<String> {
    (!say.data()).then(String::new)
}

fn measures(list: &Inspection, say: &Say) -> Table {
    let row = |m: &Measure| {
        let mut row = vec![
            m.what.clone(),
            m.section.clone(),
            m.applied.to_string(),
            m.at.clone(),
            m.has.clone(),
            m.limit.clone(),
            m.margin.clone(),
            match m.kept {
                Some(true) => "kept",
                Some(false) => "NOT KEPT",
                None => "not known",
            }
            .to_owned(),
        ];
        row.extend(tick(say));
        row
    };
    let mut head = heads(&[
        "Limit",
        "Table or section",
        "Places",
        "Worst at",
        "Has",
        "May or must",
        "Left",
        "Result",
    ]);
    head.extend(tick(say).map(|_| "Seen".to_owned()));
    Table {
        name: "limits",
        title: "Worst case of each limit".into(),
        head,
        rows: list.measures.iter().map(row).collect(),
        ..Table::default()
    }
}

fn walk(list: &Inspection, say: &Say) -> Table {
    let marked = list.walk.iter().any(|s| s.standing.is_some());
    let row = |s: &Step| {
        let mut row = vec![
            s.place.clone(),
            s.run.clone(),
            s.fitting.clone(),
            say.size(s.size),
            say.fall(s.fall),
            say.level(s.invert),
            s.state.word().to_owned(),
        ];
        if marked {
            row.push(s.standing.clone().unwrap_or_else(|| say.nothing()));
        }
        row.extend(tick(say));
        row
    };
    let mut head = heads(&["Place", "On", "Fitting", "Size", "Fall"]);
    head.push(say.in_unit("Invert"));
    head.push("State".into());
    head.extend(marked.then(|| "On site".to_owned()));
    head.extend(tick(say).map(|_| "Seen".to_owned()));
    Table {
        name: "walk",
        title: "From the exit up".into(),
        head,
        rows: list.walk.iter().map(row).collect(),
        ..Table::default()
    }
}

fn shares(list: &Inspection) -> Table {
    let row = |s: &Share| {
        let counts = [s.stated, s.proposed, s.existing, s.future];
        let mut row = vec![s.what.to_owned()];
        row.extend(counts.map(|n| n.to_string()));
        row
    };
    Table {
        name: "stated",
        title: "Stated by the job, and proposed".into(),
        head: heads(&["What", "Stated", "Proposed", "Existing", "Future"]),
        rows: list.shares.iter().map(row).collect(),
        ..Table::default()
    }
}

fn rules(list: &Inspection) -> Table {
    let row = |r: &Ran| {
        let found = match (r.open, r.waived) {
            (0, 0) => match r.idle {
                Some(Idle::NotApplicable(why)) => format!("not applicable: {why}"),
                Some(Idle::NotKnown(why)) => format!("not known: {why}"),
                None => "nothing found".to_owned(),
            },
            (n, 0) => format!("{n} found"),
            (0, n) => format!("{n} waived"),
            (n, w) => format!("{n} found, {w} waived"),
        };
        vec![
            r.code.to_owned(),
            r.checks.clone(),
            r.section.clone(),
            found,
        ]
    };
    Table {
        name: "rules",
        title: "Rules that were run".into(),
        head: heads(&["Code", "Checks", "Section", "Result"]),
        rows: list.rules.iter().map(row).collect(),
        prose: vec![1, 3],
        ..Table::default()
    }
}
