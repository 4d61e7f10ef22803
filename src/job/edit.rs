//! The text of a job file with some of its values changed, all else as it stands: comments, order
//! and spacing.

use toml_edit::{DocumentMut, Item, Table, Value};

use super::model::Made;
use super::words::{LegWord, leg_word};
use crate::units::{Fall, Heading, Length, PipeSize, UnitSystem};

/// A step on the way to a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// A key.
    Key(String),
    /// An item of a list, from 0.
    Item(usize),
}

/// A value that is written, or taken out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// The way to it: keys from the head of the file down; the last may be an item of a list.
    pub path: Vec<Step>,
    /// The value in TOML; none: the key is taken out.
    pub value: Option<String>,
}

impl Edit {
    /// Writes a value under these keys.
    pub fn write(keys: &[&str], value: impl Into<String>) -> Edit {
        let path = keys.iter().map(|k| Step::Key((*k).to_owned()));
        Edit {
            path: path.collect(),
            value: Some(value.into()),
        }
    }

    /// Writes an item of the list under these keys.
    pub fn item(keys: &[&str], item: usize, value: impl Into<String>) -> Edit {
        let mut edit = Edit::write(keys, value);
        edit.path.push(Step::Item(item));
        edit
    }

    /// Takes out what stands under these keys.
    pub fn remove(keys: &[&str]) -> Edit {
        Edit {
            value: None,
            ..Edit::write(keys, "")
        }
    }

    /// The same where the thing that it changes is written: in its group, if it is of a copy.
    pub fn where_written(&self, made: &Made) -> Edit {
        let keys: Vec<&str> = (self.path.iter())
            .map_while(|step| match step {
                Step::Key(key) => Some(key.as_str()),
                Step::Item(_) => None,
            })
            .collect();
        let items = self.path.get(keys.len()..).unwrap_or_default();
        let written = made.way(&keys).into_iter();
        let mut path: Vec<Step> = written.map(|key| Step::Key(key.to_owned())).collect();
        path.extend_from_slice(items);
        Edit {
            path,
            value: self.value.clone(),
        }
    }

    /// As a person would point at it: `exit.invert`, `drains.main.run[2]`.
    pub fn place(&self) -> String {
        let mut place = String::new();
        for step in &self.path {
            match step {
                Step::Key(key) if place.is_empty() => place.push_str(key),
                Step::Key(key) => place = format!("{place}.{key}"),
                Step::Item(i) => place = format!("{place}[{i}]"),
            }
        }
        place
    }
}

/// The text with the edits made, in their order; none where one has no place or does not read.
pub fn edited(text: &str, edits: &[Edit]) -> Option<String> {
    let mut doc: DocumentMut = text.parse().ok()?;
    for edit in edits {
        make(doc.as_item_mut(), edit)?;
    }
    Some(doc.to_string())
}

fn make(root: &mut Item, edit: &Edit) -> Option<()> {
    let (last, way) = edit.path.split_last()?;
    let mut at = root;
    for step in way {
        let Step::Key(key) = step else { return None };
        let table = at.as_table_like_mut()?;
        // A section that is not there yet is opened; deeper down nothing is made up.
        at = table
            .entry(key)
            .or_insert_with(|| Item::Table(Table::new()));
    }
    let value = match &edit.value {
        Some(text) => Some(text.parse::<Value>().ok()?),
        None => None,
    };
    match (last, value) {
        (Step::Key(key), None) => {
            at.as_table_like_mut()?.remove(key)?;
        }
        (Step::Key(key), Some(mut value)) => {
            match at.get(key).and_then(Item::as_value) {
                Some(old) => *value.decor_mut() = old.decor().clone(),
                None => {
                    // The blank before the brace moves on to the new last value.
                    let inline = at.as_inline_table_mut();
                    if let Some((_, last)) = inline.and_then(|t| t.iter_mut().last()) {
                        let suffix = last.decor().suffix().cloned().unwrap_or_default();
                        last.decor_mut().set_suffix("");
                        value = value.decorated(" ", suffix);
                    }
                }
            }
            let table = at.as_table_like_mut()?;
            table.insert(key, Item::Value(value));
        }
        (Step::Item(i), Some(mut value)) => {
            let list = at.as_array_mut()?;
            let old = list.get(*i)?;
            *value.decor_mut() = old.decor().clone();
            list.replace_formatted(*i, value);
        }
        (Step::Item(_), None) => return None,
    }
    Some(())
}

/// Which items of the list of a run are legs, each by its place in the list.
pub fn leg_items(text: &str, keys: &[&str]) -> Option<Vec<usize>> {
    let is_leg = |item: &str| {
        let opener = item.split_whitespace().next();
        opener.is_some_and(|word| Heading::from_word(word).is_some())
    };
    let legs = run_items(text, keys)?.into_iter().enumerate();
    Some(
        legs.filter(|(_, item)| is_leg(item))
            .map(|(i, _)| i)
            .collect(),
    )
}

/// The words of the list of a run.
pub fn run_items(text: &str, keys: &[&str]) -> Option<Vec<String>> {
    let doc: DocumentMut = text.parse().ok()?;
    let mut at: &Item = doc.as_item();
    for key in keys {
        at = at.get(key)?;
    }
    let items = at.as_array()?.iter();
    Some(items.map(|i| i.as_str().unwrap_or("").to_owned()).collect())
}

/// The fall that an item of a run states, if it states one.
pub fn fall_item(item: &str, units: UnitSystem) -> Option<Fall> {
    match leg_word(item, units) {
        Ok(LegWord::Fall(fall)) => Some(fall),
        _ => None,
    }
}

/// The size that an item of a run states, if it states one.
pub fn size_item(item: &str, units: UnitSystem) -> Option<PipeSize> {
    match leg_word(item, units) {
        Ok(LegWord::Size(size)) => Some(size),
        _ => None,
    }
}

/// A length as the job file writes it, to an eighth of an inch or a millimetre: `"-10' 8 1/4"`.
pub fn length_words(length: Length, units: UnitSystem) -> String {
    if units == UnitSystem::Metric {
        return format!("{:.0} mm", length.mm()).replace("-0 mm", "0 mm");
    }
    let eighths = (length.abs().inches() * 8.0).round() as i64;
    let sign = if length < Length::ZERO && eighths > 0 {
        "-"
    } else {
        ""
    };
    let (feet, rest) = (eighths / 96, eighths % 96);
    let (whole, part) = (rest / 8, rest % 8);
    let part = match part {
        0 => String::new(),
        4 => "1/2".to_owned(),
        2 | 6 => format!("{}/4", part / 2),
        _ => format!("{part}/8"),
    };
    let inches = match (whole, part.as_str()) {
        (whole, "") => whole.to_string(),
        (0, part) => part.to_owned(),
        (whole, part) => format!("{whole} {part}"),
    };
    match (feet, rest) {
        (0, _) => format!("{sign}{inches}in"),
        (_, 0) => format!("{sign}{feet}'"),
        _ => format!("{sign}{feet}' {inches}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "# head\n[exit]\ninvert = \"-3'\" # as surveyed\n[drains]\n\
        main = { into = \"exit\", run = [\"north 4'\", \"east 3'\"] }   # the main\n";

    #[test]
    fn what_is_not_changed_stays_as_it_stands() {
        let edits = [
            Edit::write(&["exit", "invert"], "\"-3' 2\""),
            Edit::item(&["drains", "main", "run"], 1, "\"east 2'\""),
            Edit::write(&["drains", "main", "size"], "3"),
        ];
        let text = edited(JOB, &edits).expect("places that are there");
        assert_eq!(
            text,
            "# head\n[exit]\ninvert = \"-3' 2\" # as surveyed\n[drains]\n\
             main = { into = \"exit\", run = [\"north 4'\", \"east 2'\"], size = 3 }   # the main\n"
        );
        assert_eq!(edits[1].place(), "drains.main.run[1]");
        let marked = text.replace("\"north 4'\",", "\"lies under slab\", \"north 4'\",");
        let legs = leg_items(&marked, &["drains", "main", "run"]);
        assert_eq!(legs, Some(vec![1, 2]));
    }

    #[test]
    fn a_section_is_opened_and_a_key_taken_out() {
        let edits = [
            Edit::write(&["basins", "EJ-1"], "{ floor = \"pit\" }"),
            Edit::remove(&["drains", "main", "into"]),
        ];
        let text = edited(JOB, &edits).expect("places that are there");
        assert!(
            text.contains("[basins]\nEJ-1 = { floor = \"pit\" }"),
            "{text}"
        );
        assert!(!text.contains("into ="), "{text}");
    }

    #[test]
    fn what_has_no_place_is_not_made_up() {
        for edit in [
            Edit::item(&["drains", "main", "run"], 9, "\"east 2'\""),
            Edit::write(&["exit", "invert", "deeper"], "1"),
            Edit::write(&["exit", "invert"], "no value"),
            Edit::remove(&["exit", "at"]),
        ] {
            assert!(
                edited(JOB, std::slice::from_ref(&edit)).is_none(),
                "{edit:?}"
            );
        }
        assert!(edited("not TOML", &[]).is_none());
    }

    #[test]
    fn lengths_as_they_are_written() {
        let feet = |inches: f64| length_words(Length::from_inches(inches), UnitSystem::Feet);
        assert_eq!(feet(-128.25), "-10' 8 1/4");
        assert_eq!(feet(-9.625), "-9 5/8in");
        assert_eq!(feet(0.5), "1/2in");
        assert_eq!(feet(24.0), "2'");
        assert_eq!(feet(24.75), "2' 3/4");
        assert_eq!(feet(-0.01), "0in");
        let metric = |mm: f64| length_words(Length::from_mm(mm), UnitSystem::Metric);
        assert_eq!(metric(-850.0), "-850 mm");
        assert_eq!(metric(-0.2), "0 mm");
        for eighths in -200..200 {
            let written = length_words(
                Length::from_inches(f64::from(eighths) / 8.0),
                UnitSystem::Feet,
            );
            let read = crate::job::words::length(&written, UnitSystem::Feet);
            let read = read.unwrap_or_else(|_| panic!("{written} does not read"));
            assert!(
                (read.inches() * 8.0 - f64::from(eighths)).abs() < 1e-6,
                "{written}"
            );
        }
    }
}
