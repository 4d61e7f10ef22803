//! What may be bored in the joists and walls that the job states.

use std::collections::BTreeMap;

use crate::catalogue;
use crate::codebook::{Book, PlateRules, StudRules};
use crate::job::{FloorIx, Job};
use crate::levels::{Holes, holes};
use crate::units::Length;

/// What may be bored in a member that the job states.
#[derive(Clone, Debug, PartialEq)]
pub enum Limit {
    /// Sawn joists, by a rule of the book.
    Sawn(Box<Holes>),
    /// Sawn joists, of which the book says nothing.
    SawnUnsaid(&'static str),
    /// Joists that are no sawn size: only their maker says.
    Maker(Length),
    /// A wall of studs with its plates.
    Wall {
        /// What it is called.
        wall: &'static str,
        /// Depth of its studs.
        depth: Length,
        /// What may be bored through its studs; none: the book says nothing.
        studs: Option<Box<StudRules>>,
        /// When its top plate is tied; none: the book says nothing.
        plates: Option<Box<PlateRules>>,
    },
}

/// The limits in every kind of joist and wall of a job, joists first.
pub fn limits(job: &Job, book: &Book) -> Vec<Limit> {
    let mut joists: BTreeMap<i64, Limit> = BTreeMap::new();
    for (i, floor) in job.floors.iter().enumerate() {
        let Some(depth) = floor.joists else { continue };
        let found = match (catalogue::sawn_joist(depth), holes(job, book, FloorIx(i))) {
            (_, Some(h)) => Limit::Sawn(Box::new(h)),
            (Some(name), None) => Limit::SawnUnsaid(name),
            (None, None) => Limit::Maker(depth),
        };
        joists
            .entry((depth.mm() * 10.0).round() as i64)
            .or_insert(found);
    }
    let named = job.stacks.iter().filter(|s| !s.existing);
    let named: Vec<_> = named
        .filter_map(|s| catalogue::stud_wall(s.wall.as_deref()?))
        .map(|w| w.name)
        .collect();
    let walls = catalogue::stud_walls().filter(|w| named.contains(&w.name));
    let walls = walls.map(|w| Limit::Wall {
        wall: w.name,
        depth: w.depth.value,
        studs: book.studs().cloned().map(Box::new),
        plates: book.plates().cloned().map(Box::new),
    });
    joists.into_values().chain(walls).collect()
}
