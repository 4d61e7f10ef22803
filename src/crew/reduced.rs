//! A network with fewer pipes: only its drains, or its vents with no more of the drains than they rise
//! from. What is left keeps its indices and ids.

use std::collections::BTreeSet;

use crate::job::FloorIx;
use crate::network::{JointIx, JointKind, Network, PieceIx, System};

/// The network without its vents.
pub fn drains_only(net: &Network) -> Network {
    let mut drains = keeping(net, |p| net.graph[p].system == System::Waste);
    drains.vent_stacks.clear();
    for trap in &mut drains.traps {
        trap.vent_piece = None;
    }
    drains
}

/// The network without the drains that no vent rises from, and without the arms of fixtures: these
/// stand on the sheets of drains. An exit whose drains have no vent at all keeps them: it is a place
/// to begin with, and its sheets show no vent.
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
    for &exit in &net.exits {
        let own = net.upstream(exit);
        if !own.iter().any(|p| keep.contains(p)) {
            let mut next = own;
            while let Some(piece) = next.pop() {
                keep.insert(piece);
                next.extend(net.from(piece).into_iter().flat_map(|j| net.upstream(j)));
            }
        }
    }
    let mut vents = keeping(net, |p| {
        net.graph[p].system == System::Vent || keep.contains(&p)
    });
    // What is left of a stack still stands on its floors, though nothing enters it there any more.
    let stands = |j: JointIx| {
        let open = floor_at(&vents, j).is_none() && net.graph[j].kind == JointKind::StackJunction;
        open.then(|| floor_at(net, j)).flatten()
    };
    let joints = vents.graph.node_indices();
    let bare: Vec<(JointIx, FloorIx)> = joints.filter_map(|j| Some((j, stands(j)?))).collect();
    let Network { graph, traps, .. } = &mut vents;
    for (joint, floor) in bare {
        graph[joint].kind = JointKind::Bare(floor);
    }
    for trap in traps {
        trap.joint = trap.joint.filter(|j| graph.contains_node(*j));
        trap.arm = trap.arm.filter(|p| graph.edge_weight(*p).is_some());
        trap.over = trap.over.filter(|_| trap.joint.is_some());
    }
    vents
}

/// The floor of what enters a joint of a stack.
fn floor_at(net: &Network, joint: JointIx) -> Option<FloorIx> {
    let runs = net.upstream(joint).into_iter().map(|p| net.graph[p].run);
    let mut branches = runs.filter(|r| !net.is_stack(*r));
    branches.find_map(|r| net.runs.get(r.0)?.floor)
}

/// The network with only these pipes, and without the joints that have none left.
fn keeping(net: &Network, keep: impl Fn(PieceIx) -> bool) -> Network {
    let mut reduced = net.clone();
    let Network { graph, runs, .. } = &mut reduced;
    let gone: Vec<PieceIx> = graph.edge_indices().filter(|p| !keep(*p)).collect();
    let mut ends: BTreeSet<JointIx> = BTreeSet::new();
    for piece in gone {
        ends.extend(net.from(piece).into_iter().chain(net.to(piece)));
        graph.remove_edge(piece);
    }
    for joint in ends {
        if graph.neighbors_undirected(joint).next().is_none() {
            graph.remove_node(joint);
        }
    }
    for run in runs {
        run.pieces.retain(|p| graph.edge_weight(*p).is_some());
    }
    reduced
}
