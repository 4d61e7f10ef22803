//! The order of water and of air: every piece after all pieces that feed it.

use std::collections::VecDeque;

use petgraph::visit::{EdgeRef, NodeIndexable};

use crate::network::{Network, PieceIx, System};

/// Pieces of one system, each after every piece that enters its `from` joint.
///
/// For waste that is from the traps down to the exits, for vents from the drains up to the open
/// air. A network is promised to have no cycle; pieces of one would be left out, not looped on.
///
/// Time: in proportion to the pieces and joints.
pub fn order(net: &Network, system: System) -> Vec<PieceIx> {
    let graph = &net.graph;
    let mut waiting = vec![0usize; graph.node_bound()];
    for piece in graph.edge_indices() {
        if graph[piece].system == system
            && let Some(to) = net.to(piece)
            && let Some(n) = waiting.get_mut(to.index())
        {
            *n += 1;
        }
    }
    let mut ready: VecDeque<_> = graph
        .node_indices()
        .filter(|j| waiting.get(j.index()) == Some(&0))
        .collect();
    let mut ordered = Vec::with_capacity(graph.edge_count());
    let mut out: Vec<PieceIx> = Vec::new();
    while let Some(joint) = ready.pop_front() {
        let leaving = graph.edges(joint).filter(|e| e.weight().system == system);
        out.extend(leaving.map(|e| e.id()));
        out.sort_unstable();
        for piece in out.drain(..) {
            ordered.push(piece);
            let Some(to) = net.to(piece) else { continue };
            if let Some(n) = waiting.get_mut(to.index()) {
                *n = n.saturating_sub(1);
                if *n == 0 {
                    ready.push_back(to);
                }
            }
        }
    }
    ordered
}
