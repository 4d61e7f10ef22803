//! What a crew must know beside the list.

use super::CrewSheet;
use crate::captions::Trade;
use crate::levels::bores::{Part, part};
use crate::solve::Work;

/// What lengths are measured between, and to which face of a wall.
pub fn lengths(work: &Work<'_>) -> String {
    let faces = match work.job.practice.faces {
        Some(faces) => format!("walls to {}", faces.words()),
        None => "stud face or finish not stated, ask".to_owned(),
    };
    format!("Lengths centre to centre; {faces}")
}

/// The usual cautions of a sheet's work.
pub fn caution(work: &Work<'_>, sheet: &CrewSheet) -> String {
    let below = (sheet.pieces.iter()).any(|p| part(work.net, *p) == Part::Below);
    let own = match (sheet.trade, below) {
        (Trade::Drains, true) => "call before you dig; shore or slope the trench.",
        (Trade::Drains, false) => "air for cement and primer; cut no member without leave.",
        (Trade::Vents, _) => "tie off on the roof; tie the ladder.",
    };
    format!("Caution: {own} Local code and the licensed plumber decide.")
}
