//! What rises from the drains below ground: it is laid with them, stubbed up through the slab and
//! capped at the finished floor.

use super::bores::{Part, bore};
use super::falls::leg_is_vertical;
use super::{ground, lies};
use crate::job::Lies;
use crate::network::{JointIx, Network, PieceIx, System};
use crate::solve::Work;
use crate::units::Length;

/// What of a pipe lies below the finished floor of the slab that it rises through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stub {
    /// Of its level legs.
    pub level: Length,
    /// Of its upright legs.
    pub upright: Length,
    /// The level of that floor above zero.
    pub floor: Length,
}

impl Stub {
    /// Both together.
    pub fn whole(self) -> Length {
        self.level + self.upright
    }
}

/// The foot of a pipe that rises, drain or vent.
pub fn foot(net: &Network, piece: PieceIx) -> Option<JointIx> {
    let (from, to) = net.graph.edge_endpoints(piece)?;
    Some(match net.graph.edge_weight(piece)?.system {
        System::Waste => to,
        System::Vent => from,
    })
}

/// The drain that carries on at the foot of a pipe that rises, drain or vent.
pub fn carried_by(net: &Network, piece: PieceIx) -> Option<PieceIx> {
    net.downstream(foot(net, piece)?)
}

/// Whether a pipe rises from a drain below ground, and does not lie there itself.
pub fn rises(work: &Work<'_>, piece: PieceIx) -> bool {
    let below = |p| ground(work, p) == Part::Below;
    !below(piece) && carried_by(work.net, piece).is_some_and(below)
}

/// How far the middle of a drain's upper end lies below a level above zero, if its level is known.
pub fn below(work: &Work<'_>, drain: PieceIx, level: Length) -> Option<Length> {
    let bore = bore(work.job, work.net, drain, work.size(drain)?);
    let invert = work.solution.levels.pieces.get(&drain)?.invert_up?;
    Some(level - (invert + bore * 0.5))
}

/// The stub of a pipe that rises from below ground. None where it does not, or where its foot or the
/// length of a level leg below the floor is not known.
pub fn stub(work: &Work<'_>, piece: PieceIx) -> Option<Stub> {
    if !rises(work, piece) {
        return None;
    }
    let (net, levels) = (work.net, &work.solution.levels.pieces);
    let p = net.graph.edge_weight(piece)?;
    let drain = carried_by(net, piece)?;
    let last = net.graph.edge_weight(drain)?.legs.len().saturating_sub(1);
    let (Lies::UnderSlab, floor) = lies(work.job, net, drain, last)? else {
        return None;
    };
    let floor = work.job.floors.get(floor.0)?.level;
    let mut room = below(work, drain, floor)?;
    let whole = work.length(piece);
    // Of what nobody measured one leg is as long as it has to be.
    let known: Length = p.legs.iter().filter_map(|l| l.length).sum();
    let fall = levels.get(&piece).and_then(|l| l.fall);
    let mut own = Stub {
        level: Length::ZERO,
        upright: Length::ZERO,
        floor,
    };
    for leg in &p.legs {
        if room <= Length::ZERO {
            break;
        }
        let upright = leg_is_vertical(leg);
        let length = leg.length;
        let length = length.or_else(|| whole.map(|w| (w - known).max(Length::ZERO)));
        // What rises out of the ground reaches the floor at least, however far it goes.
        let length = length.or(upright.then_some(room))?;
        match upright {
            true => {
                own.upright += length.min(room);
                room -= length;
            }
            false => {
                own.level += length;
                room -= fall.map_or(Length::ZERO, |f| f.over(length));
            }
        }
    }
    (own.whole() > Length::ZERO).then_some(own)
}
