//! Which drains have too little room, one for each thing that leaves it to them: shared by L104
//! and L106.
//!
//! A hole too near to the edge of a joist is S102's matter, which knows what else is wrong with it.

use std::collections::BTreeMap;

use super::context::Context;
use crate::catalogue;
use crate::levels::Room;
use crate::network::{JointKind, PieceIx, RunKind};
use crate::units::Length;

/// The drains with less room than this, but for what only goes along with them.
///
/// All that lies downstream of a fixture is short by the same, and what lies upstream of a place
/// that hangs too low is short by less: of those the one is named that binds.
pub(super) fn short_of_room(ctx: &Context<'_>, wanted: Length) -> Vec<(Room, PieceIx)> {
    let short = all_short(ctx, wanted);
    let binds = |ix: PieceIx, room: Room| {
        let near = match room.bound.is_below() {
            false => ctx.net.from(ix).map(|j| ctx.net.upstream(j)),
            true => ctx
                .net
                .to(ix)
                .and_then(|j| Some(vec![ctx.net.downstream(j)?])),
        };
        let worse = |q: &PieceIx| {
            let known = short.get(q);
            known.is_some_and(|k| {
                k.bound == room.bound && k.spare <= room.spare + Length::from_mm(0.01)
            })
        };
        !near.unwrap_or_default().iter().any(worse)
    };
    let found = short.iter().map(|(ix, room)| (*room, *ix));
    found.filter(|(room, ix)| binds(*ix, *room)).collect()
}

/// Every drain with less room than this at one of its ends.
pub(super) fn all_short(ctx: &Context<'_>, wanted: Length) -> BTreeMap<PieceIx, Room> {
    let near = agreement();
    let pieces = ctx.net.graph.edge_indices().filter_map(|ix| {
        let rooms = ctx.solution.levels.rooms.get(&ix)?;
        let ends = [rooms.down, rooms.up].into_iter().flatten();
        let ends = ends.filter(|r| !(r.bound.is_of_a_hole() && -r.spare > near));
        let least = ends.min_by(|a, b| a.spare.total_cmp(&b.spare));
        let of_fixture = matches!(
            ctx.kind(&ctx.net.graph[ix]),
            Some(RunKind::Arm | RunKind::FixtureDrain)
        );
        // What joins a drain is told of the drain; a basin has none.
        let to = ctx.net.to(ix).and_then(|j| ctx.net.graph.node_weight(j));
        let arm = of_fixture && to.is_none_or(|j| j.kind != JointKind::Basin);
        Some((ix, least.filter(|r| r.spare < wanted && !arm)?))
    });
    pieces.collect()
}

/// Finer than anyone sets a pipe: room may lack so much and still be said to be there.
pub(super) fn agreement() -> Length {
    catalogue::agreement().map_or(Length::ZERO, |a| a.value)
}
