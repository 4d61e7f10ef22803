//! The phases in which the work is done, and what is bought in each.

use crate::job::Lies;
use crate::levels::bores::{self, Part, part};
use crate::levels::falls::leg_is_vertical;
use crate::levels::lies;
use crate::network::{JointIx, Network, PieceIx, RunKind, State};
use crate::solve::Work;

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

    /// The phase in which a pipe is laid. A fixture's own drain that does not rise is laid with
    /// the drain that it joins; what of a building drain stands above its slab is laid with the
    /// drains in the building.
    pub fn of(work: &Work<'_>, piece: PieceIx) -> Phase {
        match part(work.net, piece) {
            Part::Below if stands_above(work, piece) => Phase::Drains,
            Part::Below => Phase::Underground,
            Part::Vents => Phase::Vents,
            Part::Above => match beside(work.net, piece).map(|below| Phase::of(work, below)) {
                Some(Phase::Underground) => Phase::Underground,
                _ => Phase::Drains,
            },
        }
    }
}

/// Whether a piece of a building drain stands above the slab that the drain lies under: upright,
/// with its upper end above the slab, or the whole of it where nobody says how it lies.
fn stands_above(work: &Work<'_>, piece: PieceIx) -> bool {
    let (net, levels) = (work.net, &work.solution.levels.pieces);
    let Some((p, level)) = net.graph.edge_weight(piece).zip(levels.get(&piece)) else {
        return false;
    };
    let Some((Lies::UnderSlab, floor)) = lies(work.job, net, piece, 0) else {
        return false;
    };
    let Some(slab) = work.job.floors.get(floor.0).map(|f| f.level) else {
        return false;
    };
    let upright = !p.legs.is_empty() && p.legs.iter().all(leg_is_vertical);
    let said = p.legs.iter().any(|l| l.lies.is_some());
    match upright {
        true => level.invert_up.is_some_and(|up| up > slab),
        false => !said && level.invert_down.is_some_and(|down| down >= slab),
    }
}

/// The material of a pipe, as the job calls it.
pub(super) fn material<'a>(work: &Work<'a>, piece: PieceIx) -> &'a str {
    bores::material(work.job, work.net, piece)
}

/// What a fixture's own drain flows into, where it lies level.
fn beside(net: &Network, piece: PieceIx) -> Option<PieceIx> {
    let p = net.graph.edge_weight(piece)?;
    let own = net.runs.get(p.run.0)?.kind;
    let own = matches!(own, RunKind::FixtureDrain | RunKind::Arm);
    let level = !p.legs.iter().any(leg_is_vertical);
    (own && level).then_some(())?;
    net.downstream(net.to(piece)?)
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
