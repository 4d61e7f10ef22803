//! Leaves storeys out of a network: what went on from them goes on from the storey that is drawn.

use std::collections::{BTreeMap, BTreeSet};

use petgraph::Direction;
use petgraph::visit::EdgeRef;

use super::owners::Owners;
use super::{Range, Typical};
use crate::network::{JointIx, JointKind, Network, PieceIx, RunIx, System, TrapIx};

/// Leaves a range of floors out of a stack, unless some pipe cannot be drawn in place of several.
pub(super) fn fold(typical: &mut Typical, owners: &Owners, stack: RunIx, range: Range) {
    let inside: BTreeSet<JointIx> = owners.within(stack, range.first..=range.last).collect();
    let Some(meet) = chains(&typical.net, &inside) else {
        return;
    };
    for Chain {
        bottom,
        start,
        top,
        end,
    } in meet
    {
        if rewire(&mut typical.net, top, start, end).is_some() {
            typical.broken.insert(top, bottom);
            typical.past.insert(top, range);
        }
    }
    let mut traps: BTreeSet<TrapIx> = BTreeSet::new();
    for joint in inside {
        let gone = typical.net.graph.remove_node(joint).map(|j| j.kind);
        traps.extend(match gone {
            Some(JointKind::Trap(t)) => Some(t),
            _ => None,
        });
    }
    leave_traps(&mut typical.net, &traps);
    typical.ranges.entry(stack).or_default().push(range);
}

/// Pipes one above the other through what is left out.
struct Chain {
    /// The lowest, and the joint that it starts from.
    bottom: PieceIx,
    start: JointIx,
    /// The highest, and the joint that it leads to.
    top: PieceIx,
    end: JointIx,
}

/// The chains through some joints; none where a pipe leads in that does not lead out, or out that
/// does not lead in.
fn chains(net: &Network, inside: &BTreeSet<JointIx>) -> Option<Vec<Chain>> {
    let (mut low, mut high) = (BTreeMap::new(), BTreeMap::new());
    for &joint in inside {
        for direction in [Direction::Incoming, Direction::Outgoing] {
            for e in net.graph.edges_directed(joint, direction) {
                // Upward: against the flow of waste, with that of air.
                let (below, above) = match e.weight().system {
                    System::Waste => (e.target(), e.source()),
                    System::Vent => (e.source(), e.target()),
                };
                match (inside.contains(&below), inside.contains(&above)) {
                    (false, true) => low.insert(e.id(), below),
                    (true, false) => high.insert(e.id(), above),
                    _ => None,
                };
            }
        }
    }
    let chain = |(&bottom, &start): (&PieceIx, &JointIx)| {
        let top = follow(net, |j| inside.contains(&j), bottom)?;
        Some(Chain {
            bottom,
            start,
            top,
            end: *high.get(&top)?,
        })
    };
    let chains: Vec<Chain> = low.iter().map(chain).collect::<Option<_>>()?;
    (chains.len() == high.len()).then_some(chains)
}

/// The pipe by which a run that enters a range of floors by one pipe leaves it.
fn follow(net: &Network, inside: impl Fn(JointIx) -> bool, bottom: PieceIx) -> Option<PieceIx> {
    let run = net.graph[bottom].run;
    let pieces = &net.runs.get(run.0)?.pieces;
    let at = pieces.iter().position(|p| *p == bottom)?;
    let rest = pieces.get(at + 1..)?.iter();
    rest.copied().find(|p| {
        let ends = (net.from(*p).map(&inside), net.to(*p).map(&inside));
        ends.0 != ends.1
    })
}

/// Lets a pipe start at another lower joint; its index stays as it is.
fn rewire(net: &mut Network, piece: PieceIx, low: JointIx, high: JointIx) -> Option<()> {
    let weight = net.graph.remove_edge(piece)?;
    let (from, to) = match weight.system {
        System::Waste => (high, low),
        System::Vent => (low, high),
    };
    // A freed index is taken up again by the next pipe.
    (net.graph.add_edge(from, to, weight) == piece).then_some(())
}

/// Fixtures that are not drawn, nor what stands over them.
fn leave_traps(net: &mut Network, traps: &BTreeSet<TrapIx>) {
    for (i, t) in net.traps.iter_mut().enumerate() {
        if traps.contains(&TrapIx(i)) || t.over.is_some_and(|o| traps.contains(&o)) {
            t.joint = None;
            t.arm = None;
            t.vent_fitting = None;
            t.vent_piece = None;
            t.over = None;
        }
    }
}
