//! `stackfall levels`: the levels from the exit up, with the room to spare at each place.

use super::End;
use super::args::{CheckArgs, Form};
use super::failed::failed;
use super::summary;
use super::terminal;
use crate::pipeline;
use crate::sheets::Table;
use crate::writers::json;

pub(super) fn levels(a: &CheckArgs) -> End {
    let solved = match pipeline::solve(&a.job) {
        Ok(solved) => solved,
        Err(failure) => return failed(&a.say, &failure.problems, &failure.source),
    };
    let table = solved.levels();
    match a.say.format {
        Form::Json => {
            let rows = table.rows.iter().map(|row| {
                let named = table.head.iter().zip(row);
                let named =
                    named.map(|(h, c)| (h.to_lowercase().replace(' ', "_"), c.as_str().into()));
                serde_json::Value::Object(named.collect())
            });
            let rows: Vec<serde_json::Value> = rows.collect();
            terminal::out(&json::print(&serde_json::json!({ "levels": rows })));
        }
        Form::Text => terminal::out(&text(&table)),
    }
    summary::end(&solved.findings)
}

/// A table in columns, words on the left of theirs and figures on the right.
fn text(table: &Table) -> String {
    let width = |c: usize| {
        let cells = table.rows.iter().filter_map(|r| r.get(c));
        let cells = cells.chain(table.head.get(c)).map(|s| s.chars().count());
        cells.max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..table.head.len()).map(width).collect();
    let is_words = |c: usize| {
        let cells = table.rows.iter().filter_map(|r| r.get(c));
        cells
            .flat_map(|s| s.chars().next())
            .any(char::is_alphabetic)
    };
    let words: Vec<bool> = (0..table.head.len()).map(is_words).collect();
    let line = |row: &[String]| {
        let mut line = String::new();
        for ((cell, width), words) in row.iter().zip(&widths).zip(&words) {
            let pad = " ".repeat(width - cell.chars().count().min(*width));
            let (before, after) = match words {
                true => ("", pad.as_str()),
                false => (pad.as_str(), ""),
            };
            line += &format!("{before}{cell}{after}  ");
        }
        line.truncate(line.trim_end().len());
        line + "\n"
    };
    let mut out = line(&table.head);
    for row in &table.rows {
        out += &line(row);
    }
    for foot in &table.foot {
        out += &format!("{foot}\n");
    }
    out
}
