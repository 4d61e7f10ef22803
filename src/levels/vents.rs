//! Lengths of vents: as the legs say, or as their two ends lie apart.

use super::bores::Bores;
use super::centres::Centres;
use super::legs::{developed, length};
use super::model::PieceLevels;
use crate::codebook::Book;
use crate::job::{FloorIx, Job};
use crate::network::{
    JointIx, JointKind, Network, Piece, PieceIx, System, Table, VentAt, VentLevel,
};
use crate::sizing::Sizing;
use crate::sizing::traps::kind_of;
use crate::units::{Heading, Length};

/// Developed length of each vent piece whose length is known.
///
/// A rise that nobody gave a length is worked out where both its ends have a level: the middle of a
/// drain; above the rims of a floor, the highest of them and the book's least height of a
/// connection over it; the roof and how far a terminal stands above it.
pub fn vent_lengths(
    job: &Job,
    net: &Network,
    book: &Book,
    (sizing, drains): (&Sizing, &Table<PieceIx, PieceLevels>),
) -> Table<PieceIx, Length> {
    let bores = Bores::new(job, net);
    let centres = Centres {
        net,
        sizing,
        bores: &bores,
        levels: drains,
    };
    let heights = Heights::of(job, book);
    net.graph
        .edge_indices()
        .filter_map(|e| {
            let piece = net.graph.edge_weight(e)?;
            (piece.system == System::Vent).then_some(())?;
            let rise = || {
                let (from, to) = net.graph.edge_endpoints(e)?;
                let level = |joint| {
                    let vent = !net.vents_into(joint).is_empty();
                    let drain = || heights.at(net, drains, joint);
                    match vent {
                        true => drain(),
                        false => centres.at(joint).or_else(drain),
                    }
                };
                risen(piece, level(to)? - level(from)?)
            };
            Some((e, length(piece).or_else(rise)?))
        })
        .collect()
}

/// Length of a piece that climbs so far, if all that is not known of it is how long one upright
/// leg is.
fn risen(piece: &Piece, climb: Length) -> Option<Length> {
    let mut open = piece.legs.iter().filter(|l| l.length.is_none());
    let (one, None) = (open.next()?, open.next()) else {
        return None;
    };
    (one.heading == Some(Heading::Up)).then_some(())?;
    let mut left = climb;
    let mut known = Length::ZERO;
    for leg in &piece.legs {
        let Some(length) = leg.length else { continue };
        known += developed(leg)?;
        match leg.heading {
            Some(Heading::Up) => left -= length,
            Some(Heading::Down) => left += length,
            _ if leg.rises_45 => left -= length,
            _ => {}
        }
    }
    (left > Length::ZERO).then(|| left + known)
}

/// Levels of vents that follow from the job and the book.
pub(crate) struct Heights {
    /// Above the rims of each floor.
    rims: Vec<Option<Length>>,
    /// Where relief vents join, past each floor.
    reliefs: Vec<Option<Length>>,
    /// Where terminals end.
    roof: Option<Length>,
}

impl Heights {
    /// Works them out for a job.
    pub fn of(job: &Job, book: &Book) -> Heights {
        let tie_in = book.tie_in().value;
        let least = book.terminal().above(job.practice.frost.is_some());
        let above = job.practice.above_roof.unwrap_or(least.value);
        let mut rims: Vec<Option<Length>> = vec![None; job.floors.len()];
        let mut open = vec![false; job.floors.len()];
        let only = (job.floors.len() == 1).then_some(FloorIx(0));
        for f in &job.fixtures {
            let Some(FloorIx(i)) = f.floor.or(only) else {
                continue;
            };
            let (Some(floor), Some(highest), Some(open)) =
                (job.floors.get(i), rims.get_mut(i), open.get_mut(i))
            else {
                continue;
            };
            match f.rim.or_else(|| kind_of(f).map(|k| k.default_rim.height)) {
                Some(rim) => {
                    let level = floor.level + rim + tie_in;
                    *highest = Some(highest.map_or(level, |h| h.max(level)));
                }
                None => *open = true,
            }
        }
        // One rim that nobody knows could be the highest.
        for (rim, open) in rims.iter_mut().zip(open) {
            if open {
                *rim = None;
            }
        }
        let relief = book.vent_stack_rule().and_then(|r| r.relief.as_ref());
        let past = |f: &crate::job::Floor| Some(f.level + relief?.head.value);
        Heights {
            rims,
            reliefs: job.floors.iter().map(past).collect(),
            roof: job.roof.as_ref().map(|r| r.value + above),
        }
    }

    /// The level of a joint, if it follows.
    pub fn at(
        &self,
        net: &Network,
        drains: &Table<PieceIx, PieceLevels>,
        joint: JointIx,
    ) -> Option<Length> {
        match net.graph.node_weight(joint)?.kind {
            JointKind::VentJoint(VentAt { level, .. })
            | JointKind::Terminal(VentAt { level, .. }) => match level {
                VentLevel::AboveRim(FloorIx(f)) => self.rims.get(f).copied().flatten(),
                VentLevel::Roof => self.roof,
                VentLevel::Relief(FloorIx(f)) => self.reliefs.get(f).copied().flatten(),
                VentLevel::Foot | VentLevel::UnderFloor(_) | VentLevel::UnderCounter(_) => None,
            },
            JointKind::Valve(_) => None,
            _ => {
                let below = net.downstream(joint);
                let above =
                    || (net.upstream(joint).iter()).find_map(|p| drains.get(p)?.invert_down);
                below.and_then(|p| drains.get(&p)?.invert_up).or_else(above)
            }
        }
    }
}
