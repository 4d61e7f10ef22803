//! The list of material: what a supplier's counter is asked for.
//!
//! In: a job worked through. Out: [`Takeoff`], plain data. Promises: a length is counted once, and
//! only where it is known; what nobody gave a length is listed as not counted; what exists already
//! and what others lay beyond the exit is left out. Lengths go from centre to centre of the
//! fittings: nothing is taken off for them, since no take-off dimension of the catalogue has a
//! source.

mod fittings;
mod joining;
mod model;
mod never;
mod penetrations;
mod phase;
mod pipes;
mod stretches;
mod supports;
mod tables;

pub use model::{
    FittingLine, FittingTotal, JoiningLine, PenetrationLine, PipeLine, Rest, Stock, SupportLine,
    Takeoff, Uncounted,
};
pub use never::Never;
pub use phase::Phase;
pub use tables::{notes, tables};

use crate::solve::Work;

/// Lists the material of a job.
pub fn takeoff(work: &Work<'_>) -> Takeoff {
    let (pipes, uncounted) = pipes::pipes(work);
    let listed = fittings::fittings(work);
    let hung = supports::supports(work);
    Takeoff {
        stock: pipes::stock(work.job),
        waste: work.job.takeoff.waste,
        all_fittings: fittings::together(&listed),
        fittings: listed,
        hanging: supports::noted(work, &hung),
        supports: hung,
        never: never::never(work),
        joining: joining::joining(work),
        pipes,
        uncounted,
        penetrations: penetrations::penetrations(work),
        shielded: penetrations::limit(work),
        closed_by: work.book.section("fireblocking").map(str::to_owned),
    }
}
