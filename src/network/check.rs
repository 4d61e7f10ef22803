//! What must hold about every network, checked one promise at a time.

use std::collections::BTreeSet;

use petgraph::visit::{EdgeRef, IntoEdgeReferences};

use super::model::{JointKind, Network, PieceIx, RunKind, System, VentMethod};

/// The promises of the [model](super::model) that a finished network breaks, in words; empty when
/// it keeps them all.
pub fn check(net: &Network) -> Vec<String> {
    let mut broken = Vec::new();
    ids(net, &mut broken);
    waste(net, &mut broken);
    vents(net, &mut broken);
    traps(net, &mut broken);
    runs(net, &mut broken);
    broken
}

fn ids(net: &Network, broken: &mut Vec<String>) {
    let mut pieces = BTreeSet::new();
    for e in (&net.graph).edge_references() {
        let piece = e.weight();
        if !pieces.insert(&piece.id) {
            broken.push(format!("two pieces are called {}", piece.id));
        }
        let run = net.runs.get(piece.run.0).map_or("", |r| r.id.as_str());
        if piece.id != run && !piece.id.starts_with(&format!("{run}.")) {
            broken.push(format!(
                "{} does not bear the name of its run {run}",
                piece.id
            ));
        }
        if piece.legs.is_empty() {
            broken.push(format!("{} has no leg", piece.id));
        }
        let sewer = net
            .runs
            .get(piece.run.0)
            .is_some_and(|r| r.kind == RunKind::Sewer);
        let up = &net.graph[e.source()];
        let owns = match up.kind {
            JointKind::Trap(_) | JointKind::Basin | JointKind::Exit => true,
            _ => piece.system == System::Vent || up.id == piece.id,
        };
        if !owns && !sewer {
            broken.push(format!("joint {} is upstream of {}", up.id, piece.id));
        }
    }
    let mut joints = BTreeSet::new();
    for n in net.graph.node_weights() {
        if n.id.is_empty() || !joints.insert(&n.id) {
            broken.push(format!("two joints are called `{}`", n.id));
        }
    }
}

fn is_vent(kind: &JointKind) -> bool {
    matches!(
        kind,
        JointKind::VentJoint(_) | JointKind::Terminal(_) | JointKind::Valve(_)
    )
}

fn waste(net: &Network, broken: &mut Vec<String>) {
    for n in net.graph.node_indices() {
        let joint = &net.graph[n];
        let out = net
            .graph
            .edges(n)
            .filter(|e| e.weight().system == System::Waste)
            .count();
        let wanted = match joint.kind {
            JointKind::Exit => out,
            JointKind::Tap => 0,
            ref k if is_vent(k) => 0,
            _ => 1,
        };
        if out != wanted {
            broken.push(format!("{out} drains leave {}, not {wanted}", joint.id));
        }
        if matches!(joint.kind, JointKind::Trap(_))
            && net
                .graph
                .edges_directed(n, petgraph::Incoming)
                .next()
                .is_some()
        {
            broken.push(format!("something enters the trap {}", joint.id));
        }
        // Downstream to an exit or a basin, in no more steps than there are pieces.
        if is_vent(&joint.kind) {
            continue;
        }
        let (mut at, mut left) = (n, net.graph.edge_count() + 1);
        while !matches!(
            net.graph[at].kind,
            JointKind::Exit | JointKind::Basin | JointKind::Tap
        ) {
            let Some(next) = net.downstream(at).and_then(|p| net.to(p)) else {
                broken.push(format!("{} does not reach an exit", joint.id));
                break;
            };
            if left == 0 {
                broken.push(format!("{} flows in a circle", joint.id));
                break;
            }
            left -= 1;
            at = next;
        }
    }
}

fn vents(net: &Network, broken: &mut Vec<String>) {
    for n in net.graph.node_indices() {
        let joint = &net.graph[n];
        let out: Vec<_> = net
            .graph
            .edges(n)
            .filter(|e| e.weight().system == System::Vent)
            .collect();
        let wanted = match joint.kind {
            JointKind::VentJoint(_) => 1..=1,
            JointKind::Terminal(_) | JointKind::Valve(_) => 0..=0,
            _ => 0..=1,
        };
        if !wanted.contains(&out.len()) {
            broken.push(format!("{} vents leave {}", out.len(), joint.id));
        }
        if out.is_empty() {
            continue;
        }
        let (mut at, mut left) = (n, net.graph.edge_count() + 1);
        while !matches!(
            net.graph[at].kind,
            JointKind::Terminal(_) | JointKind::Valve(_)
        ) {
            let mut up = net
                .graph
                .edges(at)
                .filter(|e| e.weight().system == System::Vent);
            let Some(next) = up.next().map(|e| e.target()) else {
                broken.push(format!(
                    "the vent from {} ends at {}",
                    joint.id, net.graph[at].id
                ));
                break;
            };
            if left == 0 {
                broken.push(format!("the vent from {} goes in a circle", joint.id));
                break;
            }
            left -= 1;
            at = next;
        }
    }
    // One place in the building, one joint.
    let mut places = BTreeSet::new();
    for joint in net.graph.node_weights() {
        if let JointKind::VentJoint(at) | JointKind::Terminal(at) | JointKind::Valve(at) =
            joint.kind
            && !places.insert(format!("{at:?}"))
        {
            broken.push(format!("another vent joint stands where {} does", joint.id));
        }
    }
}

fn traps(net: &Network, broken: &mut Vec<String>) {
    for (i, trap) in net.traps.iter().enumerate() {
        if trap.fixture != i {
            broken.push(format!("trap {i} is that of fixture {}", trap.fixture));
        }
        if trap.vent == VentMethod::Indirect {
            if trap.joint.is_some() || trap.arm.is_some() {
                broken.push(format!("the indirect waste {i} has a trap"));
            }
            continue;
        }
        let name = trap.joint.map_or("?", |j| net.graph[j].id.as_str());
        if trap.joint.is_none() || trap.arm.is_none() || trap.vent_fitting.is_none() {
            broken.push(format!("trap {i} is not connected"));
        }
        if trap.arm.and_then(|a| net.to(a)) != trap.vent_fitting {
            broken.push(format!(
                "the arm of {name} does not end at its vent fitting"
            ));
        }
        if trap.vent == VentMethod::None {
            broken.push(format!("{name} has no vent"));
        }
        if trap.vent_piece.is_none() && !trap.vent.by_stack() {
            broken.push(format!("no dry vent serves {name}"));
        }
    }
}

fn runs(net: &Network, broken: &mut Vec<String>) {
    let mut listed: BTreeSet<PieceIx> = BTreeSet::new();
    for (r, run) in net.runs.iter().enumerate() {
        if run.pieces.is_empty() {
            broken.push(format!("run {} has no piece", run.id));
        }
        for &p in &run.pieces {
            let of = net.graph.edge_weight(p).map(|p| p.run.0);
            if of != Some(r) || !listed.insert(p) {
                broken.push(format!("run {} lists a piece that is not its own", run.id));
            }
        }
        let drains = matches!(
            run.kind,
            RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch | RunKind::Stack
        );
        if drains {
            for pair in run.pieces.windows(2) {
                if let [a, b] = pair
                    && net.from(*a) != net.to(*b)
                {
                    broken.push(format!("the pieces of {} do not follow each other", run.id));
                }
            }
        }
    }
    if listed.len() != net.graph.edge_count() {
        broken.push("a piece is in no run".to_owned());
    }
    let mut ids = BTreeSet::new();
    for run in &net.runs {
        if !ids.insert(&run.id) {
            broken.push(format!("two runs are called {}", run.id));
        }
    }
}
