//! How the work stands, as tables.

use super::model::{Amount, By, Difference, Mark, Standing};
use crate::job::Standing as Is;
use crate::sheets::{Say, Table};
use crate::units::Length;

fn heads(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

/// The parts that are marked: what is roughed in and tested; as data what is changed too.
pub fn marks(standing: &Standing, say: &Say) -> Table {
    let or_nothing = |word: &Option<String>| word.clone().unwrap_or_else(|| say.nothing());
    let row = |m: &Mark| {
        let mut row = vec![
            m.part.clone(),
            m.is.words().to_owned(),
            or_nothing(&m.date),
            or_nothing(&m.by),
        ];
        if say.data() {
            row.push(m.why.clone().unwrap_or_default());
            row.push(m.mark.clone());
        }
        row
    };
    let mut head = heads(&["Part", "State", "Date", "By"]);
    if say.data() {
        head.extend(heads(&["Why", "Mark"]));
    }
    Table {
        name: "standing",
        title: "Standing of the work".into(),
        head,
        rows: standing.marks.iter().map(row).collect(),
        ..Table::default()
    }
}

/// What is built otherwise than approved; one row that says so where a change leaves no difference.
pub fn changes(standing: &Standing, say: &Say) -> Table {
    let row = |d: &Difference| {
        vec![
            match &d.part {
                (one, None) => one.clone(),
                (first, Some(last)) => format!("{first} to {last}"),
            },
            d.what.clone(),
            amount(&d.approved, say),
            amount(&d.now, say),
            by(d.by, say),
            d.why.clone(),
        ]
    };
    let mut rows: Vec<Vec<String>> = standing.differences.iter().map(row).collect();
    let changed = standing.marks.iter().filter(|m| m.is == Is::Changed);
    let same = changed.filter(|m| {
        let part = |d: &Difference| d.part.0 == m.part && d.what.starts_with("stated");
        !standing.differences.iter().any(part)
    });
    rows.extend(same.map(|m| {
        let nothing = || say.nothing();
        let why = m.why.clone().unwrap_or_default();
        vec![
            m.part.clone(),
            "as approved".to_owned(),
            nothing(),
            nothing(),
            nothing(),
            why,
        ]
    }));
    let mut foot = Vec::new();
    if !say.data() && !rows.is_empty() {
        let says = "What a mark states first, then what follows from it. All checks ran again on the \
                    work as it is.";
        foot.push(says.to_owned());
    }
    Table {
        name: "changes",
        title: "Changed since approval".into(),
        head: heads(&["Part", "What", "Approved", "Now", "Difference", "Why"]),
        rows,
        foot,
        ..Table::default()
    }
}

fn amount(amount: &Amount, say: &Say) -> String {
    match amount {
        Amount::Nothing => say.nothing(),
        Amount::Words(words) => words.clone(),
        Amount::Size(size) => say.size(Some(*size)),
        Amount::Fall(fall) => say.fall(Some(*fall)),
        Amount::Length(length) => say.length(Some(*length)),
        Amount::Level(level) => say.level(Some(*level)),
        Amount::Levels(a, b) => format!("{} to {}", say.level(Some(*a)), say.level(Some(*b))),
    }
}

fn by(by: By, say: &Say) -> String {
    let words = |l: Length, [more, less]: [&str; 2]| match say.data() {
        true => say.decimal(l),
        false if l < Length::ZERO => format!("{} {less}", say.print.short(-l)),
        false => format!("{} {more}", say.print.short(l)),
    };
    match by {
        By::Nothing => say.nothing(),
        By::Higher(l) => words(l, ["higher", "lower"]),
        By::Longer(l) => words(l, ["longer", "shorter"]),
        By::Word(word) => word.to_owned(),
    }
}
