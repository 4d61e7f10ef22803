//! Which new drains go across joists, and at which level: shared by S102 and S103.

use super::context::Context;
use crate::job::FloorIx;
use crate::levels::{Bores, Outside, across, inverts};
use crate::network::{PieceIx, State, System};
use crate::units::Length;

/// A leg of a drain across the joists of a floor.
pub(super) struct Crossing {
    /// The drain.
    pub piece: PieceIx,
    /// The floor whose joists they are.
    pub floor: FloorIx,
    /// Outside diameter of its pipe, if the catalogue has it.
    pub outside: Option<Length>,
    /// The pipe's outside at the leg's two ends, if its level is known.
    pub ends: Option<[Outside; 2]>,
}

/// All of them, in the order of the network. What lies wholly over or under the joists by its
/// level is left out: it crosses none of them, whatever it was meant to.
pub(super) fn crossings(ctx: &Context<'_>) -> Vec<Crossing> {
    let across = across(ctx.job, ctx.net);
    let bores = Bores::new(ctx.job, ctx.net);
    let mut found = Vec::new();
    for (ix, piece, size) in ctx.sized(System::Waste) {
        if piece.state == State::Existing {
            continue;
        }
        let level = ctx.solution.levels.pieces.get(&ix);
        let inverts = level.map(|l| inverts(piece, l)).unwrap_or_default();
        for leg in 0..piece.legs.len() {
            let Some(&floor) = across.get(&(ix, leg)) else {
                continue;
            };
            let outside = bores.outside(ix, size.size);
            let wall = bores.wall(ix, size.size);
            let at = |invert: Length, outside: Length| Outside {
                low: invert - wall,
                high: invert - wall + outside,
            };
            let ends = inverts.get(leg).copied().flatten().zip(outside);
            let ends = ends.map(|((down, up), o)| [at(down, o), at(up, o)]);
            if ends.is_some_and(|ends| clear_of(ctx, floor, ends)) {
                continue;
            }
            found.push(Crossing {
                piece: ix,
                floor,
                outside,
                ends,
            });
        }
    }
    found
}

/// Whether a pipe lies wholly over the joists of a floor, or wholly under them.
fn clear_of(ctx: &Context<'_>, floor: FloorIx, ends: [Outside; 2]) -> bool {
    let Some(floor) = ctx.job.floors.get(floor.0) else {
        return true;
    };
    let top = floor.level - floor.deck.unwrap_or_default();
    let bottom = top - floor.joists.unwrap_or_default();
    ends.iter().all(|e| e.low >= top) || ends.iter().all(|e| e.high <= bottom)
}
