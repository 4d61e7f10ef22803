//! What a hole goes through, and whether it may be bored there.

use crate::catalogue;
use crate::job::{Job, Stack};
use crate::solve::Work;
use crate::units::Length;

use super::Level;

/// What a hole goes through.
#[derive(Clone, Debug, PartialEq)]
pub enum Member {
    /// A slab.
    Slab,
    /// A deck on joists, which are sawn (what they are called) or of another make.
    Deck {
        /// Depth of the joists.
        joists: Length,
        /// What they are called if they are sawn.
        sawn: Option<&'static str>,
        /// The wall plates beside it.
        plates: Option<Plates>,
    },
    /// A floor of which nothing is stated.
    Floor {
        /// The wall plates beside it.
        plates: Option<Plates>,
    },
    /// The roof.
    Roof {
        /// The wall plates below it.
        plates: Option<Plates>,
    },
}

/// Plates of the wall that a stack stands in.
#[derive(Clone, Debug, PartialEq)]
pub struct Plates {
    /// What the wall is called.
    pub wall: &'static str,
    /// Depth of its studs: the width of the plates.
    pub width: Length,
    /// The wall of the storey below has its top plate here.
    pub top: bool,
    /// The wall of the storey above has its sole plate here.
    pub sole: bool,
}

impl Plates {
    /// Wood that a hole leaves on each side, if it stands in the middle; below nought where it is
    /// wider than the plate.
    pub fn beside(&self, hole: Length) -> Length {
        (self.width - hole) * 0.5
    }
}

impl Member {
    /// Its plates.
    pub fn plates(&self) -> Option<&Plates> {
        match self {
            Member::Slab => None,
            Member::Deck { plates, .. } | Member::Floor { plates } | Member::Roof { plates } => {
                plates.as_ref()
            }
        }
    }
}

/// The member at a level, for a pipe that stands in a stack's wall or in none that is known.
pub(super) fn member(work: &Work<'_>, level: Level, stack: Option<&Stack>) -> Member {
    let plates = |top: bool, sole: bool| {
        let wall = catalogue::stud_wall(stack?.wall.as_deref()?)?;
        Some(Plates {
            wall: wall.name,
            width: wall.depth.value,
            top,
            sole,
        })
    };
    let Level::Floor(ix) = level else {
        return Member::Roof {
            plates: plates(true, false),
        };
    };
    let Some(floor) = work.job.floors.get(ix.0) else {
        return Member::Floor { plates: None };
    };
    let below = storey_below(work.job, floor.level);
    match (floor.slab, floor.joists) {
        (Some(_), _) => Member::Slab,
        (None, Some(joists)) => Member::Deck {
            joists,
            sawn: catalogue::sawn_joist(joists),
            plates: plates(below, true),
        },
        (None, None) => Member::Floor {
            plates: plates(below, true),
        },
    }
}

/// Whether there is a floor below this level, whose walls reach up to it.
fn storey_below(job: &Job, level: Length) -> bool {
    job.floors
        .iter()
        .any(|f| f.level < level && f.part_of.is_none())
}
