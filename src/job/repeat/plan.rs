//! What was made, by name, until the things of the job have their indices.

use std::collections::BTreeMap;

use crate::diagnostics::Span;
use crate::job::model::{Bank, FloorIx, Group, Job, Made, MadeThing, Repeat, Target, Typical};
use crate::job::names::Names;

/// A line that stands for several floors or stacks.
#[derive(Debug)]
pub struct Line {
    /// The range as it is written.
    pub name: String,
    /// Where that stands.
    pub span: Span,
    /// The names that it stands for.
    pub names: Vec<String>,
}

/// A group placed, by names.
#[derive(Debug)]
pub struct Placed {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// The group, by index.
    pub group: usize,
    /// Stacks or drains.
    pub into: Vec<String>,
    /// Floors.
    pub floors: Vec<FloorIx>,
}

/// A thing of a copy, by names.
#[derive(Debug)]
pub struct Thing {
    /// Its own name.
    pub name: String,
    /// The section that it is of.
    pub section: &'static str,
    /// Its name in the group.
    pub written: String,
    /// The repeat, by index.
    pub repeat: usize,
    /// Number of the copy.
    pub copy: usize,
    /// Which of the things that the repeat names it drains into.
    pub into: usize,
    /// Its floor.
    pub floor: FloorIx,
}

/// What was made, by name.
#[derive(Debug, Default)]
pub struct Plan {
    /// Typical floors.
    pub typical: Vec<Line>,
    /// Like stacks.
    pub banks: Vec<Line>,
    /// The groups.
    pub groups: Vec<Group>,
    /// Where they are placed.
    pub repeats: Vec<Placed>,
    /// Every thing of a copy.
    pub things: Vec<Thing>,
}

impl Plan {
    /// The same by the indices of the job. What has none has been reported as such.
    pub fn made(self, job: &Job, names: &Names, floors: &BTreeMap<String, FloorIx>) -> Made {
        let target = |name: &String| names.get(name).and_then(|(_, target, _)| target);
        let stacks: BTreeMap<&str, usize> = (job.stacks.iter().enumerate())
            .map(|(i, s)| (s.name.as_str(), i))
            .collect();
        let typical = self.typical.into_iter().map(|l| Typical {
            floors: l
                .names
                .iter()
                .filter_map(|n| floors.get(n).copied())
                .collect(),
            name: l.name,
            span: l.span,
        });
        let bank_of = (self.banks.iter().enumerate())
            .flat_map(|(bank, l)| {
                let stacks = l.names.iter().enumerate();
                stacks.map(move |(place, name)| (name.clone(), (bank, place)))
            })
            .collect();
        let banks = self.banks.into_iter().map(|l| Bank {
            stacks: (l.names.iter())
                .filter_map(|n| stacks.get(n.as_str()).copied())
                .collect(),
            name: l.name,
            span: l.span,
        });
        let of = |thing: &Thing| -> Option<(usize, Target)> {
            let repeat = self.repeats.get(thing.repeat)?;
            Some((repeat.group, target(repeat.into.get(thing.into)?)?))
        };
        let mut things = BTreeMap::new();
        for thing in self.things {
            let Some((group, into)) = of(&thing) else {
                continue;
            };
            let made = MadeThing {
                section: thing.section,
                written: thing.written,
                group,
                repeat: thing.repeat,
                copy: thing.copy,
                into,
                floor: thing.floor,
            };
            things.insert(thing.name, made);
        }
        Made {
            groups: self.groups,
            repeats: (self.repeats.iter())
                .map(|r| Repeat {
                    name: r.name.clone(),
                    span: r.span.clone(),
                    group: r.group,
                    into: r.into.iter().filter_map(target).collect(),
                    floors: r.floors.clone(),
                })
                .collect(),
            things,
            typical: typical.collect(),
            banks: banks.collect(),
            bank_of,
            now: BTreeMap::new(),
        }
    }
}
