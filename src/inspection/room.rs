//! Room under slabs, decks and joists, and under the outlets.

use std::collections::BTreeMap;

use super::model::Measure;
use crate::catalogue;
use crate::findings::{Context, binding, judged};
use crate::levels::{Bound, Room, bounds};
use crate::network::PieceIx;
use crate::sheets::{Form, Say};
use crate::units::Length;

/// The least room to each kind of bound, of the drains and ends that L104 and L106 judge.
pub(super) fn rooms(ctx: &Context<'_>) -> Vec<Measure> {
    let mut worst: BTreeMap<&str, (usize, Room, PieceIx)> = BTreeMap::new();
    for piece in ctx.solution.levels.rooms.keys() {
        for room in judged(ctx, *piece) {
            let entry = worst.entry(kind(room.bound)).or_insert((0, room, *piece));
            entry.0 += 1;
            if room.spare < entry.1.spare {
                (entry.1, entry.2) = (room, *piece);
            }
        }
    }
    let keep = ctx.job.practice.spare.unwrap_or(Length::ZERO);
    // What the job asks for is kept whole; that it fits at all, as near as anyone sets a pipe.
    let short = match ctx.job.practice.spare {
        Some(_) => Length::from_mm(0.01),
        None => catalogue::fine(),
    };
    // What lacks less than anyone sets a pipe to is there, here as in every table of room.
    let say = Say {
        print: ctx.print,
        form: Form::Terminal,
    };
    let measure = |(what, (applied, room, piece)): (&str, (usize, Room, PieceIx))| {
        let (room, piece) = binding(ctx, (room, piece));
        let kept = room.spare >= keep - short;
        let left = room.spare - keep;
        Measure {
            what: format!("room to the {what}"),
            section: "—".to_owned(),
            provenance: None,
            applied,
            at: format!(
                "{}, to {}",
                ctx.net.graph[piece].id,
                bounds::with_article(&bounds::words(ctx.job, ctx.net, room.bound))
            ),
            has: say.room(Some(room.spare)),
            limit: ctx.print.short(keep),
            margin: match kept {
                true if left < Length::ZERO && !left.same(Length::ZERO) => {
                    format!("{}, within setting tolerance", say.room(Some(left)))
                }
                true => say.room(Some(left)),
                false => ctx.print.short(ctx.rounded_down(left)),
            },
            kept: Some(kept),
        }
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
