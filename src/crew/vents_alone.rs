//! The vents of a network with no more of the drains than they rise from.

use std::collections::BTreeSet;

use crate::network::{JointIx, Network, PieceIx, System};

/// The network without the drains that no vent rises from, and without the arms of fixtures: these
/// stand on the sheets of drains. What is left keeps its indices and ids.
pub fn vents_alone(net: &Network) -> Network {
    let mut keep: BTreeSet<PieceIx> = BTreeSet::new();
    let vented = net
        .graph
        .node_indices()
        .filter(|j| !net.vents_from(*j).is_empty() && net.vents_into(*j).is_empty());
    for joint in vented {
        let mut at = Some(joint);
        while let Some(down) = at.and_then(|j| net.downstream(j)) {
            if !keep.insert(down) {
                break;
            }
            at = net.to(down);
        }
    }
    let mut vents = net.clone();
    let others: Vec<PieceIx> = (net.graph.edge_indices())
        .filter(|p| net.graph[*p].system == System::Waste && !keep.contains(p))
        .collect();
    for piece in others {
        vents.graph.remove_edge(piece);
    }
    let alone: Vec<JointIx> = (vents.graph.node_indices())
        .filter(|j| vents.graph.neighbors_undirected(*j).next().is_none())
        .collect();
    for joint in alone {
        vents.graph.remove_node(joint);
    }
    let Network {
        graph, runs, traps, ..
    } = &mut vents;
    for run in runs {
        run.pieces.retain(|p| graph.edge_weight(*p).is_some());
    }
    for trap in traps {
        trap.joint = trap.joint.filter(|j| graph.contains_node(*j));
        trap.arm = trap.arm.filter(|p| graph.edge_weight(*p).is_some());
        trap.over = trap.over.filter(|_| trap.joint.is_some());
    }
    vents
}
