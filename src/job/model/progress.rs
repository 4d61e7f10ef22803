//! How far the work is on site.

use std::collections::BTreeSet;

use super::{Job, Said};
use crate::diagnostics::Span;

/// How a part stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Laid and fixed.
    RoughedIn,
    /// Passed its test.
    Tested,
    /// Built otherwise than approved.
    Changed,
}

impl Standing {
    /// The words of the job file.
    pub fn words(self) -> &'static str {
        match self {
            Standing::RoughedIn => "roughed in",
            Standing::Tested => "tested",
            Standing::Changed => "changed",
        }
    }
}

/// A mark on parts of the work (one of `[progress]`).
#[derive(Clone, Debug, PartialEq)]
pub struct Progress {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// The parts, by name or id, ranges written out.
    pub on: Vec<Said<String>>,
    /// How they stand.
    pub is: Standing,
    /// When, as written.
    pub date: Option<Said<String>>,
    /// Who did it or saw it.
    pub by: Option<String>,
    /// Why it was changed.
    pub why: Option<String>,
    /// What its `now` says of each part, part by part.
    pub laid: Vec<Laid>,
}

/// A key of a part that was laid over on site.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// The part, by name.
    pub on: String,
    /// The key.
    pub key: &'static str,
    /// What the approved job says, if anything.
    pub approved: Option<Span>,
    /// What it is now.
    pub now: Span,
    /// Whether it says the same as the approved job.
    pub same: bool,
}

impl Job {
    /// Whether anything is built otherwise than approved, or said to be.
    pub fn is_changed(&self) -> bool {
        self.progress.iter().any(|p| p.is == Standing::Changed)
    }

    /// The parts that are otherwise than approved, by name.
    pub fn changed(&self) -> BTreeSet<&str> {
        let laid = self.progress.iter().flat_map(|p| &p.laid);
        laid.filter(|l| !l.same).map(|l| l.on.as_str()).collect()
    }

    /// The latest mark by which a part of this name or id was changed on site.
    pub fn changed_on_site(&self, part: &str) -> Option<&Progress> {
        let changes = self.progress.iter().rev();
        let mut of_part = changes.filter(|p| p.is == Standing::Changed);
        of_part.find(|p| p.on.iter().any(|on| on.value == part))
    }

    /// How a part of this name or id stands by its latest mark that is no change: tested goes over
    /// roughed in.
    pub fn stands(&self, part: &str) -> Option<&Progress> {
        let marks = self.progress.iter();
        let of_part = marks.filter(|p| p.is != Standing::Changed);
        let of_part = of_part.filter(|p| p.on.iter().any(|on| on.value == part));
        of_part.max_by_key(|p| p.is)
    }
}
