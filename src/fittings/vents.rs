//! Fittings of vents.

use super::at::Place;
use super::model::{Does, Fitting};
use crate::levels::falls::leg_is_vertical;
use crate::network::{JointIx, JointKind, PieceIx};
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
    let mut sizes: Vec<PipeSize> = above
        .iter()
        .chain(&below)
        .filter_map(|p| place.size(*p))
        .collect();
    sizes.sort_unstable_by(|a, b| b.cmp(a));
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
    })
}

/// A bend between two pieces of vent; none where it goes straight on.
fn bend(
    place: &Place<'_>,
    below: Option<&PieceIx>,
    above: Option<&PieceIx>,
) -> Option<&'static str> {
    let last = place.last_leg(*below?)?;
    let first = place.first_leg(*above?)?;
    match (leg_is_vertical(last), leg_is_vertical(first)) {
        (true, true) => None,
        (false, false) => match place.turn(*below?, *above?) {
            Some(0) | None => None,
            Some(1) => Some("eighth bend"),
            Some(_) => Some("quarter bend"),
        },
        _ => Some("quarter bend"),
    }
}
