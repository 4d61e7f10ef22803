//! What a table said, key by key, read by kind but with names not yet resolved.

use super::keys::{Kind, Record};
use super::model::{Leg, Said};
use crate::diagnostics::Span;
use crate::units::{Fall, Flow, Heading, Length, Load, PipeSize};

/// One value, by its kind.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Text, a word, a date, or a name not yet resolved.
    Text(String),
    /// A list of words.
    Texts(Vec<Said<String>>),
    /// `true` or `false`.
    Flag(bool),
    /// A length.
    Length(Length),
    /// A pipe size.
    Size(PipeSize),
    /// A list of sizes.
    Sizes(Vec<PipeSize>),
    /// A fall.
    Fall(Fall),
    /// Falls by size.
    Falls(Vec<(PipeSize, Said<Fall>)>),
    /// A flow.
    Flow(Flow),
    /// A number that has no unit type: gallons.
    Number(f64),
    /// A load.
    Load(Load),
    /// A whole number.
    Count(u32),
    /// A heading.
    Heading(Heading),
    /// A heading and maybe a length.
    Go(Heading, Option<Length>),
    /// Legs.
    Run(Vec<Leg>),
    /// East and north.
    At(Length, Length),
    /// A table.
    One(Values),
    /// A list of tables.
    Many(Vec<Values>),
    /// Named tables, in the order of the file.
    Named(Vec<Values>),
}

impl Value {
    /// Whether it says the same, wherever that is written.
    pub fn same(&self, other: &Value) -> bool {
        fn all<T>(a: &[T], b: &[T], same: impl Fn(&T, &T) -> bool) -> bool {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b))
        }
        let value = |s: &Option<Said<PipeSize>>| s.as_ref().map(|s| s.value);
        let fall = |s: &Option<Said<Fall>>| s.as_ref().map(|s| s.value);
        match (self, other) {
            (Value::Texts(a), Value::Texts(b)) => all(a, b, |a, b| a.value == b.value),
            (Value::Falls(a), Value::Falls(b)) => {
                all(a, b, |a, b| (a.0, a.1.value) == (b.0, b.1.value))
            }
            (Value::Run(a), Value::Run(b)) => all(a, b, |a, b| {
                let way = (a.heading, a.length, a.lies) == (b.heading, b.length, b.lies);
                way && value(&a.size) == value(&b.size) && fall(&a.fall) == fall(&b.fall)
            }),
            (Value::One(a), Value::One(b)) => a.same(b),
            (Value::Many(a), Value::Many(b)) | (Value::Named(a), Value::Named(b)) => {
                all(a, b, Values::same)
            }
            _ => self == other,
        }
    }
}

/// What one table said.
#[derive(Clone, Debug)]
pub struct Values {
    /// Its list of keys.
    pub record: &'static Record,
    /// What it is called: its name, or the key it stands under.
    pub name: String,
    /// Its name, or the words of the whole table where it has none.
    pub span: Span,
    entries: Vec<(&'static str, Said<Value>)>,
    /// Keys that stand in the table in some form, read or not: nobody is to be told that they
    /// are missing.
    tried: Vec<&'static str>,
    /// Whether there is no table to find keys in.
    broken: bool,
}

impl PartialEq for Values {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name && self.span == other.span && self.entries == other.entries
    }
}

macro_rules! getters {
    ($($get:ident $variant:ident $type:ty;)*) => {
        $(#[doc = concat!("The value of a key of kind ", stringify!($variant), ", and where it stands.")]
        pub fn $get(&self, key: &str) -> Option<Said<$type>> {
            match self.get(key) {
                Some(Said { value: Value::$variant(v), span }) => {
                    Some(Said { value: v.clone(), span: span.clone() })
                }
                _ => None,
            }
        })*
    };
}

impl Values {
    /// Nothing said yet.
    pub fn new(record: &'static Record, name: impl Into<String>, span: Span) -> Self {
        Values {
            record,
            name: name.into(),
            span,
            entries: Vec::new(),
            tried: Vec::new(),
            broken: false,
        }
    }
    /// A thing whose table does not read: only its name is known.
    pub fn broken(record: &'static Record, name: impl Into<String>, span: Span) -> Self {
        Values {
            broken: true,
            ..Values::new(record, name, span)
        }
    }
    /// Notes that a key stands there, read or not.
    pub fn try_key(&mut self, key: &'static str) {
        self.tried.push(key);
    }
    /// Whether a key is missing: neither read, nor unreadable, nor mistyped.
    pub fn lacks(&self, key: &str) -> bool {
        !self.broken && !self.tried.contains(&key)
    }
    /// Adds what a key said.
    pub fn set(&mut self, key: &'static str, value: Value, span: Span) {
        self.entries.push((key, Said { value, span }));
    }
    /// Writes what a key says, over what it said.
    pub fn put(&mut self, key: &'static str, value: Value, span: Span) {
        self.forget(key);
        self.try_key(key);
        self.set(key, value, span);
    }
    /// Takes out what a key said. Nobody is told that it is missing: that it stands there is known.
    pub fn forget(&mut self, key: &str) {
        self.entries.retain(|(k, _)| *k != key);
    }
    /// The same under another name, as a thing of another record: one that has these keys.
    pub fn copied(&self, record: &'static Record, name: String) -> Values {
        Values {
            record,
            name,
            ..self.clone()
        }
    }
    /// All that it says, key by key.
    pub fn entries(&self) -> impl Iterator<Item = (&'static str, &Said<Value>)> {
        self.entries.iter().map(|(key, said)| (*key, said))
    }
    /// Writes other names where it names things: those for which there is another.
    pub fn rename(&mut self, other: &impl Fn(&str) -> Option<String>) {
        for (key, said) in &mut self.entries {
            let names = matches!(self.record.key(key).map(|k| k.kind), Some(Kind::Name(_)));
            match &mut said.value {
                Value::Text(name) if names => {
                    if let Some(other) = other(name) {
                        *name = other;
                    }
                }
                Value::One(inner) => inner.rename(other),
                _ => {}
            }
        }
    }
    /// What a key said.
    pub fn get(&self, key: &str) -> Option<&Said<Value>> {
        debug_assert!(
            self.record.key(key).is_some(),
            "{key} is no key of {}",
            self.record.called
        );
        self.entries.iter().find(|(k, _)| *k == key).map(|(_, v)| v)
    }

    getters! {
        text Text String;
        texts Texts Vec<Said<String>>;
        length Length Length;
        size Size PipeSize;
        sizes Sizes Vec<PipeSize>;
        fall Fall Fall;
        falls Falls Vec<(PipeSize, Said<Fall>)>;
        flow Flow Flow;
        number Number f64;
        load Load Load;
        count Count u32;
        heading Heading Heading;
        run Run Vec<Leg>;
    }

    /// Text without its place.
    pub fn words(&self, key: &str) -> Option<String> {
        self.text(key).map(|t| t.value)
    }
    /// A length without its place.
    pub fn plain_length(&self, key: &str) -> Option<Length> {
        self.length(key).map(|l| l.value)
    }
    /// A size without its place.
    pub fn plain_size(&self, key: &str) -> Option<PipeSize> {
        self.size(key).map(|s| s.value)
    }
    /// A flag; not stated is `false`.
    pub fn flag(&self, key: &str) -> bool {
        matches!(
            self.get(key),
            Some(Said {
                value: Value::Flag(true),
                ..
            })
        )
    }
    /// Legs; not stated is none.
    pub fn legs(&self, key: &str) -> Vec<Leg> {
        self.run(key).map(|r| r.value).unwrap_or_default()
    }
    /// A heading and maybe a length.
    pub fn go(&self, key: &str) -> Option<(Heading, Option<Length>)> {
        match self.get(key) {
            Some(Said {
                value: Value::Go(heading, length),
                ..
            }) => Some((*heading, *length)),
            _ => None,
        }
    }
    /// East and north.
    pub fn at(&self, key: &str) -> Option<(Length, Length)> {
        match self.get(key) {
            Some(Said {
                value: Value::At(east, north),
                ..
            }) => Some((*east, *north)),
            _ => None,
        }
    }
    /// The tables of a key, to change them: one, those of a list, or those of a section.
    pub fn things_mut(&mut self, key: &str) -> impl Iterator<Item = &mut Values> {
        let entry = self.entries.iter_mut().find(|(k, _)| *k == key);
        let things: &mut [Values] = match entry.map(|(_, said)| &mut said.value) {
            Some(Value::One(one)) => std::slice::from_mut(one),
            Some(Value::Many(list) | Value::Named(list)) => list,
            _ => &mut [],
        };
        things.iter_mut()
    }
    /// Whether it says the same, wherever that is written and in whatever order.
    fn same(&self, other: &Values) -> bool {
        let in_other = |(key, said): &(&'static str, Said<Value>)| {
            let there = other.entries.iter().find(|(k, _)| k == key);
            there.is_some_and(|(_, s)| s.value.same(&said.value))
        };
        self.entries.len() == other.entries.len() && self.entries.iter().all(in_other)
    }
    /// A table.
    pub fn one(&self, key: &str) -> Option<&Values> {
        match self.get(key) {
            Some(Said {
                value: Value::One(values),
                ..
            }) => Some(values),
            _ => None,
        }
    }
    /// Tables of a list, or of a section of named things.
    pub fn many(&self, key: &str) -> &[Values] {
        match self.get(key) {
            Some(Said {
                value: Value::Many(list) | Value::Named(list),
                ..
            }) => list,
            _ => &[],
        }
    }
}
