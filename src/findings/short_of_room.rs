//! Which drains have too little room, one for each thing that leaves it to them: shared by L104
//! and L106.
//!
//! A hole too near to the edge of a joist is S102's matter, which knows what else is wrong with it.

use super::context::Context;
use crate::catalogue;
use crate::levels::Room;
use crate::network::{PieceIx, RunKind};
use crate::units::Length;

/// For each bound with less room than this somewhere, the least that it leaves and the drain that
/// it leaves it to.
///
/// All that lies downstream of a fixture is short by the same: of those the farthest up is named.
pub(super) fn short_of_room(ctx: &Context<'_>, wanted: Length) -> Vec<(Room, PieceIx)> {
    let near = agreement();
    let mut short: Vec<(Room, PieceIx)> = Vec::new();
    for ix in ctx.net.graph.edge_indices() {
        let Some(rooms) = ctx.solution.levels.rooms.get(&ix) else {
            continue;
        };
        let ends = [rooms.down, rooms.up].into_iter().flatten();
        let ends = ends.filter(|r| !(r.bound.is_of_a_hole() && -r.spare > near));
        let least = ends.min_by(|a, b| a.spare.total_cmp(&b.spare));
        let arm = matches!(
            ctx.kind(&ctx.net.graph[ix]),
            Some(RunKind::Arm | RunKind::FixtureDrain)
        );
        let Some(room) = least.filter(|r| r.spare < wanted && !arm) else {
            continue;
        };
        match short
            .iter_mut()
            .find(|(known, _)| known.bound == room.bound)
        {
            Some(known) if room.spare <= known.0.spare + Length::from_mm(0.01) => {
                *known = (room, ix);
            }
            Some(_) => {}
            None => short.push((room, ix)),
        }
    }
    short
}

/// Finer than anyone sets a pipe: room may lack so much and still be said to be there.
pub(super) fn agreement() -> Length {
    catalogue::agreement().map_or(Length::ZERO, |a| a.value)
}
