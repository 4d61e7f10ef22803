//! The key to the drawing's sheets: which of them shows which stacks at which floors, laid out as
//! the building stands, and in words for the list of sheets.

use std::collections::BTreeMap;

use super::{Inputs, Table};
use crate::job::FloorIx;
use crate::network::RunIx;
use crate::placement::Shows;
use crate::sheets::compose::drawing_number;
use crate::sheets::lettering::kept;
use crate::typical::together_as;

/// More columns than this no reader follows; the list of sheets says the same.
const MOST: usize = 24;

/// The key; none where one sheet shows all.
pub(in crate::sheets) fn key(set: &Inputs<'_>) -> Option<Table> {
    let floors = floors_shown(set.shows);
    // Stacks that stand on the same sheets share a column, floors that do a row.
    let mut on: BTreeMap<(RunIx, FloorIx), Vec<usize>> = BTreeMap::new();
    for (sheet, shows) in set.shows.iter().enumerate() {
        for &(stack, low, high) in &shows.stacks {
            for &f in floors.iter().filter(|f| (low..=high).contains(f)) {
                on.entry((stack, f)).or_default().push(sheet);
            }
        }
    }
    let mut stacks: Vec<RunIx> = on.keys().map(|(s, _)| *s).collect();
    stacks.dedup();
    let column = |s: RunIx| floors.iter().map(|f| on.get(&(s, *f))).collect::<Vec<_>>();
    let zones = grouped(&stacks, |a, b| column(a) == column(b));
    let row = |f: FloorIx| stacks.iter().map(|s| on.get(&(*s, f))).collect::<Vec<_>>();
    let bands = grouped(&floors, |a, b| row(a) == row(b));
    if set.shows.len() < 2 || zones.is_empty() || zones.len() > MOST {
        return None;
    }
    let mut head = vec!["Floors".to_owned()];
    head.extend(zones.iter().map(|z| stack_names(set, z)));
    let sheets = |list: Option<&Vec<usize>>| {
        let all = list.into_iter().flatten().map(|s| drawing_number(*s));
        all.collect::<Vec<_>>().join(", ")
    };
    let mut rows: Vec<Vec<String>> = Vec::new();
    for band in bands.iter().rev() {
        let mut cells = vec![floor_names(set, band)];
        cells.extend(zones.iter().map(|z| sheets(on.get(&(z[0], band[0])))));
        rows.push(cells);
    }
    let mut cells = vec!["Drains".to_owned()];
    cells.extend(zones.iter().map(|zone| {
        let feet = |s: &&Shows| zone.iter().any(|z| s.feet.contains(z));
        let here = set.shows.iter().enumerate().filter(|(_, s)| feet(s));
        sheets(Some(&here.map(|(i, _)| i).collect()))
    }));
    rows.push(cells);
    Some(Table {
        name: "key",
        title: "Key to the drawing sheets".into(),
        head,
        rows,
        ..Table::default()
    })
}

/// What a sheet shows, in words.
pub(in crate::sheets) fn shown(set: &Inputs<'_>, shows: &Shows) -> String {
    let mut words = Vec::new();
    if shows.drain {
        words.push("building drain".to_owned());
    }
    let stacks: Vec<RunIx> = shows.stacks.iter().map(|s| s.0).collect();
    let low = shows.stacks.iter().map(|s| s.1).min();
    let high = shows.stacks.iter().map(|s| s.2).max();
    if let (Some(low), Some(high)) = (low, high) {
        let floors: Vec<FloorIx> = (low.0..=high.0).map(FloorIx).collect();
        let like = |s: &RunIx| set.typical.and_then(|t| t.like.get(s));
        let like: Vec<RunIx> = stacks.iter().filter_map(like).flatten().copied().collect();
        let mut stacks = stack_names(set, &stacks);
        if !like.is_empty() {
            stacks += &format!(" (and {})", stack_names(set, &like));
        }
        words.push(format!("{stacks}: floors {}", floor_names(set, &floors)));
    }
    words.join("; ")
}

/// Floors at which something enters a stack on some sheet, lowest first.
fn floors_shown(shows: &[Shows]) -> Vec<FloorIx> {
    let ends = shows.iter().flat_map(|s| &s.stacks);
    let low = ends.clone().map(|s| s.1.0).min();
    let high = ends.map(|s| s.2.0).max();
    match (low, high) {
        (Some(low), Some(high)) => (low..=high).map(FloorIx).collect(),
        _ => Vec::new(),
    }
}

/// Neighbours that are alike, together.
fn grouped<T: Copy>(all: &[T], alike: impl Fn(T, T) -> bool) -> Vec<Vec<T>> {
    let mut groups: Vec<Vec<T>> = Vec::new();
    for &one in all {
        match groups.last_mut().filter(|g| alike(g[0], one)) {
            Some(group) => group.push(one),
            None => groups.push(vec![one]),
        }
    }
    groups
}

/// The names of some stacks: the first and the last of several.
fn stack_names(set: &Inputs<'_>, stacks: &[RunIx]) -> String {
    let names = stacks.iter().map(|s| set.net.runs[s.0].id.as_str());
    together_as(names, kept)
}

fn floor_names(set: &Inputs<'_>, floors: &[FloorIx]) -> String {
    let name = |f: &FloorIx| set.job.floors.get(f.0).map(|f| f.name.clone());
    range(floors.iter().filter_map(name).collect())
}

fn range(names: Vec<String>) -> String {
    match names.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [one, other] => format!("{one}, {other}"),
        [first, .., last] => format!("{first} to {last}"),
    }
}
