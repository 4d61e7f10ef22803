//! Groups: what they hold, and what their things name. Checked once, whatever the number of copies.

use std::collections::{BTreeMap, BTreeSet};

use super::SECTIONS;
use crate::diagnostics::Span;
use crate::job::keys::{Kind, What};
use crate::job::model::Said;
use crate::job::names::Names;
use crate::job::problems::{LEADS_OUT_OF_ITS_GROUP, NOTHING_TO_DRAIN, Problems, shown};
use crate::job::resolve::Resolver;
use crate::job::values::{Value, Values};

/// A group as it is written.
pub(super) struct Group {
    /// Its name.
    pub(super) name: String,
    /// Where its name stands.
    pub(super) span: Span,
    /// Its things, each with the place of its section in the list of sections.
    pub(super) things: Vec<(usize, Values)>,
    /// Their names.
    pub(super) own: BTreeSet<String>,
}

/// Reads all groups. What their things name is looked up in the group first, then in the file; what
/// is not there, or may not be named, is reported and left out of the copies.
pub(super) fn read(
    file: &Values,
    names: &Names,
    text: &str,
    problems: &mut Problems,
) -> Vec<Group> {
    let groups = file.many("groups").iter();
    groups.map(|v| group(v, names, text, problems)).collect()
}

fn group(v: &Values, names: &Names, text: &str, problems: &mut Problems) -> Group {
    let mut things: Vec<(usize, Values)> = Vec::new();
    for (i, (section, _)) in SECTIONS.iter().enumerate() {
        things.extend(v.many(section).iter().map(|thing| (i, thing.clone())));
    }
    if things.is_empty() && v.entries().next().is_none() && v.lacks("fixtures") {
        let message = format!("the group `{}` holds nothing", v.name);
        let help = format!("expected `[groups.{}.fixtures]`", v.name);
        problems.add(
            NOTHING_TO_DRAIN,
            &v.name,
            v.span.clone(),
            message,
            Some(help),
        );
    }
    let mut inside = Names::default();
    let mut in_file: Vec<(usize, &Values)> = things.iter().map(|(i, t)| (*i, t)).collect();
    in_file.sort_by_key(|(_, t)| t.span.start);
    for (section, thing) in in_file {
        let what = what(SECTIONS.get(section).map_or("", |s| s.0));
        inside.add(problems, text, &thing.name, (what, None, 0), &thing.span);
    }
    let both = inside.over(names);
    let own: BTreeSet<String> = things.iter().map(|(_, t)| t.name.clone()).collect();
    let no_floors = BTreeMap::new();
    for (section, thing) in &mut things {
        let section = SECTIONS.get(*section).map_or("", |s| s.0);
        let mut wrong: Vec<&'static str> = Vec::new();
        for named in named(section, thing) {
            let outside = !own.contains(&named.said.value);
            if named.stays && outside && leads_out(&named, names, &v.name, problems) {
                wrong.push(named.of);
                continue;
            }
            let mut r = Resolver {
                names: if named.stays { &inside } else { &both },
                floors: &no_floors,
                floor_order: &[],
                exits: &[],
                problems,
            };
            let roof = named.said.value == "roof" && named.kinds.contains(&What::Roof);
            if !roof && r.look_up(&thing.name, &named.said, named.kinds).is_none() {
                wrong.push(named.of);
            }
        }
        for key in wrong {
            thing.forget(key);
        }
    }
    Group {
        name: v.name.clone(),
        span: v.span.clone(),
        things,
        own,
    }
}

fn what(section: &str) -> What {
    match section {
        "drains" => What::Drain,
        "fixtures" => What::Fixture,
        "vents" => What::Vent,
        "basins" => What::Basin,
        "cleanouts" => What::Cleanout,
        "valves" => What::Valve,
        _ => What::Other,
    }
}

/// A name that a thing of a group says.
struct Named {
    /// The key of the thing that holds it, directly or in its table.
    of: &'static str,
    said: Said<String>,
    kinds: &'static [What],
    /// Whether it may only name a thing of the group: what a thing drains into or stands on is of
    /// its own copy.
    stays: bool,
}

fn named(section: &str, thing: &Values) -> Vec<Named> {
    let mut all = Vec::new();
    for (key, said) in thing.entries() {
        match (&said.value, thing.record.key(key).map(|k| k.kind)) {
            (Value::Text(name), Some(Kind::Name(kinds))) => all.push(Named {
                of: key,
                said: Said {
                    value: name.clone(),
                    span: said.span.clone(),
                },
                kinds,
                stays: key == "on" || (key == "into" && section != "vents"),
            }),
            (Value::One(inner), _) => {
                let within = named("", inner).into_iter();
                all.extend(within.map(|n| Named { of: key, ..n }));
            }
            _ => {}
        }
    }
    all
}

/// Reports a thing that leads to one outside of its group, if there is one of that name.
fn leads_out(named: &Named, names: &Names, group: &str, problems: &mut Problems) -> bool {
    let name = named.said.value.as_str();
    if names.get(name).is_none() && name != "exit" {
        return false;
    }
    let message = format!("`{}` is not in the group `{group}`", shown(name));
    let help = match named.of {
        "into" => {
            "without `into` it goes where `[repeat]` says; with it, to a thing of its own group"
        }
        _ => "expected a thing of its own group; what serves all copies is written outside of it",
    };
    let span = named.said.span.clone();
    problems.add(
        LEADS_OUT_OF_ITS_GROUP,
        group,
        span,
        message,
        Some(help.to_owned()),
    );
    true
}
