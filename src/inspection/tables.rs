//! The inspector's list as tables.

use super::Idle;
use super::model::{Arm, Inspection, Measure, Opening, Ran, Share, Step, VentRun, Verdict};
use crate::sheets::{BLANK, Say, TICK, Table};

/// The tables of the list itself, each with a box to tick; empty ones are left out.
pub fn tables(list: &Inspection, say: &Say) -> Vec<Table> {
    let all = [
        measures(list, say),
        walk(list, say),
        cleanouts(list, say),
        arms(list, say),
        vents(list, say),
        shares(list, say),
    ];
    all.into_iter().filter(|t| !t.rows.is_empty()).collect()
}

/// How many findings stand: the first that an inspector asks.
pub fn verdict(list: &Inspection) -> Table {
    let Verdict {
        errors,
        codes,
        warnings,
        advice,
        waived,
    } = &list.verdict;
    let mut row: Vec<String> = [errors, warnings, advice, waived, &list.unjudged]
        .map(usize::to_string)
        .to_vec();
    row.insert(1, codes.join(", "));
    Table {
        name: "verdict",
        title: "What was found".into(),
        head: heads(&[
            "Errors, not waived",
            "Of rules",
            "Warnings",
            "Advice",
            "Waived",
            "Limits and rules not known",
        ]),
        rows: vec![row],
        ..Table::default()
    }
}

/// The form that an inspector signs; data have none.
pub fn sign_off(say: &Say) -> Option<Table> {
    let row = |what: &str| {
        let blanks = [2, 3, 9, 3, 4].map(|times| BLANK.repeat(times));
        [what.to_owned()].into_iter().chain(blanks).collect()
    };
    (!say.data()).then(|| Table {
        name: "sign-off",
        title: "Inspected".into(),
        head: heads(&[
            "Inspection",
            "Date",
            "Passed / not passed",
            "What is to be put right",
            "Name in print",
            "Signature",
        ]),
        rows: ["below ground", "rough-in", "final"].map(row).to_vec(),
        ..Table::default()
    })
}

/// What a reader of the list must know.
pub fn notes(list: &Inspection) -> Vec<String> {
    let unread: Vec<String> = (list.unread.iter())
        .map(|(table, from)| format!("{table} ({})", from.words()))
        .collect();
    let unread = (!unread.is_empty()).then(|| {
        format!(
            "Not read in the code itself, and to be compared with it: {}.",
            unread.join("; ")
        )
    });
    let notes = [
        "The list goes with the permit sheets of the same job file; every figure on it is theirs.",
        "Worst case: of all places to which a limit applies the one with the least left. A place \
         whose figure is not known is not counted; the permit sheets name it.",
        "No rule looks at vent terminals (height over the roof, openings and lot lines near by, frost), \
         at frost over drains and sewers, interceptors, what may only drain indirectly, joints and \
         materials, fire stopping, water supply and gas: these are inspected as ever.",
        "The drains stand in the order in which they are walked, from the exit up: each with the \
         pipe that leaves it downstream.",
        "Caution: this list was worked out by a computer program from what its author stated. It \
         replaces no inspection; the authority having jurisdiction decides.",
    ]
    .map(str::to_owned);
    let loads = Some(list.loads.clone()).filter(|l| !l.is_empty());
    unread.into_iter().chain(loads).chain(notes).collect()
}

fn heads(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

/// A box to tick; data have none.
fn tick(say: &Say) -> Option<String> {
    (!say.data()).then(|| TICK.to_owned())
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
    head.push("Its pipe".into());
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

/// A column for how things stand on site, if any does.
fn on_site<'a>(mut all: impl Iterator<Item = &'a Option<String>>) -> bool {
    all.any(Option::is_some)
}

/// The rest of a row: how it stands on site, and a box to tick.
fn rest(standing: &Option<String>, marked: bool, say: &Say) -> Vec<String> {
    let words = || standing.clone().unwrap_or_else(|| say.nothing());
    let site = marked.then(words);
    site.into_iter().chain(tick(say)).collect()
}

fn rest_heads(marked: bool, say: &Say) -> Vec<String> {
    let site = marked.then(|| "On site".to_owned());
    let seen = tick(say).map(|_| "Seen".to_owned());
    site.into_iter().chain(seen).collect()
}

fn cleanouts(list: &Inspection, say: &Say) -> Table {
    let marked = on_site(list.cleanouts.iter().map(|c| &c.standing));
    let row = |c: &Opening| {
        let mut row = vec![
            c.tag.clone(),
            c.kind.to_owned(),
            c.stands.clone(),
            say.size(c.size),
            say.level(c.invert),
            say.short(c.clear),
            c.state.word().to_owned(),
        ];
        row.extend(rest(&c.standing, marked, say));
        row
    };
    let mut head = heads(&["Tag", "Kind", "Stands", "Size"]);
    head.push(say.in_unit("Invert of drain"));
    head.push(say.in_unit("Clear in front"));
    head.push("State".into());
    head.extend(rest_heads(marked, say));
    Table {
        name: "cleanouts",
        title: "Cleanouts".into(),
        head,
        rows: list.cleanouts.iter().map(row).collect(),
        ..Table::default()
    }
}

fn arms(list: &Inspection, say: &Say) -> Table {
    let marked = on_site(list.arms.iter().map(|a| &a.standing));
    let row = |a: &Arm| {
        let mut row = vec![
            a.fixture.clone(),
            say.size(a.trap),
            say.size(a.size),
            say.length(a.length),
            say.short(a.fall),
            a.vented.to_owned(),
        ];
        row.extend(rest(&a.standing, marked, say));
        row
    };
    let mut head = heads(&["Fixture", "Trap", "Arm"]);
    head.push(say.in_unit("Length"));
    head.push(say.in_unit("Falls"));
    head.push("Vented by".into());
    head.extend(rest_heads(marked, say));
    Table {
        name: "arms",
        title: "Traps and their arms".into(),
        head,
        rows: list.arms.iter().map(row).collect(),
        ..Table::default()
    }
}

fn vents(list: &Inspection, say: &Say) -> Table {
    let marked = on_site(list.vents.iter().map(|v| &v.standing));
    let row = |v: &VentRun| {
        let sizes: Vec<String> = v.sizes.iter().map(|s| say.size(Some(*s))).collect();
        let mut row = vec![
            v.vent.clone(),
            v.kind.to_owned(),
            sizes.join(" to "),
            v.ends.clone(),
            v.state.word().to_owned(),
        ];
        row.extend(rest(&v.standing, marked, say));
        row
    };
    let mut head = heads(&["Vent", "What", "Size", "Ends", "State"]);
    head.extend(rest_heads(marked, say));
    Table {
        name: "vents",
        title: "Vents and their terminals".into(),
        head,
        rows: list.vents.iter().map(row).collect(),
        ..Table::default()
    }
}

fn shares(list: &Inspection, say: &Say) -> Table {
    let counts = |s: &Share| [s.stated, s.proposed, s.existing, s.future];
    // What is nowhere says nothing on paper; data keep their columns.
    let kept = |i: &usize| say.data() || list.shares.iter().any(|s| counts(s)[*i] > 0);
    let columns: Vec<usize> = (0..4).filter(kept).collect();
    let row = |s: &Share| {
        let mut row = vec![s.what.to_owned()];
        row.extend(columns.iter().map(|i| counts(s)[*i].to_string()));
        row
    };
    let mut head = heads(&["What"]);
    let words = ["Stated", "Proposed", "Existing", "Future"];
    head.extend(columns.iter().map(|i| words[*i].to_owned()));
    Table {
        name: "stated",
        title: "Stated by the job, and proposed".into(),
        head,
        rows: list.shares.iter().map(row).collect(),
        ..Table::default()
    }
}

/// The rules that were run, and what each found.
pub fn rules(list: &Inspection) -> Table {
    let row = |r: &Ran| {
        let found = match (r.open, r.waived) {
            (0, 0) => match &r.idle {
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
