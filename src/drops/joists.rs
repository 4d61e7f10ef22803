//! Joists in plan, and the holes that meet them.

use crate::catalogue;
use crate::job::{Floor, Job};
use crate::units::{Heading, Length};

/// The joists of a floor, as they stand in plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Joists {
    /// Whether they run east and west, one north of the other.
    pub run_east: bool,
    /// Middle of the first, north or east of plan zero.
    pub first: Length,
    /// From middle to middle.
    pub spacing: Length,
    /// Thickness, if known.
    pub width: Option<Length>,
}

/// How a hole stands to the joist next to it.
#[derive(Clone, Debug, PartialEq)]
pub enum Meets {
    /// It is clear of it.
    Clear {
        /// Number of the joist, the first being 1.
        joist: usize,
        /// From the edge of the hole to its side.
        by: Length,
    },
    /// It cuts it.
    Joist {
        /// Number of the joist, the first being 1.
        joist: usize,
        /// Its middle, north or east of plan zero.
        at: Length,
        /// The least move that clears it.
        least: (Length, Heading),
        /// What it would take to clear it the other way.
        other: (Length, Heading),
        /// Whether the hole fits between two joists at all.
        fits: bool,
    },
    /// How thick the joists are is not known.
    WidthNotKnown {
        /// Number of the joist, the first being 1.
        joist: usize,
        /// From the middle of the hole to the middle of the joist.
        from_middle: Length,
    },
}

impl Joists {
    /// Those of a floor that states which way they run, their spacing and the first of them.
    pub fn of(floor: &Floor) -> Option<Joists> {
        let depth = floor.joists?;
        let spacing = floor.spacing.filter(|s| *s > Length::ZERO)?;
        let sawn = catalogue::sawn_joist(depth).and_then(|_| catalogue::sawn_thickness());
        Some(Joists {
            run_east: floor.joists_run_east()?,
            first: floor.first_joist?,
            spacing,
            width: floor.joist_width.or(sawn.map(|d| d.value)),
        })
    }

    /// Middle of a joist by its number, the first being 1.
    pub fn middle(&self, joist: usize) -> Length {
        self.first + self.spacing * (joist as f64 - 1.0)
    }

    /// How a hole of this diameter stands to the joist next to it.
    ///
    /// ```text
    /// meets when |d| < t/2 + h/2;   least move = t/2 + h/2 − |d|
    /// ```
    ///
    /// `d` from the joist's middle to the hole's, `t` the joist's thickness, `h` the hole.
    pub fn meets(&self, at: (Length, Length), hole: Length) -> Meets {
        let across = if self.run_east { at.1 } else { at.0 };
        let nearest = ((across - self.first) / self.spacing).round().max(0.0);
        let joist = nearest as usize + 1;
        let middle = self.middle(joist);
        let d = across - middle;
        let Some(width) = self.width else {
            return Meets::WidthNotKnown {
                joist,
                from_middle: d.abs(),
            };
        };
        let half = (width + hole) * 0.5;
        let clear = d.abs() - half;
        // What touches by less than this is a matter of rounding.
        if clear.mm() > -1e-6 {
            return Meets::Clear {
                joist,
                by: clear.max(Length::ZERO),
            };
        }
        let (up, down) = match self.run_east {
            true => (Heading::North, Heading::South),
            false => (Heading::East, Heading::West),
        };
        let (up, down) = ((half - d, up), (half + d, down));
        let (least, other) = match up.0 <= down.0 {
            true => (up, down),
            false => (down, up),
        };
        Meets::Joist {
            joist,
            at: middle,
            least,
            other,
            fits: self.spacing - width >= hole,
        }
    }
}

/// Whether any floor says where its joists stand.
pub fn joists_laid_out(job: &Job) -> bool {
    job.floors.iter().any(|f| Joists::of(f).is_some())
}
