//! A table on a terminal, or as data.

use serde_json::{Map, Value};

use super::args::Form;
use super::terminal;
use crate::sheets::Table;
use crate::writers::json;

/// Prints a table: in columns, or as one object that holds its rows under this key.
pub(super) fn print(table: &Table, key: &str, form: Form) {
    match form {
        Form::Text => terminal::out(&text(table)),
        Form::Json => {
            let rows: Vec<Value> = table.rows.iter().map(|row| named(table, row)).collect();
            let mut object = Map::new();
            object.insert(key.to_owned(), rows.into());
            terminal::out(&json::print(&Value::Object(object)));
        }
    }
}

/// A row as an object, by the heads of its columns.
pub(super) fn named(table: &Table, row: &[String]) -> Value {
    let cells = table.head.iter().zip(row);
    let cells = cells.map(|(h, c)| (h.to_lowercase().replace(' ', "_"), c.as_str().into()));
    Value::Object(cells.collect())
}

/// A table in columns, words on the left of theirs and figures on the right.
pub(super) fn text(table: &Table) -> String {
    let width = |c: usize| {
        let cells = table.rows.iter().filter_map(|r| r.get(c));
        let cells = cells.chain(table.head.get(c)).map(|s| s.chars().count());
        cells.max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..table.head.len()).map(width).collect();
    // A unit has two letters at most.
    let word = |s: &str| {
        let mut parts = s.split(|c: char| !c.is_alphabetic());
        parts.any(|part| part.chars().count() > 2)
    };
    let is_words = |c: usize| {
        let mut cells = table.rows.iter().filter_map(|r| r.get(c));
        // Names lead, short as they may be.
        c == 0 || cells.any(|s| word(s))
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
