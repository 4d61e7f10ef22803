//! Lengths along legs.

use std::collections::BTreeMap;

use super::falls::leg_is_vertical;
use crate::network::{NetLeg, Network, Piece, PieceIx, System};
use crate::units::Length;

/// Developed length of a piece, if every leg's is known.
pub fn length(piece: &Piece) -> Option<Length> {
    piece.legs.iter().map(developed).sum::<Option<Length>>()
}

/// Length of a leg along its centre line. A 45° leg states how far it goes across.
fn developed(leg: &NetLeg) -> Option<Length> {
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

/// Developed length of each vent piece whose length is known.
pub fn vent_lengths(net: &Network) -> BTreeMap<PieceIx, Length> {
    net.graph
        .edge_indices()
        .filter_map(|e| {
            let piece = net.graph.edge_weight(e)?;
            (piece.system == System::Vent).then_some(())?;
            Some((e, length(piece)?))
        })
        .collect()
}
