//! The drains of a network by themselves.

use crate::network::{Column, JointIx, JointKind, Network, PieceIx, System};

/// The network without its vents; what is left keeps its indices and ids.
pub fn drains_only(net: &Network) -> Network {
    let mut drains = net.clone();
    let vents: Vec<PieceIx> = (net.graph.edge_indices())
        .filter(|p| net.graph[*p].system == System::Vent)
        .collect();
    for piece in vents {
        drains.graph.remove_edge(piece);
    }
    let upper: Vec<JointIx> = (net.graph.node_indices())
        .filter(|j| is_of_vents(net, *j))
        .collect();
    for joint in upper {
        drains.graph.remove_node(joint);
    }
    let Network { graph, runs, .. } = &mut drains;
    for run in runs {
        run.pieces.retain(|p| graph.edge_weight(*p).is_some());
    }
    drains.vent_stacks.clear();
    for trap in &mut drains.traps {
        trap.vent_piece = None;
    }
    drains
}

/// Whether a joint is one of vents alone.
fn is_of_vents(net: &Network, joint: JointIx) -> bool {
    match net.graph[joint].kind {
        JointKind::VentJoint(at) | JointKind::Terminal(at) | JointKind::Valve(at) => {
            matches!(
                at.column,
                Column::Over(_) | Column::Beside(_) | Column::Riser(_)
            )
        }
        _ => false,
    }
}
