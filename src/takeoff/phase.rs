//! The phases in which the work is done, and what is bought in each.

use crate::levels::bores::{self, Part};
use crate::levels::ground;
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

    /// The phase in which a pipe is laid, by where it lies.
    pub fn of(work: &Work<'_>, piece: PieceIx) -> Phase {
        match ground(work, piece) {
            Part::Below => Phase::Underground,
            Part::Above => Phase::Drains,
            Part::Vents => Phase::Vents,
        }
    }
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
