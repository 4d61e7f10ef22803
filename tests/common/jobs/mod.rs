//! Random jobs, for what holds of any: one builder, and the three depths of the same file that it
//! is filled to.

// Every test takes what it needs of this.
#![allow(unused_imports)]

mod anything;
mod building;
mod measured;
mod sketch;

use std::fmt::{Display, Write};

use super::Dice;

pub use anything::anything;
pub use building::{Building, For, numbered};
pub use measured::{Open, measured};
pub use sketch::sketch;

/// Kinds of fixtures, those of a bath more often than the rest.
const KINDS: [&str; 14] = [
    "water closet",
    "water closet",
    "lavatory",
    "lavatory",
    "bathtub",
    "shower",
    "bidet",
    "kitchen sink",
    "clothes washer",
    "floor drain",
    "laundry tub",
    "bar sink",
    "urinal",
    "shower",
];
const FLOORS: [&str; 3] = ["basement", "first", "second"];
const WAYS: [&str; 8] = [
    "north",
    "east",
    "south",
    "west",
    "northeast",
    "northwest",
    "southeast",
    "southwest",
];
const CODES: [&str; 2] = ["irc-2021", "ipc-2021"];

/// A job file in the making: what stands above its lists, and the lines of each list.
#[derive(Clone, Debug)]
pub struct Draft {
    pub head: String,
    pub sections: Vec<(&'static str, Vec<String>)>,
}

impl Draft {
    /// A job under this code with its floors and exit.
    pub fn new(code: &str, job: &str, floors: &str, exit: &str) -> Draft {
        let head = format!(
            "[job]\ntitle = \"Test\"\ncode = \"{code}\"\n{job}[floors]\n{floors}\
             roof = {{ level = \"20'\" }}\n[exit]\nheading = \"south\"\n{exit}\n"
        );
        Draft {
            head,
            sections: Vec::new(),
        }
    }
    /// One more line of a section.
    pub fn line(&mut self, section: &'static str, name: impl Display, keys: &Keys) {
        let line = format!("{name} = {{ {} }}", keys.0.join(", "));
        match self.sections.iter_mut().find(|s| s.0 == section) {
            Some(of) => of.1.push(line),
            None => self.sections.push((section, vec![line])),
        }
    }
    /// How many lines a section has.
    pub fn count(&self, section: &str) -> usize {
        let found = self.sections.iter().find(|s| s.0 == section);
        found.map_or(0, |s| s.1.len())
    }
    /// The job file.
    pub fn text(&self) -> String {
        let mut text = self.head.clone();
        for (name, lines) in &self.sections {
            let _ = write!(text, "[{name}]\n{}\n", lines.join("\n"));
        }
        text
    }
    /// The lines of every section in another order.
    pub fn shuffled(&self, dice: &mut Dice) -> Draft {
        let mut other = self.clone();
        other
            .sections
            .iter_mut()
            .for_each(|s| dice.shuffle(&mut s.1));
        other
    }
}

/// The keys of one line.
#[derive(Clone, Debug, Default)]
pub struct Keys(pub Vec<String>);

impl Keys {
    /// None yet.
    pub fn new() -> Keys {
        Keys::default()
    }
    /// A key with a text.
    pub fn say(&mut self, key: &str, value: impl Display) -> &mut Keys {
        self.bare(key, format!("\"{value}\""))
    }
    /// A key with a value that is no text, as it is written.
    pub fn bare(&mut self, key: &str, value: impl Display) -> &mut Keys {
        self.0.push(format!("{key} = {value}"));
        self
    }
}
