//! Stage 5 of 12. In: the network and its sizes. Out: [`Levels`]. Promises: the fall used on
//! every drain, and the invert at each end whose length is known, or what is missing.

mod across;
pub mod bores;
pub mod bounds;
mod centres;
pub mod falls;
mod flatten;
mod footings;
mod ground;
mod highest;
mod holes;
pub mod joins;
mod legs;
mod lying;
pub mod model;
mod room;
mod stations;
mod storeys;
mod stubs;
pub(crate) mod vents;
mod walk;
mod way;
mod why;

pub use across::bay_left;
pub use across::{Across, Met, across, ends, may_cross};
pub use bores::{Bores, bore};
pub use falls::Falls;
pub use flatten::{Round, flatten};
pub use ground::ground;
pub use holes::{Holes, holes};
pub use legs::{developed, horizontal, inverts, is_of_storey, length};
pub use model::*;
pub use storeys::{Storeys, outlet_in_floor};
pub use stubs::{Stub, below, carried_by, foot, rises, stub};
pub use way::way;

pub use lying::lies;

use lying::Lying;

use crate::codebook::Book;
use crate::job::Job;
use crate::network::{Network, PieceIx, Table};
use crate::sizing::Sizing;
use crate::units::Length;

/// Levels of the drains, and the lengths of the vents that rise from them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drains {
    /// By waste piece.
    pub pieces: Table<PieceIx, PieceLevels>,
    /// The highest that each may lie, by waste piece.
    pub highest: Table<PieceIx, Highest>,
    /// Room to spare, by waste piece.
    pub rooms: Table<PieceIx, Rooms>,
    /// Ids of pieces whose length nobody gave.
    pub missing: Vec<String>,
    /// Developed length of each vent piece, if known.
    pub vents: Table<PieceIx, Length>,
}

/// Levels of all drains, from the exits up, at these falls; `ordered` are the waste pieces from
/// the traps down.
pub fn drains(
    job: &Job,
    net: &Network,
    book: &Book,
    sizing: &Sizing,
    falls: &Falls,
    ordered: &[PieceIx],
) -> Drains {
    let lying = Lying::new(job, net, book);
    let highest = highest::highest((job, net, book), &lying, sizing, falls, ordered);
    let (pieces, missing) = walk::walk(job, net, book, sizing, falls, &highest, ordered);
    let rooms = room::rooms(net, &lying, sizing, &pieces, &highest);
    let vents = vents::vent_lengths(job, net, book, (sizing, &pieces));
    Drains {
        pieces,
        highest,
        rooms,
        missing,
        vents,
    }
}

/// The levels with the table of them, and how the drains pass the footings.
pub fn levels(
    job: &Job,
    net: &Network,
    sizing: &Sizing,
    drains: Drains,
    ordered: &[PieceIx],
) -> Levels {
    let stations = stations::stations(job, net, sizing, &drains, ordered);
    let footings = footings::footings(job, net, sizing, &drains.pieces);
    Levels {
        pieces: drains.pieces,
        highest: drains.highest,
        rooms: drains.rooms,
        vents: drains.vents,
        stations,
        footings,
        missing: drains.missing,
    }
}
