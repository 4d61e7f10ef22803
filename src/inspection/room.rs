//! Room under slabs, decks and joists, and under the outlets.

use std::collections::BTreeMap;

use super::model::Measure;
use crate::catalogue;
use crate::findings::Context;
use crate::levels::{Bound, Room, bounds};
use crate::network::PieceIx;
use crate::units::Length;

/// The least room to each kind of bound.
pub(super) fn rooms(ctx: &Context<'_>) -> Vec<Measure> {
    let mut worst: BTreeMap<&str, (usize, Room, PieceIx)> = BTreeMap::new();
    for (piece, rooms) in &ctx.solution.levels.rooms {
        for room in [rooms.down, rooms.up, rooms.below].into_iter().flatten() {
            let entry = worst.entry(kind(room.bound)).or_insert((0, room, *piece));
            entry.0 += 1;
            if room.spare < entry.1.spare {
                (entry.1, entry.2) = (room, *piece);
            }
        }
    }
    let keep = ctx.job.practice.spare.unwrap_or(Length::ZERO);
    let agree = catalogue::agreement().map_or(Length::ZERO, |d| d.value);
    let measure = |(what, (applied, room, piece)): (&str, (usize, Room, PieceIx))| Measure {
        what: format!("room to the {what}"),
        section: "—".to_owned(),
        applied,
        at: format!(
            "{}, to the {}",
            ctx.net.graph[piece].id,
            bounds::words(ctx.job, ctx.net, room.bound)
        ),
        has: ctx.print.short(room.spare),
        limit: ctx.print.short(keep),
        margin: ctx.print.short(room.spare - keep),
        // What differs by no more than anyone sets a pipe is told by no rule either.
        kept: room.spare >= keep - agree,
    };
    worst.into_iter().map(measure).collect()
}

fn kind(bound: Bound) -> &'static str {
    match bound {
        Bound::Outlet(_) => "outlets upstream",
        Bound::Slab(_) => "slab",
        Bound::Deck(_) => "deck",
        Bound::Joists(_) => "joists, from below",
        Bound::JoistBottom(_) => "bottom of the joists",
        Bound::OverHole(_) => "wood over a hole",
        Bound::UnderHole(_) => "wood under a hole",
        Bound::Soffit(_) => "soffit",
    }
}
