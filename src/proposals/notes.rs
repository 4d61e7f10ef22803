//! What was proposed and why.

use crate::codebook::Book;
use crate::network::Proposal;
use crate::units::{Length, UnitSystem, number};

/// The list of proposals, with the book that gives their sections.
pub(crate) struct Notes<'a> {
    pub(crate) book: &'a Book,
    pub(crate) units: UnitSystem,
    pub(crate) list: Vec<Proposal>,
}

impl Notes<'_> {
    /// A distance in a reason: `10 ft`, `3 m`.
    pub(crate) fn far(&self, length: Length) -> String {
        match self.units {
            UnitSystem::Feet => format!("{} ft", number(length.feet(), 1, false)),
            UnitSystem::Metric => format!("{} m", number(length.mm() / 1000.0, 1, false)),
        }
    }
    /// Notes a proposal.
    pub(crate) fn add(&mut self, id: &str, what: impl Into<String>, reason: impl Into<String>) {
        self.list.push(Proposal {
            id: id.to_owned(),
            what: what.into(),
            reason: reason.into(),
        });
    }
    /// A reason with the section of a venting method, and that the authority approves it first where
    /// the book asks for that.
    pub(crate) fn method(&self, word: &str, reason: &str) -> String {
        match self.book.methods().get(word) {
            Some(method) => format!("{reason} ({})", method.cite()),
            None => reason.to_owned(),
        }
    }
    /// A reason with the section of a topic.
    pub(crate) fn topic(&self, topic: &str, reason: &str) -> String {
        match self.book.section(topic) {
            Some(section) => format!("{reason} ({section})"),
            None => reason.to_owned(),
        }
    }
}
