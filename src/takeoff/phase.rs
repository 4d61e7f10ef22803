//! The phases in which the work is done, and what is bought in each.

use crate::job::Lies;
use crate::levels::bores::{self, Part};
use crate::levels::falls::leg_is_vertical;
use crate::levels::{ground, lies};
use crate::network::{JointIx, Network, PieceIx, RunKind, State, System};
use crate::solve::Work;
use crate::units::Length;

/// A phase of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Phase {
    /// Drains below ground, before the slab is poured.
    Underground,
    /// Drains in the building, from the lowest up.
    Drains,
    /// Vents.
    Vents,
}

impl Phase {
    /// All, in the order of the work.
    pub const ALL: [Phase; 3] = [Phase::Underground, Phase::Drains, Phase::Vents];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Phase::Underground => "underground",
            Phase::Drains => "drains",
            Phase::Vents => "vents",
        }
    }

    /// The phase in which a pipe is laid, by where it lies.
    pub fn of(work: &Work<'_>, piece: PieceIx) -> Phase {
        match ground(work, piece) {
            Part::Below => Phase::Underground,
            Part::Above => Phase::Drains,
            Part::Vents => Phase::Vents,
        }
    }
}

/// What of a pipe lies in the ground.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Buried {
    /// Of its level legs.
    pub level: Length,
    /// Of its upright legs.
    pub upright: Length,
}

impl Buried {
    /// Both together.
    pub fn whole(self) -> Length {
        self.level + self.upright
    }
}

/// What of a pipe that rises from below ground lies below the finished floor of the slab there: it is
/// laid with the drains below ground and stubbed up through the slab. None where it does not rise from
/// there, or where that is not known.
pub(super) fn buried(work: &Work<'_>, piece: PieceIx) -> Option<Buried> {
    let (net, levels) = (work.net, &work.solution.levels.pieces);
    let p = net.graph.edge_weight(piece)?;
    if Phase::of(work, piece) == Phase::Underground {
        return None;
    }
    let (from, to) = net.graph.edge_endpoints(piece)?;
    let foot = if p.system == System::Waste { to } else { from };
    let drain = net.downstream(foot)?;
    if Phase::of(work, drain) != Phase::Underground {
        return None;
    }
    let last = net.graph.edge_weight(drain)?.legs.len().saturating_sub(1);
    let (Lies::UnderSlab, floor) = lies(work.job, net, drain, last)? else {
        return None;
    };
    let floor = work.job.floors.get(floor.0)?.level;
    let bore = bores::bore(work.job, net, drain, work.size(drain)?);
    let mut room = floor - (levels.get(&drain)?.invert_up? + bore * 0.5);
    let whole = work.length(piece)?;
    // Of what nobody measured one leg is as long as it has to be.
    let known: Length = p.legs.iter().filter_map(|l| l.length).sum();
    let fall = levels.get(&piece).and_then(|l| l.fall);
    let mut own = Buried::default();
    for leg in &p.legs {
        if room <= Length::ZERO {
            break;
        }
        let length = leg.length.unwrap_or((whole - known).max(Length::ZERO));
        match leg_is_vertical(leg) {
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

/// The material of a pipe, as the job calls it.
pub(super) fn material<'a>(work: &Work<'a>, piece: PieceIx) -> &'a str {
    bores::material(work.job, work.net, piece)
}

/// Pipes that are laid by this job: what exists, and the sewer beyond the exit, which others lay,
/// are not.
pub(super) fn laid<'a>(work: &Work<'a>) -> impl Iterator<Item = PieceIx> + 'a {
    let net = work.net;
    net.graph.edge_indices().filter(move |p| is_laid(net, *p))
}

pub(super) fn is_laid(net: &Network, piece: PieceIx) -> bool {
    let Some(p) = net.graph.edge_weight(piece) else {
        return false;
    };
    let sewer = net
        .runs
        .get(p.run.0)
        .is_some_and(|r| r.kind == RunKind::Sewer);
    p.state != State::Existing && !sewer
}

/// The pipes of this job that meet at a joint, the one that leaves it first.
pub(super) fn at(net: &Network, joint: JointIx) -> Vec<PieceIx> {
    use petgraph::Direction::{Incoming, Outgoing};
    use petgraph::visit::EdgeRef;
    let mut all = Vec::new();
    for way in [Outgoing, Incoming] {
        let mut here: Vec<PieceIx> = net
            .graph
            .edges_directed(joint, way)
            .map(|e| e.id())
            .collect();
        here.sort_unstable();
        // Of a drain the waste goes before the vent that leaves it.
        here.sort_by_key(|p| net.graph[*p].system);
        all.extend(here);
    }
    all.retain(|p| is_laid(net, *p));
    all
}
