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
    Slab {
        /// How thick it is.
        thick: Length,
    },
    /// No floor: the top plate of the wall below, where a stack turns aside between the joists, or a
    /// branch comes in there and its vent goes on.
    TopPlate {
        /// The plates of that wall.
        plates: Plates,
    },
    /// A deck on joists, which are sawn (what they are called) or of another make.
    Deck {
        /// How thick the deck is, if stated.
        deck: Option<Length>,
        /// Depth of the joists.
        joists: Length,
        /// What they are called if they are sawn.
        sawn: Option<&'static str>,
        /// The wall plates beside it.
        plates: Option<Plates>,
    },
    /// A floor of which nobody states what it is made of.
    Floor {
        /// How thick it is, if stated.
        thick: Option<Length>,
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
    /// The same without the top plate of the wall below.
    pub(super) fn without_top_plate(mut self) -> Member {
        match &mut self {
            Member::Deck { plates, .. }
            | Member::Floor { plates, .. }
            | Member::Roof { plates } => {
                if let Some(plates) = plates {
                    plates.top = false;
                }
            }
            Member::Slab { .. } | Member::TopPlate { .. } => {}
        }
        self
    }

    /// Its plates.
    pub fn plates(&self) -> Option<&Plates> {
        match self {
            Member::Slab { .. } => None,
            Member::TopPlate { plates } => Some(plates),
            Member::Deck { plates, .. }
            | Member::Floor { plates, .. }
            | Member::Roof { plates } => plates.as_ref(),
        }
    }
}

/// Which plates of a wall a pipe passes at a floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Through {
    /// Straight up: the top plate below and the sole plate above.
    Both,
    /// It turned aside below: the sole plate; whether a wall stands below is not known.
    Sole,
    /// It turns aside between the joists: the top plate and nothing else.
    Top,
}

/// The member at a level, for a pipe that stands in a stack's wall or in none that is known; none
/// where there is no plate that it could pass.
pub(super) fn member(
    work: &Work<'_>,
    level: Level,
    stack: Option<&Stack>,
    through: Through,
) -> Option<Member> {
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
        return Some(Member::Roof {
            plates: plates(true, false),
        });
    };
    let Some(floor) = work.job.floors.get(ix.0) else {
        return Some(Member::Floor {
            thick: None,
            plates: None,
        });
    };
    let below = storey_below(work.job, floor.level) && through != Through::Sole;
    if through == Through::Top {
        let plates = plates(below, false).filter(|p| p.top)?;
        return Some(Member::TopPlate { plates });
    }
    Some(match (floor.slab, floor.joists) {
        (Some(thick), _) => Member::Slab { thick },
        (None, Some(joists)) => Member::Deck {
            deck: floor.deck,
            joists,
            sawn: catalogue::sawn_joist(joists),
            plates: plates(below, true),
        },
        (None, None) => Member::Floor {
            thick: floor.deck,
            plates: plates(below, true),
        },
    })
}

/// Whether there is a floor below this level, whose walls reach up to it.
fn storey_below(job: &Job, level: Length) -> bool {
    job.floors
        .iter()
        .any(|f| f.level < level && f.part_of.is_none())
}
