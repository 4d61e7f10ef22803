//! The drops: every hole through a floor, a wall plate or the roof, where pilot holes are laid out.
//!
//! In: a job worked through. Out: [`Drops`], plain data. Promises: every new pipe that passes a
//! floor is a hole, or is listed as one of which nobody knows what it passes; a place is where the
//! job puts the pipe, and where it does not, what is missing is said. A floor is taken to reach
//! over the whole plan, but for a pit, which only its own fixtures stand in.

mod across;
mod collect;
mod drawing;
mod ink;
mod joists;
mod labels;
mod limits;
mod lines;
mod member;
mod members;
mod model;
mod notes;
mod once;
mod plan;
mod tables;
mod view;
mod words;

pub use across::{Bore, Crossing, Verdict, crossings};
pub use drawing::{alike, drawings};
pub use joists::{Joists, Meets, joists_laid_out};
pub use limits::{Limit, limits};
pub use lines::{Axis, RefLine};
pub use member::{Member, Plates};
pub use model::{Drops, Hole, Level, Of, Unknown};
pub use notes::notes;
pub use tables::tables;

use crate::catalogue;
use crate::solve::Work;
use crate::units::Length;

/// Lists the holes of a job, floor by floor from the lowest up.
pub fn drops(work: &Work<'_>) -> Drops {
    let clearance = match work.job.hole_clearance {
        Some(stated) => (stated, None),
        None => catalogue::hole_clearance(work.job.units)
            .map_or((Length::ZERO, None), |d| (d.value, Some(d.source))),
    };
    let lines = lines::lines(work);
    let (holes, unknown) = collect::collect(work, clearance.0);
    Drops {
        clearance,
        lines,
        holes,
        unknown,
        bores: across::bores(work, |outside| {
            collect::rounded_to_bit(outside + clearance.0, work.job.units)
        }),
        may_cross: across::may_cross(work),
        limits: limits(work.job, work.book),
        floors: work.job.floors.iter().map(|f| f.name.clone()).collect(),
    }
}
