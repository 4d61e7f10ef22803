//! Fittings of vents.

use super::at::{Place, eighths_between};
use super::model::{Does, Fitting};
use crate::levels::falls::leg_is_vertical;
use crate::network::{JointIx, JointKind, NetLeg, PieceIx, System};
use crate::units::PipeSize;

/// The fitting at a joint of the vents: a bend, a tee where vents join, or what ends a vent.
pub fn fitting(place: &Place<'_>, joint: JointIx) -> Option<Fitting> {
    let kind = place.net.graph.node_weight(joint)?.kind;
    let below = place.net.vents_into(joint);
    let above = place.net.vents_from(joint);
    let name = match kind {
        JointKind::Terminal(_) => "vent terminal and flashing",
        JointKind::Valve(_) => "air admittance valve",
        // A tee joins two vents to the one that goes on.
        JointKind::VentJoint(_) if below.len() > 2 => "double sanitary tee, inverted",
        JointKind::VentJoint(_) if below.len() > 1 => "sanitary tee, inverted",
        JointKind::VentJoint(_) => bend(place, below.first(), above.first())?,
        _ => return None,
    };
    let sizes = sizes(place, &above, &below);
    let reducer = match (below.as_slice(), above.as_slice()) {
        ([a], [b]) => place.size(*a).zip(place.size(*b)),
        _ => None,
    };
    let reducer = reducer
        .filter(|(a, b)| a != b)
        .map(|(a, b)| (a.max(b), a.min(b)));
    Some(Fitting {
        does: Does::Joins,
        name: name.to_owned(),
        sizes,
        reducer,
        to_vent: None,
        turn: None,
    })
}

/// The run of a tee, above and below, then its branches; of what only turns or ends the larger first.
fn sizes(place: &Place<'_>, above: &[PieceIx], below: &[PieceIx]) -> Vec<PipeSize> {
    let size = |p: &PieceIx| place.size(*p);
    let larger_first = |pieces: &[PieceIx]| {
        let mut sizes: Vec<PipeSize> = pieces.iter().filter_map(size).collect();
        sizes.sort_unstable_by(|a, b| b.cmp(a));
        sizes
    };
    let ([next], [_, _, ..]) = (above, below) else {
        return larger_first(&[above, below].concat());
    };
    let straight = |p: &&PieceIx| {
        let legs = place.last_leg(**p).zip(place.first_leg(*next));
        legs.is_some_and(|(a, b)| leg_is_vertical(a) == leg_is_vertical(b))
    };
    let run = below.iter().find(straight);
    let run = run.or_else(|| below.iter().max_by_key(|p| size(p)));
    let branches: Vec<PieceIx> = below.iter().copied().filter(|p| Some(p) != run).collect();
    let through = size(next).into_iter().chain(run.and_then(size));
    through.chain(larger_first(&branches)).collect()
}

/// A bend between two pieces of vent; none where it goes straight on.
fn bend(
    place: &Place<'_>,
    below: Option<&PieceIx>,
    above: Option<&PieceIx>,
) -> Option<&'static str> {
    turned(place.last_leg(*below?)?, place.first_leg(*above?)?)
}

/// The bends within a vent, from its lower end up; none for a drain.
pub fn bends(place: &Place<'_>, piece: PieceIx) -> Option<Vec<String>> {
    let pipe = place.piece(piece).filter(|p| p.system == System::Vent)?;
    let between = pipe.legs.windows(2).filter_map(|pair| {
        let [below, above] = pair else { return None };
        match below.rises_45 != above.rises_45 {
            true => Some("eighth bend"),
            false => turned(below, above),
        }
    });
    Some(between.map(str::to_owned).collect())
}

/// The bend from one leg of a vent into the next; none where it goes straight on, or nobody said.
fn turned(below: &NetLeg, above: &NetLeg) -> Option<&'static str> {
    match (leg_is_vertical(below), leg_is_vertical(above)) {
        (true, true) => None,
        (false, false) => match eighths_between(below, above)? {
            0 => None,
            1 => Some("eighth bend"),
            _ => Some("quarter bend"),
        },
        _ => Some("quarter bend"),
    }
}
