//! A book that amends another: its rows are laid over those of the book, and the whole is read as
//! any book is.
//!
//! A row is known by its `rule`, `name`, `word` or `size`; what it gives stands instead of what the
//! book has, and the rest of the row stays. A row that the book does not have is added. `remove`
//! takes one out.

use std::ops::Range;

use toml::de::{DeTable, DeValue};
use toml::{Table, Value};

use super::check::Checker;

/// A book with another laid over it, as text.
pub(super) struct Amended {
    /// The whole.
    pub text: String,
    /// Where the rows of the amendment stand in the whole, and where they stand in its own text.
    pub places: Vec<Place>,
    /// What was changed, table by table.
    pub changes: Vec<Change>,
}

/// A row of the whole, and where it stands in the amendment.
pub(super) type Place = (Range<usize>, usize);

/// One table that an amendment changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The table's key in the book file.
    pub key: String,
    /// The town's own citation.
    pub section: String,
    /// What its rows are about, in words.
    pub rows: Vec<String>,
}

/// What names a row.
const NAMES: [&str; 3] = ["rule", "name", "word"];
/// More rows than this no town changes in one table.
const MOST: usize = 1000;
/// The mark on what an amendment gives.
const AMENDED: &str = "amended";

/// Lays an amendment over a book. What is wrong with it is told to `check`, whose text it is.
pub(super) fn amended(base: &str, check: &mut Checker<'_>) -> Option<Amended> {
    let text = check.text();
    let mut whole: Table = toml::from_str(base).ok()?;
    let over: Table = match toml::from_str(text) {
        Ok(over) => over,
        Err(e) => {
            let span = e.span().unwrap_or(0..0);
            check.says("B002", "book-unreadable", span, e.message().to_owned());
            return None;
        }
    };
    let spans = DeTable::parse(text).ok()?;
    let mut changes = Vec::new();
    // Tables of the amendment alone, and where they stand there.
    let mut tables: Vec<(String, usize)> = Vec::new();
    // Table, row of the whole, place in the amendment.
    let mut rows: Vec<(String, usize, usize)> = Vec::new();
    for (key, value) in over {
        let at = spans.get_ref().get(key.as_str());
        let at = at.map_or(0..0, toml::Spanned::span);
        match (whole.get_mut(&key).and_then(Value::as_table_mut), value) {
            (Some(base), Value::Table(over)) if key == "book" => {
                for needed in ["id", "title"] {
                    if !over.get(needed).is_some_and(Value::is_str) {
                        let message = format!("[book] has no {needed} of its own");
                        check.says("B005", "book-section-missing", at.clone(), message);
                    }
                }
                base.extend(over.into_iter().filter(|(k, _)| k != "amends"));
            }
            (Some(base), Value::Table(over)) if key == "sections" => {
                for topic in over.keys().filter(|t| !base.contains_key(*t)) {
                    let message = format!("[sections] has no topic `{topic}`");
                    check.says("B015", "book-rule-unknown", at.clone(), message);
                }
                base.extend(over);
            }
            (Some(base), Value::Table(over)) => {
                let places = row_places(spans.get_ref(), &key);
                let mut table = Over {
                    check,
                    key: &key,
                    at: &at,
                };
                changes.extend(table.lay(base, over, &places, &mut rows));
            }
            (None, Value::Table(table)) => {
                // A table that the model code does not have stands by itself.
                let section = table.get("section").and_then(Value::as_str);
                changes.push(Change {
                    key: key.clone(),
                    section: section.unwrap_or_default().to_owned(),
                    rows: vec!["a table of the town's own".to_owned()],
                });
                tables.push((key.clone(), at.start));
                whole.insert(key, Value::Table(table));
            }
            (_, _) => {
                let message = format!("`{key}` is not a table");
                check.says("B002", "book-unreadable", at, message);
            }
        }
    }
    let text = toml::to_string(&whole).ok()?;
    let whole = DeTable::parse(&text).ok()?;
    let places = rows.into_iter().filter_map(|(key, row, own)| {
        let spans = row_places(whole.get_ref(), &key);
        let start = spans.get(row)?.start;
        // The span of a row that is written out as a table of its own is only its head.
        let next = spans.get(row + 1).map(|next| next.start);
        let end = next.or_else(|| end_of_rows(&text, start, &key));
        Some((start..end.unwrap_or(text.len()), own))
    });
    let mut places: Vec<Place> = places.collect();
    for (key, own) in tables {
        let span = whole.get_ref().get(key.as_str());
        // Its head comes before it.
        let start = text.find(&format!("[{key}]"));
        if let Some(start) = start.or_else(|| span.map(|s| s.span().start)) {
            let end = end_of_rows(&text, start, &key).unwrap_or(text.len());
            places.push((start..end, own));
        }
    }
    drop(whole);
    Some(Amended {
        text,
        places,
        changes,
    })
}

/// Where the rows of a table stand.
fn row_places(file: &DeTable<'_>, key: &str) -> Vec<Range<usize>> {
    let table = file.get(key).map(toml::Spanned::get_ref);
    let rows = match table {
        Some(DeValue::Table(table)) => table.get("rows").map(toml::Spanned::get_ref),
        _ => None,
    };
    match rows {
        Some(DeValue::Array(rows)) => rows.iter().map(toml::Spanned::span).collect(),
        _ => Vec::new(),
    }
}

/// Where the last row of a table ends that starts here: before the next head of another table.
fn end_of_rows(text: &str, start: usize, key: &str) -> Option<usize> {
    let rest = text.get(start..)?;
    let own = format!("{key}.rows");
    let mut at = 0;
    while let Some(next) = rest.get(at..)?.find("\n[") {
        at += next + 1;
        let head = rest.get(at..)?.trim_start_matches('[');
        if !head.starts_with(&own) {
            return Some(start + at);
        }
    }
    None
}

struct Over<'c, 'a, 'k> {
    check: &'c mut Checker<'a>,
    key: &'k str,
    at: &'k Range<usize>,
}

impl Over<'_, '_, '_> {
    /// Lays one table over that of the book.
    fn lay(
        &mut self,
        base: &mut Table,
        mut over: Table,
        places: &[Range<usize>],
        placed: &mut Vec<(String, usize, usize)>,
    ) -> Option<Change> {
        let section = match over.remove("section") {
            Some(Value::String(section)) if !section.trim().is_empty() => Some(section),
            _ => None,
        };
        let Some(section) = section else {
            let message = format!("[{}] amends, and has no section of its own", self.key);
            self.check
                .says("B005", "book-section-missing", self.at.clone(), message);
            return None;
        };
        let rows = match over.remove("rows") {
            Some(Value::Array(rows)) if (1..=MOST).contains(&rows.len()) => rows,
            _ => {
                let message = format!("[{}] amends by `rows`, a list of 1 to {MOST}", self.key);
                self.check
                    .says("B017", "book-amends-nothing", self.at.clone(), message);
                return None;
            }
        };
        // Notes are added, all else of the head stays the book's.
        if let Some(Value::Array(notes)) = over.remove("notes") {
            let all = base
                .entry("notes")
                .or_insert_with(|| Value::Array(Vec::new()));
            if let Value::Array(all) = all {
                all.extend(notes);
            }
        }
        for key in over.keys() {
            let message = format!(
                "`{key}` of [{}] cannot be amended: section, notes and rows can",
                self.key
            );
            self.check
                .says("B017", "book-amends-nothing", self.at.clone(), message);
        }
        let columns = column_names(base);
        let Some(Value::Array(own)) = base.get_mut("rows") else {
            let message = format!("[{}] has no rows to amend", self.key);
            self.check
                .says("B017", "book-amends-nothing", self.at.clone(), message);
            return None;
        };
        let mut said = Vec::new();
        for (i, row) in rows.into_iter().enumerate() {
            let place = places.get(i).cloned().unwrap_or(self.at.clone());
            let Value::Table(mut row) = row else {
                let message = format!("a row of [{}] is not a table", self.key);
                self.check.says("B002", "book-unreadable", place, message);
                continue;
            };
            if let Some(key) = row.keys().find(|k| k.contains("provenance")) {
                let message = format!(
                    "`{key}` of a row of [{}]: what amends is the town's own word, and marked so",
                    self.key
                );
                self.check
                    .says("B017", "book-amends-nothing", place, message);
                continue;
            }
            let removed = match row.remove("remove") {
                None => false,
                Some(Value::Boolean(true)) => true,
                Some(_) => {
                    let message = format!("`remove` of a row of [{}] is `true`", self.key);
                    self.check
                        .says("B017", "book-amends-nothing", place, message);
                    continue;
                }
            };
            let at = own
                .iter()
                .position(|r| r.as_table().is_some_and(|r| same(r, &row)));
            let known = placed
                .iter()
                .any(|(k, r, _)| k == self.key && Some(*r) == at);
            if known {
                let message = format!("[{}] amends the same row twice", self.key);
                self.check
                    .says("B017", "book-amends-nothing", place, message);
                continue;
            }
            said.push(words(&row, removed));
            match (at, removed) {
                (Some(at), true) => {
                    own.remove(at);
                    placed.retain(|(k, r, _)| k != self.key || *r != at);
                    shift(placed, self.key, at, false);
                }
                (None, true) => {
                    let message = format!("[{}] has no such row to take out", self.key);
                    self.check
                        .says("B017", "book-amends-nothing", place, message);
                }
                (Some(at), false) => {
                    if let Some(Value::Table(old)) = own.get_mut(at) {
                        mend(old, row, &columns);
                    }
                    placed.push((self.key.to_owned(), at, place.start));
                }
                (None, false) => {
                    row.insert("provenance".to_owned(), AMENDED.into());
                    if row.contains_key("trap") {
                        row.insert("trap_provenance".to_owned(), AMENDED.into());
                    }
                    let at = place_of(own, &row);
                    own.insert(at, Value::Table(row));
                    shift(placed, self.key, at, true);
                    placed.push((self.key.to_owned(), at, place.start));
                }
            }
        }
        base.insert("amended_by".to_owned(), section.clone().into());
        Some(Change {
            key: self.key.to_owned(),
            section,
            rows: said,
        })
    }
}

/// Rows at and after a place move by one.
fn shift(placed: &mut [(String, usize, usize)], key: &str, at: usize, up: bool) {
    for (_, row, _) in placed
        .iter_mut()
        .filter(|(k, row, _)| k == key && *row >= at)
    {
        *row = if up { *row + 1 } else { row.saturating_sub(1) };
    }
}

/// Whether two rows are about the same.
fn same(a: &Table, b: &Table) -> bool {
    // Rows of several options may be about the same; which is meant, the amendment says.
    if a.get("when") != b.get("when") {
        return false;
    }
    if let Some(name) = NAMES.iter().find(|n| b.contains_key(**n)) {
        return a.get(*name) == b.get(*name);
    }
    let figure = |t: &Table, key: &str| t.get(key).and_then(number);
    let alike = |key: &str| figure(a, key) == figure(b, key);
    // A row of sizes, of sizes and loads, of sizes up to one, of baths.
    ["size", "dfu", "to", "baths"].iter().all(|k| alike(k))
        || (b.contains_key("size") && alike("size") && !b.contains_key("dfu"))
}

fn number(value: &Value) -> Option<f64> {
    match value {
        Value::Integer(n) => Some(*n as f64),
        Value::Float(n) => Some(*n),
        Value::String(text) => {
            let dn = super::number::parse_dn(text).and_then(crate::units::PipeSize::from_dn);
            dn.map(|s| s.inches())
                .or_else(|| super::number::parse(text))
        }
        _ => None,
    }
}

/// Lays a row over another. Of a row of figures only those that differ are the amendment's.
fn mend(old: &mut Table, over: Table, columns: &[String]) {
    let mut changed: Vec<Value> = Vec::new();
    if let (Some(Value::Array(was)), Some(Value::Array(is))) = (old.get("is"), over.get("is")) {
        let cells = is.iter().enumerate();
        let differ = cells.filter(|(i, cell)| was.get(*i).and_then(number) != number(cell));
        changed.extend(differ.filter_map(|(i, _)| Some(columns.get(i)?.as_str().into())));
    }
    // Another unit for the same figure takes the place of the old one.
    let units = ["feet", "inches", "metres", "mm"];
    if units.iter().any(|u| over.contains_key(*u)) {
        units.iter().for_each(|u| {
            old.remove(*u);
        });
    }
    // What the model code says of its own figure no longer holds: its section, and the percentage
    // that it gives as the same fall.
    old.remove("section");
    if over.contains_key("fall") {
        old.remove("percent");
    }
    let trap = over.contains_key("trap");
    let other = over
        .keys()
        .any(|k| !NAMES.contains(&k.as_str()) && !["size", "is", "trap"].contains(&k.as_str()));
    let sized = over.contains_key("size") && over.contains_key("rule");
    old.extend(over);
    if !changed.is_empty() {
        let cells = old
            .entry("cells")
            .or_insert_with(|| Value::Table(Table::new()));
        if let Value::Table(cells) = cells {
            for names in cells.iter_mut().filter_map(|(_, v)| v.as_array_mut()) {
                names.retain(|n| !changed.contains(n));
            }
            cells.insert(AMENDED.to_owned(), Value::Array(changed));
        }
    }
    if other || sized {
        old.insert("provenance".to_owned(), AMENDED.into());
    }
    if trap {
        old.insert("trap_provenance".to_owned(), AMENDED.into());
    }
}

/// Where a new row goes: among sizes in their order; what is known by a name before the rest, so
/// that it is found first.
fn place_of(rows: &[Value], row: &Table) -> usize {
    let by = ["size", "to", "baths"];
    let Some(key) = by.iter().find(|k| row.contains_key(**k)) else {
        return 0;
    };
    if NAMES.iter().any(|n| row.contains_key(*n)) {
        return 0;
    }
    let rank = |t: &Table| {
        let load = t.get("dfu").and_then(number).unwrap_or(0.0);
        t.get(*key)
            .and_then(number)
            .map_or((f64::INFINITY, load), |n| (n, load))
    };
    let own = rank(row);
    let after = |v: &Value| v.as_table().is_some_and(|t| rank(t) > own);
    rows.iter().position(after).unwrap_or(rows.len())
}

/// The names of a table's columns, as its look-ups call them.
pub(super) fn column_names(table: &Table) -> Vec<String> {
    let columns = table.get("columns").and_then(Value::as_array);
    let names = columns.into_iter().flatten().map(|c| {
        let name = c.get("name").and_then(Value::as_str);
        name.map_or_else(|| fall_name(c), str::to_owned)
    });
    names.collect()
}

/// A column without a name is called by its fall, or its vent.
fn fall_name(column: &Value) -> String {
    let printer = crate::units::Printer {
        units: crate::units::UnitSystem::Feet,
    };
    if let Some(fall) = column.get("fall").and_then(number) {
        let fall = crate::units::Fall::from_inches_per_foot(fall);
        return format!("{} in per ft", printer.fall_plain(fall));
    }
    if let Some(percent) = column.get("percent").and_then(number) {
        return format!("{} %", crate::units::number(percent, 2, false));
    }
    let vent = column.get("vent").and_then(number);
    let vent = vent.and_then(crate::units::PipeSize::from_inches);
    vent.map_or_else(String::new, |v| v.trade_name().to_owned())
}

/// What a row is about, and what it says, in words for a sheet.
fn words(row: &Table, removed: bool) -> String {
    let name = NAMES
        .iter()
        .find_map(|n| row.get(*n))
        .and_then(Value::as_str);
    let figure = |key: &str| row.get(key).map(plain);
    let about = match (name, figure("size"), figure("to")) {
        (Some(name), _, _) => name.to_owned(),
        (None, Some(size), _) => format!("{size} in"),
        (None, None, Some(to)) => format!("to {to} in"),
        _ => "larger".to_owned(),
    };
    if removed {
        return format!("{about}: taken out");
    }
    let skip = ["rule", "name", "word", "to", "kinds", "section"];
    let says = row
        .iter()
        .filter(|(k, _)| !(skip.contains(&k.as_str()) || k.as_str() == "size" && name.is_none()));
    let says = says.map(|(k, v)| match k.as_str() {
        "fall" => format!("{} in per ft", plain(v)),
        "is" => plain(v),
        "yes" => plain(v),
        "dfu" => format!("{} dfu", plain(v)),
        "trap" => format!("trap {} in", plain(v)),
        "size" | "inches" => format!("{} in", plain(v)),
        "feet" => format!("{} ft", plain(v)),
        key => format!("{} {}", key.replace('_', " "), plain(v)),
    });
    format!("{about}: {}", says.collect::<Vec<_>>().join(", "))
}

pub(super) fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Boolean(true) => "yes".to_owned(),
        Value::Boolean(false) => "no".to_owned(),
        Value::Array(all) => all.iter().map(plain).collect::<Vec<_>>().join(", "),
        other => other.to_string(),
    }
}
