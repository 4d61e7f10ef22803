//! What who lays the holes out must know.

use super::{Drops, Hole, Member, Of};
use crate::sheets::Say;

/// What stands under every plan, a line each.
pub(super) const CAUTION: [&str; 2] = [
    "Caution: look below and above first: joists, beams, ducts, wires.",
    "Bore a pilot hole, hang a flag through it, see it from both sides.",
];

/// The same where all goes through a slab.
pub(super) const CAUTION_SLAB: [&str; 2] = [
    "Caution: a slab is not bored: set sleeves before it is poured, plumb and tied down,",
    "and check each by both lines before the pour.",
];

/// The notes.
pub fn notes(drops: &Drops, say: &Say) -> Vec<String> {
    let mut notes = vec![
        "Caution: before anything is bored, look below and above for what else stands there: \
         joists, beams, ducts, wires. Bore a pilot hole, hang a flag through it, and see from both \
         sides that it is right. A slab is not bored: its sleeves are set before the pour."
            .to_owned(),
        "Not listed: the sleeve of a drain through or under the wall at its exit, openings for a valve \
         or a basin in a slab, notches. The profile says how the drain passes the wall's footing."
            .to_owned(),
        "Measure level from the lines, not along a slope of a roof or a floor. Plan zero is where the \
         job's places are measured from: its first exit, if it states nothing else."
            .to_owned(),
    ];
    for (line, (way, other)) in drops
        .lines
        .iter()
        .zip([("east", "W: to the west"), ("north", "S: to the south")])
    {
        notes.push(format!(
            "{}: {}. Holes are measured {way} of it to their middles; {other} of it.",
            line.name, line.is,
        ));
    }
    if drops.lines.iter().take(2).any(|l| !l.stated) {
        let unstated = drops.lines.iter().take(2).filter(|l| !l.stated);
        let names: Vec<&str> = unstated.map(|l| l.name.as_str()).collect();
        notes.push(format!(
            "The job states no line in place of {}: it cannot be found on the floors above. Drop a \
             plumb line from them, or state lines in the job that stand on every floor.",
            names.join(" and ")
        ));
    }
    let clearance = say.print.short(drops.clearance.0);
    let whence = match drops.clearance.1 {
        Some(source) => source.to_owned(),
        None => "as the job states".to_owned(),
    };
    notes.push(format!(
        "A hole is the true outside of its pipe and {clearance} ({whence}), rounded up to a bit. The \
         flange of a water closet and the waste of a tub may take more: their makers say."
    ));
    if drops.holes.iter().any(|h| h.of == Of::Cleanout) {
        notes.push(
            "The riser of a cleanout comes up beyond the place given here by what its fittings take: \
             set its sleeve by them."
                .to_owned(),
        );
    }
    if drops.holes.iter().any(|h| h.bored.is_none()) {
        notes.push(
            "Where no hole is given, the catalogue has no outside of that pipe: measure it."
                .to_owned(),
        );
    }
    let placed = drops.holes.iter().filter(|h| h.at.is_ok()).count();
    notes.push(match (drops.holes.len(), placed) {
        (all, 0) => format!(
            "{all} holes. The job gives none of them a place: what is missing stands in the table."
        ),
        (all, placed) if all == placed => format!("{all} holes, each with a place."),
        (all, placed) => format!(
            "{all} holes, of which {placed} have a place. The others are listed with what is \
             missing, and are not drawn."
        ),
    });
    notes.push(
        "A proposed vent stands straight over the fitting that it rises from. A floor is taken to \
         reach over the whole plan."
            .to_owned(),
    );
    let open = |h: &Hole| match h.member {
        Member::Deck { .. } => h.joists.is_none(),
        Member::Roof { .. } => true,
        _ => false,
    };
    if drops.holes.iter().any(open) {
        notes.push(
            "Not stated, look first: nobody has looked whether a hole meets a joist or a rafter. Of a \
             floor the job may state which way its joists run, how far apart they stand and where \
             the first stands."
                .to_owned(),
        );
    }
    let walls = |h: &Hole| {
        let fixed = matches!(h.member, Member::Slab { .. } | Member::TopPlate { .. });
        !fixed && h.member.plates().is_none()
    };
    if drops.holes.iter().any(walls) {
        notes.push(
            "Plates are named where the job states the wall of a stack. A drain or a vent in another \
             wall bores its plates too."
                .to_owned(),
        );
    }
    let drawn = drops.holes.iter().any(|h| h.joists.is_some());
    if drawn {
        notes.push(
            "Dashed lines are the middles of joists, numbered from the first; a circle is a hole to \
             scale, or larger where that could not be seen."
                .to_owned(),
        );
    }
    notes.push(
        "Each hole through a floor or plate is closed round its pipe as the building code asks."
            .to_owned(),
    );
    notes.push(
        "Caution: worked out by a computer program from what its author stated. It advises; the \
         licensed plumber and the authority having jurisdiction decide."
            .to_owned(),
    );
    notes
}
