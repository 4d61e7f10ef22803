//! What repetition made: which things of the job come from one line, and from which.

use std::collections::BTreeMap;

use super::{FloorIx, Target};
use crate::diagnostics::Span;

/// What repetition made. To the stages a copy is a thing like any other; this tells those that ask
/// what it is a copy of, so that like storeys and stacks can be drawn once.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Made {
    /// The groups, in the order of the file, used or not.
    pub groups: Vec<Group>,
    /// Where they are placed, in the order of the file.
    pub repeats: Vec<Repeat>,
    /// Every thing of a copy, by its name (`WC-1@S1-3`).
    pub things: BTreeMap<String, MadeThing>,
    /// Floors that come from one line, in the order of the file.
    pub typical: Vec<Typical>,
    /// Stacks that come from one line, in the order of the file.
    pub banks: Vec<Bank>,
}

/// A group.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// How many copies of it there are.
    pub copies: usize,
}

/// A group placed on floors of stacks, or on a drain.
#[derive(Clone, Debug, PartialEq)]
pub struct Repeat {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// The group, by index.
    pub group: usize,
    /// What the copies drain into: stacks or drains, in the order said.
    pub into: Vec<Target>,
    /// The floors, in the order said; those of a range from below.
    pub floors: Vec<FloorIx>,
}

/// A thing of a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MadeThing {
    /// The section that it is of, as it is written: `fixtures`.
    pub section: &'static str,
    /// Its name in the group: `WC-1`.
    pub written: String,
    /// The group, by index.
    pub group: usize,
    /// The repeat, by index.
    pub repeat: usize,
    /// Number of the copy among all of the job, in the order in which they were made.
    pub copy: usize,
    /// What the copy drains into: a stack or a drain.
    pub into: Target,
    /// The floor that the copy is on.
    pub floor: FloorIx,
}

/// Typical floors.
#[derive(Clone, Debug, PartialEq)]
pub struct Typical {
    /// As written: `3..17`.
    pub name: String,
    /// Where that stands.
    pub span: Span,
    /// The floors, in the order of their names.
    pub floors: Vec<FloorIx>,
}

/// Like stacks.
#[derive(Clone, Debug, PartialEq)]
pub struct Bank {
    /// As written: `S1..S8`.
    pub name: String,
    /// Where that stands.
    pub span: Span,
    /// The stacks, by index, in the order of their names.
    pub stacks: Vec<usize>,
}

impl Made {
    /// The thing of a copy that an id is of, whole or a part of it: `WC-1@S1-3` and `WC-1@S1-3.arm`;
    /// none where that was written by hand.
    pub fn of(&self, id: &str) -> Option<&MadeThing> {
        self.things.get(owner(id))
    }

    /// An id without the copies that it names, so that the ids of like places are the same:
    /// `WC-1@S1-3.arm` and `WC-1@S1-4.arm` are both `WC-1@.arm`. None where it names no copy.
    pub fn alike(id: &str) -> Option<String> {
        if !id.contains('@') {
            return None;
        }
        let parts = id.split('.').map(|part| match part.split_once('@') {
            Some((written, _)) => format!("{written}@"),
            None => part.to_owned(),
        });
        Some(parts.collect::<Vec<_>>().join("."))
    }
}

/// The thing that an id is of: what stands before its first point.
fn owner(id: &str) -> &str {
    id.split_once('.').map_or(id, |(owner, _)| owner)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn like_places_have_like_ids() {
        let alike = |id| Made::alike(id);
        assert_eq!(alike("WC-1@S1-3.arm").as_deref(), Some("WC-1@.arm"));
        assert_eq!(alike("S1.WC-1@S1-3").as_deref(), Some("S1.WC-1@"));
        assert_eq!(alike("b@S1-3.WC@S1-3").as_deref(), Some("b@.WC@"));
        assert_eq!(alike("S1.WC-1"), None);
    }
}
