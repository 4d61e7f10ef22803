//! Stage 4 of 12. In: the frozen network, the code book and the falls. Out: [`Sizing`].
//! Promises: every pipe has its code size, its chosen size, load, capacity and working, or the
//! reason why it has none.

mod building_vent;
mod check;
pub mod class;
pub mod groups;
pub mod intervals;
pub mod loads;
pub mod model;
pub mod order;
mod totals;
pub mod traps;
pub mod vent_rules;
mod vented;
pub mod vents;
pub mod waste;
pub mod ways;
pub mod working;

pub use model::*;

use crate::codebook::Book;
use crate::job::Job;
use crate::levels::Falls;
use crate::network::Network;

/// Sizes everything at these falls.
pub fn size(job: &Job, net: &Network, book: &Book, falls: &Falls) -> Sizing {
    let traps = traps::traps(job, net, book);
    let groups = groups::groups(job, net, book, &traps);
    let intervals = intervals::intervals(job, net, book);
    let wet = ways::wet_pieces(net);
    let basis = waste::Basis {
        job,
        net,
        book,
        falls,
        traps: &traps,
        groups: &groups,
        intervals: &intervals,
        wet: &wet,
    };
    let (pieces, serves, stacks) = waste::waste(&basis);
    let totals = totals::totals(&basis, &pieces);
    let mut sizing = Sizing {
        pieces,
        load_method: totals::load_method(&groups),
        traps,
        serves,
        totals,
    };
    // A vent rises from its drain's invert, so its length follows from the drains' sizes.
    let (drains, _) = crate::levels::walk(job, net, book, &sizing, falls);
    let lengths = crate::levels::vent_lengths(job, net, book, &drains);
    let found = (&sizing.traps, &groups, &stacks);
    vents::vents(job, net, book, found, &lengths, &mut sizing.pieces);
    sizing
}
