//! Lengths along legs.

use super::falls::leg_is_vertical;
use super::model::PieceLevels;
use super::walk::rise;
use crate::job::FloorIx;
use crate::network::{NetLeg, Network, Piece, PieceIx, RunKind};
use crate::units::Length;

/// Developed length of a piece, if every leg's is known.
pub fn length(piece: &Piece) -> Option<Length> {
    piece.legs.iter().map(developed).sum::<Option<Length>>()
}

/// Length of a leg along its centre line. A 45° leg states how far it goes across.
pub fn developed(leg: &NetLeg) -> Option<Length> {
    let length = leg.length?;
    Some(if leg.rises_45 {
        length * std::f64::consts::SQRT_2
    } else {
        length
    })
}

/// Length over which a piece falls, if every level leg's length is known.
pub fn horizontal(piece: &Piece) -> Option<Length> {
    piece
        .legs
        .iter()
        .filter(|l| !leg_is_vertical(l))
        .map(|l| l.length)
        .sum::<Option<Length>>()
}

/// Inverts at the two ends of each leg of a piece, lower end first, as far as they are known.
pub fn inverts(piece: &Piece, level: &PieceLevels) -> Vec<Option<(Length, Length)>> {
    let mut at = level.invert_down;
    let legs = piece.legs.iter().map(|leg| {
        let from = at;
        let climbs = leg.length.and_then(|l| rise(leg, l, level.fall));
        at = from.zip(climbs).map(|(from, climbs)| from + climbs);
        from.zip(at)
    });
    legs.collect()
}

/// Whether the length of a stack's pipe is only that of a storey: it ends at one of several branches
/// that come in on one floor at heights that nobody gave.
pub fn is_of_storey(net: &Network, piece: PieceIx) -> bool {
    let own = |joint| -> Option<FloorIx> {
        let run = net.entering(joint).next();
        run.filter(|r| r.invert.is_none())?.floor
    };
    let several = || {
        let run = net.runs.get(net.graph.edge_weight(piece)?.run.0)?;
        (run.kind == RunKind::Stack).then_some(())?;
        let joints = run.pieces.iter().filter_map(|p| net.from(*p));
        let floors: Vec<FloorIx> = joints.filter_map(own).collect();
        let (from, to) = net.graph.edge_endpoints(piece)?;
        let mut ends = [from, to].into_iter().filter_map(own);
        Some(ends.any(|f| floors.iter().filter(|g| **g == f).count() > 1))
    };
    several().unwrap_or_default()
}
