//! Load totals at each stack's base and at each exit.

use crate::job::Exit;
use crate::network::RunIx;
use crate::typical::together;
use crate::units::Load;

use super::{Inputs, Say, Table, heads};

/// The fixtures that make up each total, and their sum.
pub fn loads(set: &Inputs<'_>, say: &Say) -> Table {
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut strong = Vec::new();
    // Stacks that are built like another carry what that carries.
    let like = set.typical.filter(|_| !say.data()).map(|t| &t.like);
    let named = |run: &RunIx| set.net.runs.get(run.0).map(|r| r.id.as_str());
    for total in &set.solution.sizing.totals {
        let is = |run: &RunIx| named(run) == Some(total.name.as_str());
        if like.is_some_and(|l| l.values().flatten().any(is)) {
            continue;
        }
        let others = like.and_then(|l| l.iter().find(|(r, _)| is(r)));
        let others: Vec<&str> = others
            .into_iter()
            .flat_map(|(_, o)| o)
            .filter_map(named)
            .collect();
        let exit = set.net.exits.contains(&total.joint);
        let place = if exit {
            exit_words(set.job.exits.iter().find(|e| e.name == total.name))
        } else {
            let each = match others.as_slice() {
                [] => String::new(),
                [one] => format!(", and of {one}"),
                _ => format!(", and of each of {}", together(others)),
            };
            format!("base of {}{each}", total.name)
        };
        for (kind, count, load) in &total.rows {
            rows.push(vec![
                place.clone(),
                kind.clone(),
                count.to_string(),
                say.print.load(*load),
            ]);
        }
        let words = match total.intervals {
            Some(1) => "total (1 branch interval)".to_owned(),
            Some(n) => format!("total ({n} branch intervals)"),
            None => "total".to_owned(),
        };
        strong.push(rows.len());
        // Groups and single fixtures have no count in common.
        rows.push(vec![place, words, String::new(), sum(say, total.load)]);
    }
    // On a sheet a place is named once.
    if !say.data() {
        let mut last = String::new();
        for row in &mut rows {
            if let Some(place) = row.first_mut() {
                if *place == last {
                    place.clear();
                } else {
                    last.clone_from(place);
                }
            }
        }
    }
    let unit = set.book.unit().to_uppercase();
    Table {
        name: "loads",
        title: "Load totals".into(),
        head: heads(&["Place", "Fixture or group", "Count", &unit]),
        foot: match (say.data(), set.solution.sizing.load_method.is_empty()) {
            (false, false) => vec![set.solution.sizing.load_method.clone()],
            _ => Vec::new(),
        },
        strong: if say.data() { Vec::new() } else { strong },
        prose: Vec::new(),
        rows,
    }
}

fn sum(say: &Say, load: Load) -> String {
    say.print.load(load)
}

fn exit_words(exit: Option<&Exit>) -> String {
    match exit {
        Some(e) if e.name != "exit" => format!("exit {}", e.name),
        _ => "exit".to_owned(),
    }
}
