//! The schedules, one file a table; each in two forms: as lettered on a sheet, and as data for
//! CSV, with plain fractions and decimal lengths.

mod cleanouts;
mod findings;
mod fixtures;
mod floors;
mod key;
mod levels;
mod loads;
mod marks;
mod pipes;
mod progress;
mod proposals;
mod say;
mod storeys;

use std::collections::HashSet;

pub(super) use key::{key, shown};
pub(super) use pipes::listed as pipes_listed;
pub use say::{Form, Say};

use crate::at_once;
use crate::job::{FloorIx, Job};
use crate::units::{Length, Printer};

use super::lettering::{KEPT, kept, unmarked};
use super::{Inputs, Table};

/// Every table as data, in the order of the set.
pub fn tables(set: &Inputs<'_>) -> Vec<Table> {
    tables_as(set, Form::Data)
}

/// Every table as it is lettered on a sheet, names marked to keep their letters; empty ones are
/// left out. The match marks come first: each stands on the sheets that have it.
pub(super) fn lettered(set: &Inputs<'_>, names: &Names<'_>) -> (Table, Vec<Table>) {
    let say = Say {
        print: Printer {
            units: set.job.units,
        },
        form: Form::Sheet,
    };
    let marked = |make: &Make| {
        let mut table = make(set, &say);
        for text in table.rows.iter_mut().flatten().chain(&mut table.foot) {
            mark(text, names);
        }
        table
    };
    let pieces = set.net.graph.edge_count();
    let mut tables = at_once::each_of(pieces, &ALL, marked).into_iter();
    let marks = tables.next().unwrap_or_default();
    (marks, tables.filter(|t| !t.rows.is_empty()).collect())
}

/// The match marks of one sheet, out of those of all.
pub(super) fn marks_of(all: &Table, sheet: &str) -> Table {
    let sides = |row: &Vec<String>| {
        let mut two = row.iter().skip(marks::SIDES).take(2);
        two.any(|s| unmarked(s) == sheet)
    };
    Table {
        name: all.name,
        title: all.title.clone(),
        head: all.head.clone(),
        rows: all.rows.iter().filter(|r| sides(r)).cloned().collect(),
        ..Table::default()
    }
}

/// Names to look words up in; they are never gone through, so that their order does not matter.
pub(super) type Names<'a> = HashSet<&'a str>;

/// Marks the names in a text.
pub(super) fn mark(text: &mut String, names: &Names<'_>) {
    if let Some(marked) = keep_names(text, names) {
        *text = marked;
    }
}

/// Every name that a sheet may mention; common words among them are lettered like the rest.
pub(super) fn names<'a>(set: &Inputs<'a>) -> Names<'a> {
    let (job, net) = (set.job, set.net);
    let mut names = Names::new();
    names.extend(net.runs.iter().map(|r| r.id.as_str()));
    names.extend(net.graph.node_weights().map(|j| j.id.as_str()));
    names.extend(net.graph.edge_weights().map(|p| p.id.as_str()));
    names.extend(net.cleanouts.iter().map(|c| c.id.as_str()));
    names.extend(net.valves.iter().map(|v| v.id.as_str()));
    names.extend(job.fixtures.iter().map(|f| f.name.as_str()));
    names.extend(job.vents.iter().map(|v| v.name.as_str()));
    names.extend(job.footings.iter().map(|f| f.name.as_str()));
    names.extend(job.exits.iter().map(|e| e.name.as_str()));
    names.extend(job.progress.iter().map(|p| p.name.as_str()));
    for word in ["exit", "roof"] {
        names.remove(word);
    }
    names
}

/// The names that are no words of any language: in a sentence the others may be meant as words, and
/// are marked only where backticks say that they are not.
pub(super) fn no_words<'a>(names: &Names<'a>) -> Names<'a> {
    let word = |n: &&str| n.chars().all(|c| c.is_ascii_lowercase());
    names.iter().filter(|n| !word(n)).copied().collect()
}

/// A text with its names marked, and the words that messages set in backticks; none if it has
/// none of either. What is marked already stays as it is.
fn keep_names(text: &str, names: &Names<'_>) -> Option<String> {
    // Most cells are figures, which have no letters to keep.
    if text.chars().all(is_plain) {
        return None;
    }
    let mut marked = String::new();
    let mut any = false;
    for (i, part) in text.split(KEPT).enumerate() {
        if i % 2 == 1 {
            marked += &kept(part);
            continue;
        }
        let ticks = part.split('`').count();
        any |= ticks > 1;
        for (k, piece) in part.split('`').enumerate() {
            // The last of an odd number of backticks opens nothing.
            if k % 2 == 1 && k + 1 < ticks {
                marked += &kept(piece);
            } else {
                any |= mark_words(piece, names, &mut marked);
            }
        }
    }
    any.then_some(marked)
}

/// A character of a figure: not a letter, nor what marks one.
fn is_plain(c: char) -> bool {
    c.is_ascii_digit() || " +-.,/%½¼¾⅛⅜⅝⅞′″—".contains(c)
}

/// Units that keep their letters behind a figure.
const UNITS: [&str; 10] = [
    "ft", "in", "m", "mm", "psi", "kPa", "gal", "kg/m³", "L/s", "L",
];

/// Adds a text with the names in it marked; tells whether there are any.
fn mark_words(text: &str, names: &Names<'_>, marked: &mut String) -> bool {
    // Letters that an id may have; what stands round them is punctuation.
    let part = |c: char| c.is_alphanumeric() || "._-/".contains(c);
    let mut any = false;
    // A unit keeps its letters too: `4 ft`, `¼″/ft`.
    let mut figure = false;
    let mut rest = text;
    while let Some(start) = rest.find(part) {
        let (before, from) = rest.split_at(start);
        marked.push_str(before);
        figure &= before == " ";
        let end = from.find(|c| !part(c)).unwrap_or(from.len());
        let (word, after) = from.split_at(end);
        let plain = word.trim_end_matches('.');
        let unit = |w: &str| w == "/ft" || figure && UNITS.contains(&w);
        let name = [word, plain]
            .into_iter()
            .find(|w| names.contains(w) || unit(w));
        figure = plain.ends_with(|c: char| c.is_numeric());
        match name {
            Some(name) => {
                any = true;
                marked.push_str(&kept(name));
                marked.push_str(word.get(name.len()..).unwrap_or_default());
            }
            None => marked.push_str(word),
        }
        rest = after;
    }
    marked.push_str(rest);
    any
}

/// The level table as a terminal shows it.
pub fn levels_whole(set: &Inputs<'_>) -> Table {
    let say = Say {
        print: Printer {
            units: set.job.units,
        },
        form: Form::Terminal,
    };
    let mut table = levels::levels(set, &say);
    for foot in &mut table.foot {
        *foot = foot.replace(KEPT, "");
    }
    table
}

/// Makes a table.
type Make = fn(&Inputs<'_>, &Say) -> Table;

/// Every table, in the order of the set.
const ALL: [Make; 13] = [
    marks::marks,
    progress::changes,
    progress::marks,
    loads::loads,
    storeys::storeys,
    fixtures::fixtures,
    levels::levels,
    cleanouts::cleanouts,
    floors::floors,
    findings::open,
    findings::waived,
    proposals::proposals,
    pipes::pipes,
];

/// Every table, in the order of the set.
pub fn tables_as(set: &Inputs<'_>, form: Form) -> Vec<Table> {
    let say = Say {
        print: Printer {
            units: set.job.units,
        },
        form,
    };
    let mut all = at_once::each(&ALL, |make| make(set, &say));
    all.retain(|t| !progress::is_unsaid(t));
    all
}

fn floor_name(job: &Job, floor: Option<FloorIx>) -> String {
    floor
        .and_then(|f| job.floors.get(f.0))
        .map(|f| f.name.clone())
        .unwrap_or_default()
}

/// Survey elevation of a level, where the job ties its zero to the survey.
fn surveyed(job: &Job, level: Option<Length>) -> Option<Length> {
    let zero = job.zero.as_ref()?.survey?;
    level.map(|l| zero + l)
}

fn heads(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_sentence_are_no_names() {
        let names = Names::from(["main", "far", "main.S1", "LAV-1"]);
        let mut said = "how far main.S1 lies in the main; `main`".to_owned();
        mark(&mut said, &no_words(&names));
        assert_eq!(
            crate::sheets::lettering::capitals(&said),
            "HOW FAR main.S1 LIES IN THE MAIN; main"
        );
    }

    #[test]
    fn names_keep_their_letters() {
        let names = Names::from(["ld", "main.S1", "LAV-1"]);
        let said = |text| keep_names(text, &names).map(|t| crate::sheets::lettering::capitals(&t));
        assert_eq!(said("junction of ld").as_deref(), Some("JUNCTION OF ld"));
        assert_eq!(said("on main.S1, ld.").as_deref(), Some("ON main.S1, ld."));
        assert_eq!(said("an old drain"), None);
        assert_eq!(
            said("state `run` of (ld): ld's").as_deref(),
            Some("STATE run OF (ld): ld'S")
        );
        assert_eq!(
            said("3″ @ ¼″/ft, 4.5 ft off").as_deref(),
            Some("3″ @ ¼″/ft, 4.5 ft OFF")
        );
        assert_eq!(said("an odd ` tick").as_deref(), Some("AN ODD TICK"));
    }
}
