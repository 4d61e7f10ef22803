//! Fittings of vents.

use super::at::Place;
use super::model::{Does, Fitting};
use crate::levels::falls::leg_is_vertical;
use crate::network::{JointIx, JointKind, NetLeg, PieceIx, System};
use crate::units::{Heading, PipeSize};

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
        to_vent: None,
        turn: None,
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

/// The bends within a vent, from its lower end up; none for a drain.
pub fn bends(place: &Place<'_>, piece: PieceIx) -> Option<Vec<String>> {
    let pipe = place.piece(piece).filter(|p| p.system == System::Vent)?;
    let between = pipe.legs.windows(2).filter_map(|pair| {
        let [below, above] = pair else { return None };
        let upright = (leg_is_vertical(below), leg_is_vertical(above));
        let plan = |l: &NetLeg| l.heading.and_then(Heading::eighth);
        match (below.rises_45 != above.rises_45, upright) {
            (true, _) => Some("eighth bend"),
            (false, (true, true)) => None,
            (false, (false, false)) => {
                let apart = plan(below).zip(plan(above)).map(|(a, b)| a.abs_diff(b));
                match apart.map(|a| a.min(8 - a))? {
                    0 => None,
                    1 => Some("eighth bend"),
                    _ => Some("quarter bend"),
                }
            }
            _ => Some("quarter bend"),
        }
    });
    Some(between.map(str::to_owned).collect())
}
