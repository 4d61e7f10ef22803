//! What was built otherwise than approved is laid over the records that it changes, before names are
//! resolved, so that everything after this works on the job as it stands on site. Values keep the
//! place where they are written: a mistake in a `now` is told there.

use std::collections::BTreeSet;

use toml::de::DeTable;

use super::keys::Record;
use super::model::{Laid, Said};
use super::problems::{
    CHANGED_TWICE, CHANGED_WITHOUT_NOW, NOW_WITHOUT_CHANGED, Problems, WRONG_KIND_OF_THING, shown,
};
use super::ranges;
use super::values::{Value, Values};
use super::walk::{Node, Walker};
use crate::diagnostics::Span;
use crate::units::UnitSystem;

/// As what a job file is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum As {
    /// As the work stands, with what was changed on site.
    Built,
    /// As it was approved.
    Approved,
}

/// A mark of the progress: the parts that it names, and what its `now` says of them.
#[derive(Clone, Debug, Default)]
pub struct Marked {
    /// Names and ids, ranges written out.
    pub on: Vec<Said<String>>,
    /// What is laid over the parts' records.
    pub laid: Vec<Laid>,
}

/// Lays the changes of a file over its records.
///
/// # Arguments
/// - `file`: what the file says, repetition written out; its records are as built afterwards.
/// - `root`: the file's tables, in which the `now`s stand as they are written.
///
/// # Returns
/// One for each mark of `[progress]`, in their order.
pub fn lay(
    file: &mut Values,
    (root, text): (&DeTable<'_>, &str),
    units: UnitSystem,
    read_as: As,
    problems: &mut Problems,
) -> Vec<Marked> {
    let marks = file.many("progress").to_vec();
    let mut known: BTreeSet<(String, &'static str)> = BTreeSet::new();
    let written = |mark: &Values| {
        let all = root.get("progress")?.get_ref().as_table()?;
        let mark = all.get(mark.name.as_str())?.get_ref().as_table()?;
        let (key, node) = mark.get_key_value("now")?;
        Some((key.span(), node))
    };
    let mut all = Vec::with_capacity(marks.len());
    for mark in &marks {
        let on = parts(mark, problems);
        let now = written(mark);
        let now = now.filter(|(key, now)| fits(mark, key, now, problems));
        let mut laid = Vec::new();
        if let Some((_, now)) = now {
            for said in &on {
                let Some(thing) = thing(file, &said.value) else {
                    proposed(mark, said, problems);
                    continue;
                };
                let mut walker = Walker {
                    units,
                    problems: &mut *problems,
                };
                let Some(over) = walker.some_keys(thing.record, &thing.name, now) else {
                    continue;
                };
                for (key, value) in over.entries() {
                    if !known.insert((thing.name.clone(), key)) {
                        twice(&thing.name, key, value.span.clone(), problems);
                        continue;
                    }
                    let before = thing.get(key);
                    laid.push(Laid {
                        on: thing.name.clone(),
                        key,
                        approved: before.map(|b| b.span.clone()),
                        now: value.span.clone(),
                        same: before.is_some_and(|b| alike(b, value, text)),
                    });
                    if read_as == As::Built {
                        thing.put(key, value.value.clone(), value.span.clone());
                    }
                }
            }
        }
        all.push(Marked { on, laid });
    }
    all
}

/// The names that a mark is about, each once.
fn parts(mark: &Values, problems: &mut Problems) -> Vec<Said<String>> {
    let mut all: Vec<Said<String>> = Vec::new();
    let mut known = BTreeSet::new();
    for said in mark.texts("on").map(|t| t.value).unwrap_or_default() {
        let names = match ranges::is_range(&said.value) {
            true => ranges::names(&said.value),
            false => Ok(vec![said.value]),
        };
        match names {
            Ok(names) => {
                let new = names.into_iter().filter(|n| known.insert(n.clone()));
                let span = &said.span;
                all.extend(new.map(|value| Said {
                    value,
                    span: span.clone(),
                }));
            }
            Err(unread) => {
                problems.add(
                    unread.mistake,
                    &mark.name,
                    said.span,
                    unread.message,
                    unread.help,
                );
            }
        }
    }
    all
}

/// Whether a mark's `now` goes with what it says otherwise.
fn fits(mark: &Values, key: &Span, now: &Node<'_>, problems: &mut Problems) -> bool {
    let empty = now.get_ref().as_table().is_some_and(DeTable::is_empty);
    match mark.words("is").as_deref() {
        Some("changed") if empty => {
            let message = format!("the `now` of `{}` says nothing", mark.name);
            problems.add(CHANGED_WITHOUT_NOW, &mark.name, key.clone(), message, how());
            false
        }
        Some("changed") | None => true,
        Some(is) => {
            let message = format!("`{}` is {is}, and its `now` says what changed", mark.name);
            let help =
                "write `is = \"changed\"`, or leave `now` out; a part can have several marks";
            let help = Some(help.to_owned());
            problems.add(NOW_WITHOUT_CHANGED, &mark.name, key.clone(), message, help);
            false
        }
    }
}

fn how() -> Option<String> {
    let how = "say what is otherwise than approved: `now = { invert = \"-10in\" }`";
    Some(how.to_owned())
}

/// Tells of marks that say `changed` and not what.
pub fn unsaid(file: &Values, problems: &mut Problems) {
    for mark in file.many("progress") {
        if let Some(is) = mark.text("is").filter(|is| is.value == "changed")
            && mark.lacks("now")
        {
            let message = format!("`{}` is changed, and no `now` says how", mark.name);
            problems.add(CHANGED_WITHOUT_NOW, &mark.name, is.span, message, how());
        }
    }
}

/// The sections whose things are parts of the work.
const SECTIONS: [&str; 10] = [
    "exit",
    "exits",
    "drains",
    "stacks",
    "fixtures",
    "vents",
    "cleanouts",
    "basins",
    "valves",
    "footings",
];

/// The record of a name.
fn thing<'f>(file: &'f mut Values, name: &str) -> Option<&'f mut Values> {
    let section = SECTIONS.into_iter().find(|section| {
        let of = |v: &Values| v.name == name;
        file.one(section).is_some_and(of) || file.many(section).iter().any(of)
    })?;
    file.things_mut(section).find(|v| v.name == name)
}

/// What was proposed has no record: who changed it must state it first.
fn proposed(mark: &Values, said: &Said<String>, problems: &mut Problems) {
    // Of other names that are unknown it is told where they are resolved.
    if !said.value.contains('.') {
        return;
    }
    let name = shown(&said.value);
    let message = format!("`{name}` is a part that was proposed: no keys of it are stated");
    let help = Some("state it in its section, and change that, or what it is a part of".to_owned());
    let span = said.span.clone();
    problems.add(WRONG_KIND_OF_THING, &mark.name, span, message, help);
}

fn twice(name: &str, key: &str, span: Span, problems: &mut Problems) {
    let message = format!("`{key}` of `{name}` is changed a second time");
    let help = Some("write one mark for it, with how it is now".to_owned());
    problems.add(CHANGED_TWICE, name, span, message, help);
}

/// Whether two values say the same, however they are spelled.
fn alike(a: &Said<Value>, b: &Said<Value>, text: &str) -> bool {
    let words = |s: &Span| {
        let all = text.get(s.clone()).map(str::split_whitespace);
        all.map(|words| words.collect::<Vec<_>>())
    };
    a.value.same(&b.value) || words(&a.span).is_some_and(|w| Some(w) == words(&b.span))
}

/// Whether a record has keys that can be laid over, for the schema.
pub fn records() -> [&'static Record; 9] {
    use super::keys::{BASIN, CLEANOUT, DRAIN, EXIT, FIXTURE, FOOTING, STACK, VALVE, VENT};
    [
        &EXIT, &DRAIN, &STACK, &FIXTURE, &VENT, &CLEANOUT, &BASIN, &VALVE, &FOOTING,
    ]
}
