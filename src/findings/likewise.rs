//! What is found of many copies is told once, with the places as a count.

use std::collections::BTreeMap;

use crate::diagnostics::Diagnostic;
use crate::job::Made;

/// How many of the other places are named.
const NAMED: usize = 4;

/// Joins diagnostics of one code at one line of the job file that differ in the copy or the stack
/// of a bank alone. The one of the first copy stays, and its note tells of the others; amounts may
/// differ among them. All else stays as it is, in its order.
pub fn likewise(made: &Made, list: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let mut joined: Vec<Vec<Diagnostic>> = Vec::new();
    let mut known: BTreeMap<(&'static str, usize, usize, String), usize> = BTreeMap::new();
    for d in list {
        let Some(alike) = made.alike(&d.at) else {
            joined.push(vec![d]);
            continue;
        };
        let (start, end) = d.span.as_ref().map_or((0, 0), |s| (s.start, s.end));
        let at = *(known.entry((d.code, start, end, alike))).or_insert(joined.len());
        match joined.get_mut(at) {
            Some(same) => same.push(d),
            None => joined.push(vec![d]),
        }
    }
    joined
        .into_iter()
        .filter_map(|same| one(made, same))
        .collect()
}

fn one(made: &Made, mut same: Vec<Diagnostic>) -> Option<Diagnostic> {
    same.sort_by_key(|d| made.number(&d.at));
    let mut all = same.into_iter();
    let mut first = all.next()?;
    let mut others: Vec<String> = all.map(|d| d.at).collect();
    // Of one place several things may be found.
    others.dedup();
    others.retain(|at| *at != first.at);
    if !others.is_empty() {
        let said = words(&others);
        first.note = Some(match first.note.take() {
            Some(note) => format!("{note}; {said}"),
            None => said,
        });
    }
    Some(first)
}

fn words(others: &[String]) -> String {
    let named: Vec<&str> = others.iter().take(NAMED).map(String::as_str).collect();
    let more = match others.len() - named.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let places = if others.len() == 1 { "place" } else { "places" };
    format!(
        "likewise at {} more {places}: {}{more}",
        others.len(),
        named.join(", ")
    )
}
