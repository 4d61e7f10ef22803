//! Copies of groups: one on every floor of every stack that a repeat names.

use std::collections::{BTreeMap, BTreeSet};

use super::groups::Group;
use super::plan::{Placed, Plan, Thing};
use super::{MOST, SECTIONS};
use crate::diagnostics::Span;
use crate::job::keys::What;
use crate::job::model::{FloorIx, Group as Written, Said};
use crate::job::names::{LONGEST_MADE, Names};
use crate::job::problems::{
    MADE_NAME_TOO_LONG, Problems, REPEATED_ON_A_DRAIN, TOO_MANY_MADE, TWO_COPIES_IN_ONE_PLACE,
    UNREADABLE_RANGE, Unread, shown,
};
use crate::job::ranges;
use crate::job::resolve::Resolver;
use crate::job::values::{Value, Values};
use crate::units::Length;

/// The floors of the file, lowest first.
struct Storeys {
    names: Vec<String>,
    /// Whether each is a part of another: a pit, which is no storey.
    pits: Vec<bool>,
    by_name: BTreeMap<String, FloorIx>,
}

/// A repeat whose words all read.
struct Spread {
    group: usize,
    into: Vec<String>,
    floors: Vec<FloorIx>,
}

/// Makes all copies: for each section the things of it, repeat by repeat, stack by stack, from the
/// lowest floor that is said first.
pub(super) fn make(
    file: &Values,
    groups: &[Group],
    names: &Names,
    plan: &mut Plan,
    problems: &mut Problems,
) -> Vec<Vec<Values>> {
    let storeys = storeys(file);
    let mut made: Vec<Vec<Values>> = vec![Vec::new(); SECTIONS.len()];
    plan.groups = (groups.iter())
        .map(|g| Written {
            name: g.name.clone(),
            span: g.span.clone(),
            copies: 0,
        })
        .collect();
    // Which repeat made each name, to tell of two that make one.
    let mut makers: BTreeMap<String, usize> = BTreeMap::new();
    let (mut total, mut copies) = (0usize, 0usize);
    for v in file.many("repeat") {
        let Some(spread) = read(v, &storeys, names, problems) else {
            continue;
        };
        let Some(group) = groups.get(spread.group) else {
            continue;
        };
        let count = spread.into.len() * spread.floors.len();
        total = total.saturating_add(count.saturating_mul(group.things.len()));
        if total > MOST {
            let message = format!("the file makes {total} things up to here");
            let help = Some(format!("expected at most {MOST}"));
            problems.add(TOO_MANY_MADE, &v.name, v.span.clone(), message, help);
            break;
        }
        one_position(v, group, &spread, problems);
        let repeat = plan.repeats.len();
        if let Some(written) = plan.groups.get_mut(spread.group) {
            written.copies += count;
        }
        for (i, into) in spread.into.iter().enumerate() {
            for floor in &spread.floors {
                let storey = storeys.names.get(floor.0).map_or("", String::as_str);
                let tag = format!("@{into}-{}", storey.replace(' ', "_"));
                for (section, thing) in &group.things {
                    let name = format!("{}{tag}", thing.name);
                    if let Some(first) = makers.insert(name.clone(), repeat) {
                        twice(v, &name, plan.repeats.get(first), problems);
                        continue;
                    }
                    if name.len() > LONGEST_MADE {
                        too_long(v, &name, problems);
                    }
                    let Some((word, record)) = SECTIONS.get(*section) else {
                        continue;
                    };
                    let other = |n: &str| group.own.contains(n).then(|| format!("{n}{tag}"));
                    let mut copy = thing.copied(record, name.clone());
                    copy.rename(&other);
                    place(&mut copy, word, into, storey);
                    if let Some(list) = made.get_mut(*section) {
                        list.push(copy);
                    }
                    plan.things.push(Thing {
                        name,
                        section: word,
                        written: thing.name.clone(),
                        repeat,
                        copy: copies,
                        into: i,
                        floor: *floor,
                    });
                }
                copies += 1;
            }
        }
        plan.repeats.push(Placed {
            name: v.name.clone(),
            span: v.span.clone(),
            group: spread.group,
            into: spread.into,
            floors: spread.floors,
        });
    }
    made
}

/// Puts a copy on its floor, and lets what drains nowhere else go into the stack of the copy.
fn place(copy: &mut Values, section: &str, into: &str, floor: &str) {
    let span = copy.span.clone();
    if copy.record.key("floor").is_some() {
        copy.put("floor", Value::Text(floor.to_owned()), span.clone());
    }
    // A vent without `into` is led on by the tool, and what stands over a receptor drains into that.
    let drains = copy.record.key("into").is_some() && section != "vents";
    let elsewhere = copy.record.key("over").is_some() && copy.get("over").is_some();
    if drains && !elsewhere && copy.lacks("into") {
        copy.put("into", Value::Text(into.to_owned()), span);
    }
}

fn storeys(file: &Values) -> Storeys {
    let mut floors: Vec<(&Values, Length)> = (file.many("floors").iter())
        .filter(|v| v.name != "roof")
        .map(|v| (v, v.plain_length("level").unwrap_or(Length::ZERO)))
        .collect();
    // As the job sorts them.
    floors.sort_by(|a, b| a.1.total_cmp(&b.1));
    let names: Vec<String> = floors.iter().map(|(v, _)| v.name.clone()).collect();
    let numbered = names.iter().enumerate();
    Storeys {
        by_name: numbered.map(|(i, n)| (n.clone(), FloorIx(i))).collect(),
        pits: floors.iter().map(|(v, _)| !v.lacks("part_of")).collect(),
        names,
    }
}

/// Reads a repeat; none where it has no group, stack or floor that reads.
fn read(v: &Values, storeys: &Storeys, names: &Names, problems: &mut Problems) -> Option<Spread> {
    let mut r = Resolver {
        names,
        floors: &storeys.by_name,
        floor_order: &storeys.names,
        exits: &[],
        problems,
    };
    let group = r.index(v, "group").map(|g| g.value);
    let (into, drain) = into(v, &mut r);
    let floors = floors(v, storeys, &mut r);
    if let (Some(drain), 2..) = (drain, floors.len()) {
        let message = format!(
            "`{}` is a drain, and `{}` goes over {} floors",
            drain.value,
            v.name,
            floors.len()
        );
        let help = "a drain lies on one floor: name that, or a stack".to_owned();
        problems.add(
            REPEATED_ON_A_DRAIN,
            &v.name,
            drain.span,
            message,
            Some(help),
        );
        return None;
    }
    let spread = Spread {
        group: group?,
        into,
        floors,
    };
    (!spread.into.is_empty() && !spread.floors.is_empty()).then_some(spread)
}

/// The stacks and drains that a repeat names, each once, and the first of them that is a drain.
fn into(v: &Values, r: &mut Resolver<'_>) -> (Vec<String>, Option<Said<String>>) {
    let (mut all, mut known, mut drain) = (Vec::new(), BTreeSet::new(), None);
    for said in v.texts("into").map(|t| t.value).unwrap_or_default() {
        let names = match ranges::is_range(&said.value) {
            true => match ranges::names(&said.value) {
                Ok(names) => names,
                Err(unread) => {
                    unreadable(&v.name, said.span, unread, r.problems);
                    continue;
                }
            },
            false => vec![said.value],
        };
        for name in names {
            let one = Said {
                value: name,
                span: said.span.clone(),
            };
            if r.look_up(&v.name, &one, &[What::Stack, What::Drain])
                .is_none()
            {
                continue;
            }
            if !known.insert(one.value.clone()) {
                again(&one.value, said.span.clone(), r.problems);
                continue;
            }
            if matches!(r.names.get(&one.value), Some((What::Drain, ..))) {
                drain.get_or_insert_with(|| one.clone());
            }
            all.push(one.value);
        }
    }
    (all, drain)
}

/// The floors that a repeat names, each once. A range runs by level, whatever its floors are called.
fn floors(v: &Values, storeys: &Storeys, r: &mut Resolver<'_>) -> Vec<FloorIx> {
    let (mut all, mut known) = (Vec::new(), BTreeSet::new());
    for said in v.texts("floors").map(|t| t.value).unwrap_or_default() {
        let (first, last) = match ranges::is_range(&said.value) {
            true => match ranges::ends(&said.value) {
                Ok((first, last)) => (first.to_owned(), last.to_owned()),
                Err(unread) => {
                    unreadable(&v.name, said.span, unread, r.problems);
                    continue;
                }
            },
            false => (said.value.clone(), said.value.clone()),
        };
        let mut end = |name: &str| {
            let one = Said {
                value: name.to_owned(),
                span: said.span.clone(),
            };
            r.floor_named(&v.name, one)
        };
        let a = end(&first);
        let b = if first == last { a } else { end(&last) };
        let (Some(a), Some(b)) = (a, b) else {
            continue;
        };
        if a > b {
            let message = format!("floor `{}` lies above `{}`", shown(&first), shown(&last));
            let help = format!("write the lower floor first: `{last}..{first}`");
            let unread = Unread::new(UNREADABLE_RANGE, message, help);
            unreadable(&v.name, said.span, unread, r.problems);
            continue;
        }
        for floor in a.0..=b.0 {
            let pit = storeys.pits.get(floor).copied().unwrap_or(false);
            if pit && floor != a.0 && floor != b.0 {
                continue;
            }
            match known.insert(floor) {
                true => all.push(FloorIx(floor)),
                false => {
                    let name = storeys.names.get(floor).map_or("", String::as_str);
                    again(name, said.span.clone(), r.problems);
                }
            }
        }
    }
    all
}

fn unreadable(at: &str, span: Span, unread: Unread, problems: &mut Problems) {
    problems.add(unread.mistake, at, span, unread.message, unread.help);
}

fn again(name: &str, span: Span, problems: &mut Problems) {
    let message = format!("`{}` is named twice", shown(name));
    let help =
        Some("expected each floor and each stack once: a copy has a place of its own".to_owned());
    problems.add(TWO_COPIES_IN_ONE_PLACE, name, span, message, help);
}

/// Two repeats, or two groups, that make one name.
fn twice(v: &Values, name: &str, first: Option<&Placed>, problems: &mut Problems) {
    let message = match first {
        Some(first) => format!(
            "`{}` and `{}` both make `{}`",
            first.name,
            v.name,
            shown(name)
        ),
        // Floors and stacks whose names read alike once they are joined.
        None => format!("`{}` makes `{}` twice", v.name, shown(name)),
    };
    let help = "things of one stack and floor need names of their own in their groups".to_owned();
    problems.add(
        TWO_COPIES_IN_ONE_PLACE,
        name,
        v.span.clone(),
        message,
        Some(help),
    );
}

fn too_long(v: &Values, name: &str, problems: &mut Problems) {
    let message = format!("`{}` has {} characters", shown(name), name.len());
    let help = format!(
        "expected at most {LONGEST_MADE}: shorten the name in the group, or that of the floor or stack"
    );
    problems.add(
        MADE_NAME_TOO_LONG,
        name,
        v.span.clone(),
        message,
        Some(help),
    );
}

/// A plan position is one place: of a group on several stacks all copies would stand there.
fn one_position(v: &Values, group: &Group, spread: &Spread, problems: &mut Problems) {
    if spread.into.len() < 2 {
        return;
    }
    for (_, thing) in &group.things {
        let Some((_, at)) = thing.entries().find(|(key, _)| *key == "at") else {
            continue;
        };
        let message = format!(
            "`{}` stands at one plan position, and `{}` places it on {} stacks",
            thing.name,
            v.name,
            spread.into.len()
        );
        let help =
            "leave `at` out and say `side`, `run` or `station`, which go from the stack or drain"
                .to_owned();
        problems.add(
            TWO_COPIES_IN_ONE_PLACE,
            &thing.name,
            at.span.clone(),
            message,
            Some(help),
        );
    }
}
