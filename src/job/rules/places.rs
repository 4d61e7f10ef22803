//! Two stacks in one place, and two drains that go on in line from one end.

use std::collections::BTreeMap;

use crate::job::model::{Job, Said, Stack, Target};
use crate::job::problems::{Problems, TWO_DRAINS_IN_LINE, TWO_STACKS_IN_ONE_PLACE};

/// Checks both.
pub(super) fn check(job: &Job, problems: &mut Problems) {
    stacks(job, problems);
    drains(job, problems);
}

/// A place to a tenth of a millimetre, so that lengths which are the same compare so.
fn grid(length: crate::units::Length) -> i64 {
    (length.mm() * 10.0).round() as i64
}

fn stacks(job: &Job, problems: &mut Problems) {
    let mut by_at: BTreeMap<(i64, i64), &Stack> = BTreeMap::new();
    let mut by_station: BTreeMap<(usize, i64), Vec<&Stack>> = BTreeMap::new();
    for stack in &job.stacks {
        if let Some((east, north)) = stack.at {
            let first = *by_at.entry((grid(east), grid(north))).or_insert(stack);
            if !std::ptr::eq(first, stack) {
                report(first, stack, "stand at one plan position", problems);
                continue;
            }
        }
        let (
            Some(Said {
                value: Target::Drain(drain),
                ..
            }),
            Some(station),
        ) = (&stack.into, &stack.station)
        else {
            continue;
        };
        let there = by_station.entry((*drain, grid(station.value))).or_default();
        // Runs of their own, or plan positions, lead two stacks from one wye to two places.
        let same =
            |other: &&&Stack| same_legs(other, stack) && (other.at.is_none() || stack.at.is_none());
        if let Some(first) = there.iter().find(same) {
            let name = job.drains.get(*drain).map_or("", |d| d.name.as_str());
            report(
                first,
                stack,
                &format!("stand at one station of `{name}`"),
                problems,
            );
        }
        there.push(stack);
    }
}

fn same_legs(a: &Stack, b: &Stack) -> bool {
    let legs =
        |s: &Stack| -> Vec<_> { s.run.iter().map(|l| (l.heading, grid(l.length))).collect() };
    legs(a) == legs(b)
}

fn report(first: &Stack, second: &Stack, what: &str, problems: &mut Problems) {
    let message = format!("stacks `{}` and `{}` {what}", first.name, second.name);
    let help = Some("expected each stack in a place of its own".to_owned());
    problems.add(
        TWO_STACKS_IN_ONE_PLACE,
        &second.name,
        second.span.clone(),
        message,
        help,
    );
}

fn drains(job: &Job, problems: &mut Problems) {
    // A drain into a drain without a station goes on from its end; so does one from an exit.
    let mut by_end: BTreeMap<(bool, usize), &str> = BTreeMap::new();
    for drain in job.drains.iter().filter(|d| d.station.is_none()) {
        let Some(said) = &drain.into else { continue };
        let (key, end) = match said.value {
            Target::Drain(i) => (
                (false, i),
                job.drains.get(i).map_or("", |d| d.name.as_str()),
            ),
            Target::Exit(i) => ((true, i), job.exits.get(i).map_or("", |e| e.name.as_str())),
            _ => continue,
        };
        let Some(first) = by_end.get(&key) else {
            by_end.insert(key, &drain.name);
            continue;
        };
        let message = format!(
            "`{}` and `{}` both go on in line from the end of `{end}`",
            first, drain.name
        );
        let help = match key.0 {
            false => "give one of them a `station`: without it, it goes on from the end",
            true => "let one of them lead into the other, or state a second exit under `[exits]`",
        };
        problems.add(
            TWO_DRAINS_IN_LINE,
            &drain.name,
            said.span.clone(),
            message,
            Some(help.to_owned()),
        );
    }
}
