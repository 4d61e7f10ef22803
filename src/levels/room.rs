//! Room to spare at each end of each drain: up to the highest that it may lie, and within joists
//! down to their bottom, in a soffit down to its own, whichever is less.

use super::falls::leg_is_vertical;
use super::lying::{Leg, Lying};
use super::model::{Highest, PieceLevels, Room, Rooms};
use super::walk::rise;
use crate::network::{Network, PieceIx, Table};
use crate::sizing::Sizing;

/// By waste piece; none where the level, or what bounds it, is not known.
pub fn rooms(
    net: &Network,
    lying: &Lying<'_>,
    sizing: &Sizing,
    levels: &Table<PieceIx, PieceLevels>,
    highest: &Table<PieceIx, Highest>,
) -> Table<PieceIx, Rooms> {
    let mut rooms = Table::new();
    for piece in net.graph.edge_indices() {
        let (Some(level), Some(high), Some(size), Some(p)) = (
            levels.get(&piece),
            highest.get(&piece),
            sizing.pieces.get(&piece),
            net.graph.edge_weight(piece),
        ) else {
            continue;
        };
        let at = |leg| Leg {
            piece,
            size: size.size,
            leg,
        };
        let above = |invert, limit: Option<super::Limit>| {
            let limit = limit.filter(|_| high.complete)?;
            Some(Room {
                spare: limit.invert - invert,
                bound: limit.bound,
            })
        };
        let below = |invert, leg: usize| {
            // What stands upright passes whatever lies below it, as well as what lies over it.
            if p.legs.get(leg).is_some_and(leg_is_vertical) {
                return None;
            }
            let limit = lying.lowest(at(leg))?;
            Some(Room {
                spare: invert - limit.invert,
                bound: limit.bound,
            })
        };
        let last = p.legs.len().saturating_sub(1);
        let least = |a: Option<Room>, b: Option<Room>| match (a, b) {
            (Some(a), Some(b)) if b.spare < a.spare => Some(b),
            (a, b) => a.or(b),
        };
        let fall = level.fall;
        let down = level.invert_down;
        let up = level.invert_up;
        rooms.insert(
            piece,
            Rooms {
                down: down.and_then(|i| least(above(i, high.down), below(i, 0))),
                up: up.and_then(|i| least(above(i, high.up), below(i, last))),
                below: down.and_then(|down| {
                    // Also where a leg ends within the piece.
                    let mut level = Some(down);
                    let mut all: Vec<Room> = Vec::new();
                    for (i, leg) in p.legs.iter().enumerate() {
                        let end = level.and_then(|l| Some(l + rise(leg, leg.length?, fall)?));
                        let ends = [level, end].into_iter().flatten();
                        all.extend(ends.filter_map(|at| below(at, i)));
                        level = end;
                    }
                    all.into_iter().min_by(|a, b| a.spare.total_cmp(&b.spare))
                }),
            },
        );
    }
    rooms
}
