//! The pieces whose falls decide how high a place lies.

use super::model::{Bound, Highest, PieceLevels};
use crate::network::{Network, PieceIx, Table};

/// From what bounds a piece down to what holds its level: an exit, a stated invert, or, where a
/// branch hangs, its stack. The piece itself comes first, then what lies upstream of it, then what
/// lies downstream.
pub fn way(
    net: &Network,
    levels: &Table<PieceIx, PieceLevels>,
    highest: &Table<PieceIx, Highest>,
    piece: PieceIx,
    bound: Bound,
) -> Vec<PieceIx> {
    let over = |p: PieceIx| highest.get(&p).and_then(|h| h.down).map(|l| l.bound);
    // What bounds from below has no pipe of its own upstream: there the way is that to what the
    // branch hangs from.
    let from = match bound.is_below() {
        true => over(piece).unwrap_or(bound),
        false => bound,
    };
    let mut way = vec![piece];
    let mut at = piece;
    while let Some(joint) = net.from(at) {
        let Some(next) = net
            .upstream(joint)
            .into_iter()
            .find(|&q| over(q) == Some(from))
        else {
            break;
        };
        way.push(next);
        at = next;
    }
    let mut at = piece;
    while levels.get(&at).is_some_and(|l| l.step.is_some())
        && let Some(below) = net.to(at).and_then(|j| net.downstream(j))
    {
        way.push(below);
        at = below;
    }
    way
}
