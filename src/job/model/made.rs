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
    /// What was laid over on site: by thing and key, the mark that says so.
    pub now: BTreeMap<String, BTreeMap<&'static str, String>>,
    /// The bank of each of those stacks, by its name, and its place in the bank.
    pub bank_of: BTreeMap<String, (usize, usize)>,
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

    /// Which of the places that one line stands for an id is at: that of a copy (`S1-3`), or a stack
    /// of a bank (`S1`); nothing where its line stands for one place.
    pub fn place<'i>(&self, id: &'i str) -> &'i str {
        let copy = id.split('.').find_map(|part| part.split_once('@'));
        match copy {
            Some((_, place)) => place,
            None if self.bank_of.contains_key(owner(id)) => owner(id),
            None => "",
        }
    }

    /// An id without its place, so that the ids of like things are the same: `WC-1@S1-3.arm` and
    /// `WC-1@S1-4.arm` are both `WC-1@.arm`, `S1.3.WC-1@S1-3` is `@.@.WC-1@`, and of a bank `S1.end`
    /// and `S2.end` are `S1..S8.end`.
    /// None where its line stands for one place.
    pub fn alike(&self, id: &str) -> Option<String> {
        if self.place(id).is_empty() {
            return None;
        }
        let stack = owner(id);
        let bank = (self.bank_of.get(stack)).and_then(|(b, _)| self.banks.get(*b));
        // A part of the stack, or of its branch on that floor, is called after these too.
        let place = self.place(id);
        let of_place = |part: &str| {
            let rest = place.strip_prefix(part);
            rest.is_some_and(|r| r.starts_with('-'))
                || place.strip_suffix(part).is_some_and(|r| r.ends_with('-'))
        };
        let parts = id
            .split('.')
            .map(|part| match (part.split_once('@'), bank) {
                (Some((written, _)), _) => format!("{written}@"),
                _ if of_place(part) => "@".to_owned(),
                (None, Some(bank)) if part == stack => bank.name.clone(),
                _ => part.to_owned(),
            });
        Some(parts.collect::<Vec<_>>().join("."))
    }

    /// Which of like places an id is at: the number of the copy that it is of or names, else the
    /// place of its stack in the bank; 0 where its line stands for one place.
    pub fn number(&self, id: &str) -> usize {
        let named = id.split('.').find(|part| part.contains('@'));
        match named.and_then(|name| self.things.get(name)) {
            Some(thing) => thing.copy,
            None => self.bank_of.get(owner(id)).map_or(0, |(_, place)| *place),
        }
    }

    /// The keys under which a thing's value is written, from the head of the file: those of the mark
    /// that changed it on site, else those of its group where it is of a copy.
    pub fn way<'a>(&'a self, keys: &[&'a str]) -> Vec<&'a str> {
        let (name, own) = match keys {
            ["exit", own @ ..] => ("exit", own),
            [_, name, own @ ..] => (*name, own),
            _ => return keys.to_vec(),
        };
        if let [key, ..] = own
            && let Some(mark) = self.now.get(name).and_then(|keys| keys.get(*key))
        {
            return [&["progress", mark, "now"][..], own].concat();
        }
        if let [_, name, rest @ ..] = keys
            && let Some(thing) = self.things.get(*name)
            && let Some(group) = self.groups.get(thing.group)
        {
            let mut way = vec!["groups", &group.name, thing.section, &thing.written];
            way.extend(rest);
            return way;
        }
        keys.to_vec()
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
        let bank = Bank {
            name: "S1..S8".to_owned(),
            span: 0..0,
            stacks: Vec::new(),
        };
        let made = Made {
            banks: vec![bank],
            bank_of: BTreeMap::from([("S1".to_owned(), (0, 0))]),
            ..Made::default()
        };
        for (id, place, alike) in [
            ("WC-1@S1-3.arm", "S1-3", Some("WC-1@.arm")),
            ("T1.WC-1@T1-3", "T1-3", Some("@.WC-1@")),
            ("T1.3.WC-1@T1-3", "T1-3", Some("@.@.WC-1@")),
            ("T2.3.WC-1@T1-3", "T1-3", Some("T2.@.WC-1@")),
            ("S1.S1.31", "S1", Some("S1..S8.S1..S8.31")),
            ("b@S1-3.WC@S1-3", "S1-3", Some("b@.WC@")),
            ("S1.end", "S1", Some("S1..S8.end")),
            ("T1.end", "", None),
        ] {
            assert_eq!(made.place(id), place, "{id}");
            assert_eq!(made.alike(id).as_deref(), alike, "{id}");
        }
    }
}
