//! The sheets of the holes: which floors share a plan, and what stands beside it.

use super::plan::Plan;
use super::tables::{at, holes, others};
use super::{Drops, Hole, Level};
use crate::placement::Scale;
use crate::sheets::{
    DrawingKind, Inputs, Say, ScaledDrawing, Table, plan_number, with_room_for_tables,
};

/// Names of the tables beside the first drawings: ids of panels stand once in a set. Holes of
/// further drawings stand together in one table.
const BESIDE: [&str; 12] = [
    "holes-1", "holes-2", "holes-3", "holes-4", "holes-5", "holes-6", "holes-7", "holes-8",
    "holes-9", "holes-10", "holes-11", "holes-12",
];

/// Levels whose holes are the same, one above the other, the lowest first.
pub fn alike(drops: &Drops) -> Vec<Vec<Level>> {
    let mut groups: Vec<Vec<Level>> = Vec::new();
    for level in drops.levels() {
        let same = groups
            .last()
            .and_then(|g| g.first())
            .is_some_and(|first| same(drops, *first, level));
        match groups.last_mut().filter(|_| same) {
            Some(group) => group.push(level),
            None => groups.push(vec![level]),
        }
    }
    groups
}

fn same(drops: &Drops, a: Level, b: Level) -> bool {
    if (a == Level::Roof) != (b == Level::Roof) {
        return false;
    }
    let (a, b) = (at(drops, a), at(drops, b));
    a.len() == b.len()
        && a.iter().zip(&b).all(|(a, b)| {
            short(&a.tag) == short(&b.tag)
                && a.at == b.at
                && a.bored == b.bored
                && a.member == b.member
                && a.joists == b.joists
        })
}

/// A tag without the floor that a copy's name ends in: it is the sheet's.
pub(super) fn short(tag: &str) -> String {
    let Some((own, place)) = tag.split_once('@') else {
        return tag.to_owned();
    };
    let (place, part) = match place.split_once('.') {
        Some((place, part)) => (place, format!(".{part}")),
        None => (place, String::new()),
    };
    let place = place.rsplit_once('-').map_or(place, |p| p.0);
    format!("{own}@{place}{part}")
}

/// The plans, each with its table, and the tables that belong to none.
pub fn drawings(set: &Inputs<'_>, drops: &Drops, say: &Say) -> (Vec<ScaledDrawing>, Vec<Table>) {
    let mut plans = Vec::new();
    let mut rest: Vec<&Hole> = Vec::new();
    for group in alike(drops) {
        let Some(&level) = group.first() else {
            continue;
        };
        let all = at(drops, level);
        let title = called(drops, &group);
        let name = BESIDE.get(plans.len()).copied();
        let table = |narrow: bool| {
            let n = name?;
            let shorter: Vec<Hole> = all.iter().map(|h| named(h, group.len())).collect();
            let some: Vec<&Hole> = shorter.iter().collect();
            let words = (n, format!("Holes, {title}"), false);
            Some(holes(drops, &some, words, (narrow, say)))
        };
        let here: Vec<&Hole> = all.iter().copied().filter(|h| h.at.is_ok()).collect();
        let plan = Plan::of(set, drops, &here, (level, group.len() > 1));
        let number = plan_number(plans.len());
        let drawn = plan.and_then(|plan| {
            // A smaller scale is no use where tags find no room at it.
            // Nor where holes run together into one symbol that stand apart at a larger one.
            let first = plan.scales().next().map(|s| plan.lost(s));
            let serves = |s: &Scale| {
                let (now, first) = (plan.lost(*s), first.unwrap_or_default());
                now.0 <= first.0 && now.1 <= first.1
            };
            // Where much is said of each hole, its words take the room of the outsides of pipes.
            let wordy = table(false).is_some_and(|t| says_much(&t));
            let widths = [false, true].into_iter().filter(move |n| *n || !wordy);
            let each = plan
                .scales()
                .filter(serves)
                .flat_map(|s| widths.clone().map(move |n| (s, n)));
            let made = each.map(|(scale, narrow)| ScaledDrawing {
                title: format!("DROPS: {}", title.to_uppercase()),
                shows: format!("{} holes", here.len()),
                kind: DrawingKind::Plan,
                scale,
                items: plan.items(scale),
                north: Some((0.0, -1.0)),
                tables: table(narrow).into_iter().collect(),
                away: plan.away(scale),
            });
            let (mut drawing, holds) = with_room_for_tables(set, made)?;
            if !holds {
                // On a sheet of tables its title says where the plan is.
                for table in &mut drawing.tables {
                    table.title = format!("{}: plan on {number}", table.title);
                }
            }
            Some(drawing)
        });
        match drawn {
            Some(drawing) => {
                if drawing.tables.is_empty() {
                    rest.extend(&all);
                }
                plans.push(drawing);
            }
            None => rest.extend(&all),
        }
    }
    let mut tables = Vec::new();
    if !rest.is_empty() {
        let title = match plans.is_empty() {
            true => "Holes",
            false => "Other holes",
        };
        tables.push(holes(
            drops,
            &rest,
            ("holes", title.to_owned(), true),
            (false, say),
        ));
    }
    tables.extend(others(drops, say));
    (plans, tables)
}

/// A hole as a sheet of several floors names it.
fn named(hole: &Hole, floors: usize) -> Hole {
    let mut hole = hole.clone();
    if floors > 1 {
        hole.tag = short(&hole.tag);
    }
    hole
}

fn called(drops: &Drops, group: &[Level]) -> String {
    let name = |l: &Level| drops.called(*l).to_owned();
    match group {
        [one] => name(one),
        [first, .., last] => format!("{} to {}", name(first), name(last)),
        [] => String::new(),
    }
}

/// Whether what a table says of its holes is long.
fn says_much(table: &Table) -> bool {
    /// Longer words take a third line in a narrow column.
    const LONG: usize = 16;
    let mut last = table.rows.iter().filter_map(|r| r.last());
    last.any(|words| words.chars().count() > LONG)
}
