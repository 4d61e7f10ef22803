//! Walks a TOML table along its list of keys: what is not in the list is an error with the
//! nearest right word, what is in it is read by its kind.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::keys::{BANK, FLOOR, Kind, ROOF, Record, STACK, TYPICAL};
use super::names;
use super::problems::{MISSING_KEY, Problems, UNKNOWN_KEY, Unread, WRONG_TYPE, any_of, shown};
use super::ranges;
use super::scalars;
use super::values::{Value, Values};
use crate::diagnostics::Span;
use crate::units::UnitSystem;

/// A value of the file with its place.
pub type Node<'a> = Spanned<DeValue<'a>>;

/// Reads tables in one unit system.
pub struct Walker<'p> {
    /// What bare numbers mean.
    pub units: UnitSystem,
    /// Where mistakes go.
    pub problems: &'p mut Problems,
}

impl Walker<'_> {
    /// Reads a table along its record. `at` names the thing in messages, `span` is where a
    /// missing key is shown.
    pub fn record(
        &mut self,
        record: &'static Record,
        at: &str,
        span: Span,
        table: &DeTable<'_>,
    ) -> Values {
        let values = self.keys(record, at, span.clone(), table);
        for key in record
            .keys
            .iter()
            .filter(|k| k.required && values.lacks(k.name))
        {
            let message = format!("{} has no `{}`", named(record, at), key.name);
            self.problems
                .add(MISSING_KEY, at, span.clone(), message, Some(lower(key.doc)));
        }
        values
    }

    /// Reads some keys of a record, whichever stand there; none where it is no table, which has been
    /// told.
    pub fn some_keys(
        &mut self,
        record: &'static Record,
        at: &str,
        node: &Node<'_>,
    ) -> Option<Values> {
        let table = node.get_ref().as_table()?;
        Some(self.keys(record, at, node.span(), table))
    }

    fn keys(
        &mut self,
        record: &'static Record,
        at: &str,
        span: Span,
        table: &DeTable<'_>,
    ) -> Values {
        let mut values = Values::new(record, at, span);
        for (word, node) in table.iter() {
            let name: &str = word.get_ref();
            match record.key(name) {
                Some(key) => {
                    values.try_key(key.name);
                    if let Some(value) = self.value(key.kind, at, key.name, word.span(), node) {
                        let span = match value {
                            // A table is shown by its key: its own words may be a page long.
                            Value::One(_) | Value::Named(_) => word.span(),
                            _ => node.span(),
                        };
                        values.set(key.name, value, span);
                    }
                }
                None => {
                    if let Some(meant) = self.unknown_key(record, at, name, word.span()) {
                        values.try_key(meant);
                    }
                }
            }
        }
        values
    }

    /// Reports a key that is not in the list; gives the one that was most likely meant.
    fn unknown_key(
        &mut self,
        record: &'static Record,
        at: &str,
        name: &str,
        span: Span,
    ) -> Option<&'static str> {
        let keys = || record.keys.iter().map(|k| k.name);
        let near = self.problems.nearest(name, keys());
        let help = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("expected {}", any_of(keys())),
        };
        let message = format!("{} has no key `{}`", record.called, shown(name));
        self.problems
            .add(UNKNOWN_KEY, at, span, message, Some(help));
        near
    }

    fn value(
        &mut self,
        kind: Kind,
        at: &str,
        key: &'static str,
        word: Span,
        node: &Node<'_>,
    ) -> Option<Value> {
        // In messages the head of the file goes by its own words: `job`, `exit`, `zero`.
        match kind {
            Kind::One(record) => {
                let table = self.table(at, key, node)?;
                let inner = if at.is_empty() { key } else { at };
                Some(Value::One(self.record(record, inner, word, table)))
            }
            Kind::Named(record) => self.named(record, key, node).map(Value::Named),
            Kind::Floors => self.floors(key, node).map(Value::Named),
            Kind::Stacks => self.stacks(key, node).map(Value::Named),
            Kind::Ranges => scalars::ranges(self, at, key, node),
            // Which keys it may hold is known when names are: see `laid`.
            Kind::Now => {
                self.table(at, key, node);
                None
            }
            Kind::Many(record) => {
                let DeValue::Array(list) = node.get_ref() else {
                    self.wrong_type(at, key, node, "a list of tables: `[{ … }]`");
                    return None;
                };
                let mut all = Vec::new();
                for item in list.iter() {
                    if let Some(table) = self.table(at, key, item) {
                        all.push(self.record(record, at, item.span(), table));
                    }
                }
                Some(Value::Many(all))
            }
            Kind::Run => scalars::run(self, at, key, node),
            Kind::Falls => scalars::falls(self, at, key, node),
            Kind::Sizes => scalars::sizes(self, at, key, node),
            Kind::Words(words) => scalars::words(self, at, key, words, node),
            Kind::Texts(most) => scalars::texts(self, at, key, most, node),
            Kind::At => scalars::at(self, at, key, node),
            _ => scalars::scalar(self, kind, at, key, node),
        }
    }

    fn table<'t, 'i>(
        &mut self,
        at: &str,
        key: &str,
        node: &'t Node<'i>,
    ) -> Option<&'t DeTable<'i>> {
        if let DeValue::Table(table) = node.get_ref() {
            return Some(table);
        }
        self.wrong_type(at, key, node, "a table: `{ … }`");
        None
    }

    fn named(
        &mut self,
        record: &'static Record,
        section: &str,
        node: &Node<'_>,
    ) -> Option<Vec<Values>> {
        self.things(section, node, |_| record, names::check)
    }

    fn floors(&mut self, section: &str, node: &Node<'_>) -> Option<Vec<Values>> {
        let record = |name: &str| match name {
            "roof" => &ROOF,
            _ if ranges::is_range(name) => &TYPICAL,
            _ => &FLOOR,
        };
        self.things(section, node, record, |name| {
            ranges::check(name, names::check_floor)
        })
    }

    fn stacks(&mut self, section: &str, node: &Node<'_>) -> Option<Vec<Values>> {
        let record = |name: &str| match ranges::is_range(name) {
            true => &BANK,
            false => &STACK,
        };
        self.things(section, node, record, |name| {
            ranges::check(name, names::check)
        })
    }

    /// Named tables, each by the record and the grammar that its name asks for.
    fn things(
        &mut self,
        section: &str,
        node: &Node<'_>,
        record: impl Fn(&str) -> &'static Record,
        check: impl Fn(&str) -> Result<(), Unread>,
    ) -> Option<Vec<Values>> {
        let table = self.table(section, section, node)?;
        let mut all = Vec::with_capacity(table.len());
        for (word, node) in table.iter() {
            let name: &str = word.get_ref();
            let record = record(name);
            if let Err(unread) = check(name) {
                self.unread(&shown(name), word.span(), unread);
            }
            all.push(match self.thing(record, name, node) {
                Some(inner) => self.record(record, name, word.span(), inner),
                // The name still stands, so that what refers to it is not blamed.
                None => Values::broken(record, name, word.span()),
            });
        }
        Some(all)
    }

    /// The table of a named thing. A plain value in its place is most often a key of the thing
    /// written in the section itself.
    fn thing<'t, 'i>(
        &mut self,
        record: &'static Record,
        name: &str,
        node: &'t Node<'i>,
    ) -> Option<&'t DeTable<'i>> {
        if let DeValue::Table(table) = node.get_ref() {
            return Some(table);
        }
        let (found, called) = (found(node.get_ref()), record.called);
        let message = format!("`{}` is {found}, but {called} is a table", shown(name));
        let help = format!("expected `{} = {{ … }}`", shown(name));
        self.problems
            .add(WRONG_TYPE, &shown(name), node.span(), message, Some(help));
        None
    }

    /// Adds a value of the wrong type.
    pub fn wrong_type(&mut self, at: &str, key: &str, node: &Node<'_>, expected: &str) {
        let message = format!("`{key}` is {}", found(node.get_ref()));
        let help = Some(format!("expected {expected}"));
        self.problems
            .add(WRONG_TYPE, at, node.span(), message, help);
    }

    /// Adds a value that did not read.
    pub fn unread(&mut self, at: &str, span: Span, unread: Unread) {
        self.problems
            .add(unread.mistake, at, span, unread.message, unread.help);
    }
}

/// What was found, for messages.
fn found(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// `a drain` or `drain S1`: a thing by its kind and name.
fn named(record: &Record, at: &str) -> String {
    let bare = record
        .called
        .split_once(' ')
        .map_or(record.called, |(_, noun)| noun);
    match at {
        "" => record.called.to_owned(),
        _ if bare == at => format!("`{at}`"),
        _ => format!("{bare} `{}`", shown(at)),
    }
}

/// The first letter small and no full stop: a key's explanation as the end of a message.
fn lower(doc: &str) -> String {
    let doc = doc.trim_end_matches('.');
    let mut chars = doc.chars();
    let head: String = chars
        .next()
        .map(|c| c.to_lowercase().collect())
        .unwrap_or_default();
    format!("{head}{}", chars.as_str())
}
