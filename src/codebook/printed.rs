//! A table of a book as it is printed: its head, its columns and its rows, whatever it is about.

use toml::{Table, Value};

use super::Book;
use super::found::TableInfo;

/// A table or a rule of a book.
#[derive(Clone, Debug, PartialEq)]
pub struct Printed {
    /// Its head.
    pub info: TableInfo,
    /// Heads of its columns.
    pub head: Vec<String>,
    /// Its rows, as many cells as heads.
    pub rows: Vec<Vec<String>>,
}

/// What stands in no column of its own.
const HIDDEN: [&str; 2] = ["cells", "is"];

impl Book {
    /// Every table and rule under this section or of this number: `709.1`, `Table 710.1(2)`,
    /// `710.1(2)`, or the key of the book file.
    pub fn printed(&self, section: &str) -> Vec<Printed> {
        let Ok(file) = toml::from_str::<Table>(&self.text) else {
            return Vec::new();
        };
        let wanted = section.trim();
        let is = |t: &&TableInfo| {
            t.section == wanted
                || t.key == wanted
                || t.table.as_deref() == Some(wanted)
                || numbers(t).any(|n| n == wanted.trim_start_matches("Table "))
        };
        let found = self.tables.iter().filter(is);
        let printed = found.filter_map(|info| {
            let table = file.get(&info.key)?.as_table()?;
            Some(printed(info, table))
        });
        printed.collect()
    }
}

/// The numbers in a table's name: one, or those of `Tables 4 and 11`; words after them do not count.
fn numbers(info: &TableInfo) -> impl Iterator<Item = &str> {
    let name = info.table.as_deref().unwrap_or_default();
    let name = name
        .trim_start_matches("Tables ")
        .trim_start_matches("Table ");
    let numbers = name.split(" and ").filter_map(|n| n.split(' ').next());
    numbers.filter(|n| !n.is_empty())
}

fn printed(info: &TableInfo, table: &Table) -> Printed {
    let rows = table.get("rows").and_then(Value::as_array);
    let rows: Vec<&Table> = rows
        .into_iter()
        .flatten()
        .filter_map(Value::as_table)
        .collect();
    // Keys in the order in which they first stand, then the columns of a grid.
    let mut keys: Vec<&str> = Vec::new();
    for row in &rows {
        for key in row.keys().map(String::as_str) {
            if !keys.contains(&key) && !HIDDEN.contains(&key) {
                keys.push(key);
            }
        }
    }
    let columns = super::amend::column_names(table);
    let mut head: Vec<String> = keys.iter().map(|k| k.replace('_', " ")).collect();
    head.extend(columns.iter().cloned());
    let cells = |row: &&Table| {
        let mut cells: Vec<String> = keys
            .iter()
            .map(|k| row.get(*k).map_or(String::new(), super::amend::plain))
            .collect();
        let figures = row.get("is").and_then(Value::as_array);
        let figures = figures.into_iter().flatten().map(super::amend::plain);
        // A row that starts at a later column leaves the ones before it empty.
        let first = row.get("first").map(super::amend::plain);
        let skipped = first.and_then(|f| columns.iter().position(|c| *c == f));
        let mut all = vec![String::new(); skipped.unwrap_or(0)];
        all.extend(figures);
        all.resize(columns.len(), String::new());
        cells.extend(all);
        cells
    };
    Printed {
        info: info.clone(),
        rows: rows.iter().map(cells).collect(),
        head,
    }
}
