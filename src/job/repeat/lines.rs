//! One line for several floors or stacks: written out under the names of its range.

use std::collections::BTreeMap;

use super::plan::Line;
use crate::diagnostics::{Span, line_column};
use crate::job::keys::{FLOOR, Record, STACK};
use crate::job::problems::{MISSING_KEY, NAME_USED_TWICE, OUT_OF_RANGE, Problems};
use crate::job::ranges;
use crate::job::values::{Value, Values};
use crate::units::Length;

/// Writes out typical floors: the first lies at `from`, each other by `each` higher.
pub(super) fn floors(file: &mut Values, text: &str, problems: &mut Problems) -> Vec<Line> {
    let Some(section) = file.get("floors") else {
        return Vec::new();
    };
    let span = section.span.clone();
    let (mut all, mut lines) = (Vec::new(), Vec::new());
    let mut known: BTreeMap<String, Span> = BTreeMap::new();
    for v in file.many("floors") {
        let range = ranges::is_range(&v.name);
        let each = range.then(|| v.length("each")).flatten();
        if let Some(nil) = each.as_ref().filter(|e| e.value.same(Length::ZERO)) {
            let message = format!("the floors `{}` would lie in one place", v.name);
            let help = Some("expected the height of a storey".to_owned());
            problems.add(OUT_OF_RANGE, &v.name, nil.span.clone(), message, help);
        }
        for (i, name) in of_line(v, &mut lines).into_iter().enumerate() {
            if let Some(first) = known.get(&name) {
                let (line, _) = line_column(text, first.start);
                let message = format!("`{name}` is already a floor (line {line})");
                let help = Some("expected each floor once, by itself or in a range".to_owned());
                problems.add(NAME_USED_TWICE, &name, v.span.clone(), message, help);
                continue;
            }
            known.insert(name.clone(), v.span.clone());
            if !range {
                all.push(v.clone());
                continue;
            }
            let mut floor = copy(v, &FLOOR, name, &["from", "each"]);
            let level = match (v.length("from"), &each) {
                (Some(from), Some(each)) => {
                    Some((from.value + each.value * i as f64, from.span.clone()))
                }
                _ => None,
            };
            // A range without its levels has been reported as such.
            let (level, at) = level.unwrap_or((Length::ZERO, v.span.clone()));
            floor.put("level", Value::Length(level), at);
            all.push(floor);
        }
    }
    file.put("floors", Value::Named(all), span);
    lines
}

/// Writes out banks of like stacks: the first stands at `station`, each other by `each` farther up.
pub(super) fn stacks(file: &mut Values, problems: &mut Problems) -> Vec<Line> {
    let Some(section) = file.get("stacks") else {
        return Vec::new();
    };
    let span = section.span.clone();
    let (mut all, mut lines) = (Vec::new(), Vec::new());
    for v in file.many("stacks") {
        if !ranges::is_range(&v.name) {
            all.push(v.clone());
            continue;
        }
        let (first, each) = (v.length("station"), v.length("each"));
        if let Some(each) = each.as_ref().filter(|_| v.lacks("station")) {
            let message = format!("`{}` has `each` and no `station`", v.name);
            let help = Some("state the `station` of the first, or leave `each` out".to_owned());
            problems.add(MISSING_KEY, &v.name, each.span.clone(), message, help);
        }
        for (i, name) in of_line(v, &mut lines).into_iter().enumerate() {
            let mut stack = copy(v, &STACK, name, &["each"]);
            if let (Some(first), Some(each)) = (&first, &each) {
                let station = first.value + each.value * i as f64;
                stack.put("station", Value::Length(station), first.span.clone());
            }
            all.push(stack);
        }
    }
    file.put("stacks", Value::Named(all), span);
    lines
}

/// The names that a line stands for: its own, or those of its range, which is noted. A range that
/// does not read has been reported as such.
fn of_line(v: &Values, lines: &mut Vec<Line>) -> Vec<String> {
    if !ranges::is_range(&v.name) {
        return vec![v.name.clone()];
    }
    let names = ranges::names(&v.name).unwrap_or_default();
    lines.push(Line {
        name: v.name.clone(),
        span: v.span.clone(),
        names: names.clone(),
    });
    names
}

/// One of a range: what the line says but for the keys that only ranges have.
fn copy(v: &Values, record: &'static Record, name: String, without: &[&str]) -> Values {
    let mut one = v.copied(record, name);
    for key in without {
        one.forget(key);
    }
    one
}
