//! Lengths along legs.

use super::falls::leg_is_vertical;
use crate::network::{NetLeg, Piece};
use crate::units::Length;

/// Developed length of a piece, if every leg's is known.
pub fn length(piece: &Piece) -> Option<Length> {
    piece.legs.iter().map(developed).sum::<Option<Length>>()
}

/// Length of a leg along its centre line. A 45° leg states how far it goes across.
pub(super) fn developed(leg: &NetLeg) -> Option<Length> {
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
