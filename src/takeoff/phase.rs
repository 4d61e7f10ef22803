//! The phases in which the work is done, and what is bought in each.

use crate::levels::bores::{Part, part};
use crate::levels::falls::leg_is_vertical;
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
    /// the drain that it joins.
    pub fn of(net: &Network, piece: PieceIx) -> Phase {
        match part(net, piece) {
            Part::Below => Phase::Underground,
            Part::Vents => Phase::Vents,
            Part::Above => match beside(net, piece).map(|below| Phase::of(net, below)) {
                Some(Phase::Underground) => Phase::Underground,
                _ => Phase::Drains,
            },
        }
    }
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
