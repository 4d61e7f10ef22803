//! What is looked up in the network once: its drains as a tree, where its vents stand, which risers
//! accompany its stacks, and on which drains something stands upright.

use std::collections::{BTreeMap, BTreeSet};

use super::bands::Bands;
use super::grow::vent_at;
use super::share;
use super::tree::Tree;
use crate::job::FloorIx;
use crate::network::{Column, JointIx, Network, PieceIx, RunIx, RunKind, System, VentLevel};
use crate::units::Heading;

/// What is looked up in the network once.
pub struct Base {
    /// Its drains.
    pub tree: Tree,
    /// Vents by the joint of the drains over which they stand.
    pub over: BTreeMap<JointIx, Vec<JointIx>>,
    /// Vents by the joint of the drains beside which they stand (the loops of islands).
    pub beside: BTreeMap<JointIx, Vec<JointIx>>,
    /// The risers that accompany stacks.
    pub risers: Vec<Riser>,
    /// The risers of each stack, by its run.
    pub risers_of: BTreeMap<usize, Vec<usize>>,
    /// Drains over which vents lie, or at whose downstream end something stands upright.
    pub under: BTreeSet<PieceIx>,
}

/// A vent riser beyond the branches of a stack.
#[derive(Clone, Debug)]
pub struct Riser {
    /// Its run; risers are listed in the order of their runs.
    pub run: RunIx,
    /// The stack's run, as an index of the network.
    pub stack: usize,
    /// The joint of the drains under the lowest of its headers.
    pub over: JointIx,
    /// Its vent joints and their floors, lowest first.
    pub joints: Vec<(JointIx, FloorIx)>,
    /// For each of its floors: the vent joint over the drains that its header comes from.
    pub from: Vec<(FloorIx, JointIx)>,
    /// The joint of the drains over which its vents lead on to the open air.
    pub on: Option<JointIx>,
    /// Its own pieces.
    pub pieces: Vec<PieceIx>,
    /// Where it goes on on other sheets: below its joints, and above them.
    pub ends: Vec<(JointIx, VentLevel)>,
}

impl Base {
    /// Looks a network up.
    pub fn of(net: &Network) -> Self {
        let over = vents_by_column(net, |c| match c {
            Column::Over(j) => Some(j),
            _ => None,
        });
        let beside = vents_by_column(net, |c| match c {
            Column::Beside(j) => Some(j),
            _ => None,
        });
        let tree = Tree::of(net, &over, &beside);
        let risers = risers(net);
        let mut risers_of: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (i, riser) in risers.iter().enumerate() {
            risers_of.entry(riser.stack).or_default().push(i);
        }
        Base {
            under: under(net, &tree, &over),
            tree,
            risers,
            risers_of,
            over,
            beside,
        }
    }
}

/// Drains over which vents lie, or at whose downstream end something stands upright.
fn under(net: &Network, tree: &Tree, over: &BTreeMap<JointIx, Vec<JointIx>>) -> BTreeSet<PieceIx> {
    let mut under = share::crossed(net, tree, &Bands::default());
    let rises = |p: &PieceIx| {
        let first = net.graph[*p].legs.first().and_then(|l| l.heading);
        first.is_some_and(Heading::is_vertical)
    };
    for piece in net.graph.edge_indices() {
        let Some(to) = net.to(piece) else { continue };
        if over.contains_key(&to) || tree.up(to).iter().any(rises) {
            under.insert(piece);
        }
    }
    under
}

/// Vent joints by the joint of the drains over which they stand, lowest first.
fn vents_by_column(
    net: &Network,
    by: impl Fn(Column) -> Option<JointIx>,
) -> BTreeMap<JointIx, Vec<JointIx>> {
    let mut over: BTreeMap<JointIx, Vec<JointIx>> = BTreeMap::new();
    for joint in net.graph.node_indices() {
        if let Some(at) = vent_at(net, joint)
            && let Some(j) = by(at.column)
        {
            over.entry(j).or_default().push(joint);
        }
    }
    for list in over.values_mut() {
        list.sort_by_key(|&v| vent_at(net, v).map(|at| at.level));
    }
    over
}

/// The risers that accompany stacks, with where their headers come from.
fn risers(net: &Network) -> Vec<Riser> {
    let mut risers = Vec::new();
    let mut on: BTreeMap<RunIx, Vec<(JointIx, VentLevel)>> = BTreeMap::new();
    for joint in net.graph.node_indices() {
        if let Some(at) = vent_at(net, joint)
            && let Column::Riser(run) = at.column
        {
            on.entry(run).or_default().push((joint, at.level));
        }
    }
    for (ix, run) in net.runs.iter().enumerate() {
        if run.kind != RunKind::Riser {
            continue;
        }
        let own = on.remove(&RunIx(ix)).unwrap_or_default();
        let mut ends = own.clone();
        ends.retain(|(_, l)| matches!(l, VentLevel::Foot | VentLevel::Roof));
        let mut joints: Vec<(JointIx, FloorIx)> = Vec::new();
        for (joint, level) in own {
            if let VentLevel::AboveRim(f) = level {
                joints.push((joint, f));
            }
        }
        joints.sort_by_key(|(_, f)| *f);
        let mut from = Vec::new();
        for (v, f) in &joints {
            for e in net.graph.edges_directed(*v, petgraph::Direction::Incoming) {
                use petgraph::visit::EdgeRef;
                let source = e.source();
                if e.weight().system == System::Vent
                    && matches!(
                        vent_at(net, source).map(|a| a.column),
                        Some(Column::Over(_))
                    )
                {
                    from.push((*f, source));
                }
            }
        }
        let leads = joints.iter().flat_map(|(v, _)| net.graph.edges(*v));
        let on = leads
            .filter(|e| e.weight().system == System::Vent)
            .find_map(|e| joint_under(net, petgraph::visit::EdgeRef::target(&e)));
        let lowest = from.first().map(|(_, v)| *v);
        // Where only its top stands on this sheet, it goes by what that leads to.
        let lowest = lowest.or_else(|| {
            let mut leads = joints.iter().flat_map(|(v, _)| net.graph.edges(*v));
            leads.find_map(|e| {
                let v = petgraph::visit::EdgeRef::target(&e);
                joint_under(net, v).map(|_| v)
            })
        });
        let (Some(over), Some(stack)) = (
            lowest.and_then(|v| joint_under(net, v)),
            lowest.and_then(|v| stack_under(net, v)),
        ) else {
            continue;
        };
        risers.push(Riser {
            run: RunIx(ix),
            stack,
            over,
            joints,
            from,
            on,
            pieces: run.pieces.clone(),
            ends,
        });
    }
    risers
}

/// The joint of the drains under a vent joint.
pub fn joint_under(net: &Network, vent: JointIx) -> Option<JointIx> {
    match vent_at(net, vent)?.column {
        Column::Over(j) | Column::Beside(j) => Some(j),
        Column::Riser(_) => None,
    }
}

/// The stack that the drains under a vent joint flow into.
fn stack_under(net: &Network, vent: JointIx) -> Option<usize> {
    let mut at = joint_under(net, vent)?;
    for _ in 0..net.graph.node_count() {
        let piece = net.downstream(at)?;
        let run = net.graph[piece].run;
        if net.is_stack(run) {
            return Some(run.0);
        }
        at = net.to(piece)?;
    }
    None
}
