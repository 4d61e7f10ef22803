//! What a crew must know beside the list.

use super::{CrewSheet, Datum};
use crate::captions::Trade;
use crate::levels::bores::{Part, part};
use crate::network::State;
use crate::solve::Work;
use crate::units::{Length, Printer};

/// What lengths are measured between, and to which face of a wall.
pub fn lengths(work: &Work<'_>) -> String {
    let faces = match work.job.practice.faces {
        Some(faces) => format!("walls to {}", faces.words()),
        None => "stud face or finish not stated, ask".to_owned(),
    };
    format!("Lengths centre to centre; {faces}")
}

/// How a benchmark lies against the lowest finished floor, so that one can be checked by the other.
pub fn tie(work: &Work<'_>, datum: &Datum) -> Option<String> {
    let floors = work.job.floors.iter();
    let lowest = floors.reduce(|a, b| if b.level < a.level { b } else { a })?;
    let down = datum.level - lowest.level;
    let print = Printer {
        units: work.job.units,
    };
    let by = match down < Length::ZERO {
        true => format!("up {}", print.length(-down)),
        false => format!("{} down", print.length(down)),
    };
    datum
        .is_benchmark
        .then(|| format!("Finished floor, {}: {by}", lowest.name))
}

/// What a star says, where something is proposed.
pub fn star(work: &Work<'_>, sheet: &CrewSheet) -> Option<&'static str> {
    let mut pieces = sheet.pieces.iter();
    let proposed = pieces.any(|p| {
        let piece = work.net.graph.edge_weight(*p);
        piece.is_some_and(|p| p.state == State::Proposed)
    });
    proposed.then_some("* proposed, not on the plan")
}

/// The usual cautions of a sheet's work.
pub fn caution(work: &Work<'_>, sheet: &CrewSheet) -> String {
    let below = (sheet.pieces.iter()).any(|p| part(work.net, *p) == Part::Below);
    let own = match (sheet.trade, below) {
        (Trade::Drains, true) => "call before you dig; shore or slope the trench.",
        (Trade::Drains, false) => "fresh air where you glue; cut no member without leave.",
        (Trade::Vents, _) => "tie off on the roof; tie the ladder.",
    };
    format!("Caution: {own} Local code and the licensed plumber decide.")
}
