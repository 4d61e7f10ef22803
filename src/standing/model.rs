//! What is said of how the work stands.

use crate::job::Standing as Is;
use crate::units::{Fall, Length, PipeSize};

/// How the work stands, and what is built otherwise than approved.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Standing {
    /// Each part that is marked, in the order of the file.
    pub marks: Vec<Mark>,
    /// What differs from the approved job: what was stated first, then what follows from it.
    pub differences: Vec<Difference>,
}

/// A part that is marked.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// The part, by name or id.
    pub part: String,
    /// How it stands.
    pub is: Is,
    /// When, as written.
    pub date: Option<String>,
    /// Who did it or saw it.
    pub by: Option<String>,
    /// Why it was changed.
    pub why: Option<String>,
    /// The mark in the job file.
    pub mark: String,
}

/// A difference from the approved job.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// The part or place; two ids where it is the same all the way from one to the other.
    pub part: (String, Option<String>),
    /// What differs, in a word or two.
    pub what: String,
    /// In the approved job.
    pub approved: Amount,
    /// As it is.
    pub now: Amount,
    /// By how much, where that can be told.
    pub by: By,
    /// Why, in words; of what was not changed itself, from which mark it follows.
    pub why: String,
}

/// What something is.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// It is not there, or not known.
    Nothing,
    /// Words.
    Words(String),
    /// A pipe size.
    Size(PipeSize),
    /// A fall.
    Fall(Fall),
    /// A length.
    Length(Length),
    /// A level above zero.
    Level(Length),
    /// Levels of the first and the last of several places.
    Levels(Length, Length),
}

/// By how much something differs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum By {
    /// That cannot be told.
    Nothing,
    /// A level, higher by this if it is more than nil.
    Higher(Length),
    /// A length, longer by this.
    Longer(Length),
    /// A word: `larger`, `steeper`.
    Word(&'static str),
}
