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
        let worse = |q: &PieceIx| short.get(q).is_some_and(|k| goes_along(&room, k));
        !towards(ctx, ix, &room).iter().any(worse)
    };
    let found = short.iter().map(|(ix, room)| (*room, *ix));
    found.filter(|(room, ix)| binds(*ix, *room)).collect()
}

/// The drains next to one on the side from which what bounds it comes.
fn towards(ctx: &Context<'_>, ix: PieceIx, room: &Room) -> Vec<PieceIx> {
    let near = match room.bound.is_below() {
        false => ctx.net.from(ix).map(|j| ctx.net.upstream(j)),
        true => (ctx.net.to(ix)).and_then(|j| Some(vec![ctx.net.downstream(j)?])),
    };
    near.unwrap_or_default()
}

/// Whether the room of one drain only goes along with that of the next.
fn goes_along(room: &Room, next: &Room) -> bool {
    next.bound == room.bound && next.spare <= room.spare + Length::from_mm(0.01)
}

/// Of all drains that are short along with one, the one that binds.
pub fn binding(ctx: &Context<'_>, (room, ix): (Room, PieceIx)) -> (Room, PieceIx) {
    let (mut room, mut at) = (room, ix);
    // A network has no rings; that bound is kept all the same.
    for _ in 0..ctx.net.graph.edge_count() {
        let next = towards(ctx, at, &room).into_iter().find_map(|q| {
            let along = |k: &Room| goes_along(&room, k);
            Some((judged(ctx, q).into_iter().find(along)?, q))
        });
        match next {
            Some(next) => (room, at) = next,
            None => break,
        }
    }
    (room, at)
}

/// Every drain with less room than this at one of its ends.
pub(super) fn all_short(ctx: &Context<'_>, wanted: Length) -> BTreeMap<PieceIx, Room> {
    let pieces = ctx.net.graph.edge_indices().filter_map(|ix| {
        let ends = judged(ctx, ix).into_iter();
        let least = ends.min_by(|a, b| a.spare.total_cmp(&b.spare));
        Some((ix, least.filter(|r| r.spare < wanted)?))
    });
    pieces.collect()
}

/// The room at the ends of a drain as it is judged, here and on the inspector's list.
///
/// What joins a drain is told of the drain, so a fixture's own has none, but into a basin, which
/// has none itself. What is cut of a joist beyond what it may is told of the hole.
pub fn judged(ctx: &Context<'_>, ix: PieceIx) -> Vec<Room> {
    let Some(rooms) = ctx.solution.levels.rooms.get(&ix) else {
        return Vec::new();
    };
    let of_fixture = matches!(
        ctx.kind(&ctx.net.graph[ix]),
        Some(RunKind::Arm | RunKind::FixtureDrain)
    );
    let to = ctx.net.to(ix).and_then(|j| ctx.net.graph.node_weight(j));
    if of_fixture && to.is_none_or(|j| j.kind != JointKind::Basin) {
        return Vec::new();
    }
    let near = catalogue::fine();
    let ends = [rooms.down, rooms.up].into_iter().flatten();
    ends.filter(|r| !(r.bound.is_of_a_hole() && -r.spare > near))
        .collect()
}
