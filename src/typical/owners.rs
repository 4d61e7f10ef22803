//! Which stack, and which of its storeys, each joint stands on.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use crate::job::FloorIx;
use crate::network::{Column, JointIx, JointKind, Network, RunIx, RunKind, VentAt};

/// Whose a joint is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Owner {
    /// The stack.
    pub stack: RunIx,
    /// The floor; none for what stands on no storey: an offset, a cleanout, the terminal.
    pub floor: Option<FloorIx>,
}

/// The owner of every joint that stands on a stack, on its branches, or over either.
#[derive(Clone, Debug, Default)]
pub(super) struct Owners(BTreeMap<JointIx, Owner>);

impl Owners {
    /// Of a network.
    pub(super) fn of(net: &Network) -> Owners {
        let mut own = BTreeMap::new();
        for (ix, run) in net.runs.iter().enumerate() {
            if run.kind != RunKind::Stack {
                continue;
            }
            for &piece in &run.pieces {
                if let Some(joint) = net.from(piece) {
                    storey(net, RunIx(ix), joint, &mut own);
                }
            }
        }
        let feet: BTreeMap<JointIx, RunIx> =
            net.vent_stacks.iter().map(|(r, j)| (*j, *r)).collect();
        let risers = risers(net, &own);
        for v in net.graph.node_indices() {
            let Some(at) = vent_at(net, v) else { continue };
            let stack = match at.column {
                Column::Over(j) | Column::Beside(j) => own.get(&j).map(|o| o.stack),
                Column::Riser(run) => risers.get(&run).copied(),
            };
            let foot = match at.column {
                Column::Over(j) => feet.get(&j).copied(),
                _ => None,
            };
            let floor = at.level.floor();
            if let Some(stack) = stack.or(foot) {
                own.insert(v, Owner { stack, floor });
            }
        }
        Owners(own)
    }

    /// Whose a joint is; none of what stands on the building's drains.
    pub(super) fn of_joint(&self, joint: JointIx) -> Option<Owner> {
        self.0.get(&joint).copied()
    }

    /// What stands on some floors of a stack.
    pub(super) fn within(
        &self,
        stack: RunIx,
        floors: RangeInclusive<FloorIx>,
    ) -> impl Iterator<Item = JointIx> {
        let on = move |o: &Owner| o.stack == stack && o.floor.is_some_and(|f| floors.contains(&f));
        let all = self.0.iter().filter(move |(_, o)| on(o));
        all.map(|(j, _)| *j)
    }

    /// All of them, in the order of the joints.
    pub(super) fn all(&self) -> impl Iterator<Item = (JointIx, Owner)> + '_ {
        self.0.iter().map(|(j, o)| (*j, *o))
    }
}

/// Where a vent joint stands.
pub(super) fn vent_at(net: &Network, joint: JointIx) -> Option<VentAt> {
    match net.graph.node_weight(joint)?.kind {
        JointKind::VentJoint(at) | JointKind::Terminal(at) | JointKind::Valve(at) => Some(at),
        _ => None,
    }
}

/// A joint of a stack and all that enters it on its floor.
fn storey(net: &Network, stack: RunIx, joint: JointIx, own: &mut BTreeMap<JointIx, Owner>) {
    let enter = net.upstream(joint).into_iter();
    let branches: Vec<_> = enter.filter(|p| !net.is_stack(net.graph[*p].run)).collect();
    let entering = branches
        .iter()
        .find_map(|p| net.runs[net.graph[*p].run.0].floor);
    let floor = match net.graph[joint].kind {
        JointKind::Relief(f) => Some(f),
        JointKind::StackJunction => entering,
        _ => None,
    };
    own.insert(joint, Owner { stack, floor });
    let mut waiting: Vec<JointIx> = branches.iter().filter_map(|p| net.from(*p)).collect();
    while let Some(j) = waiting.pop() {
        own.insert(j, Owner { stack, floor });
        let on = net.upstream(j).into_iter();
        let on = on.filter(|p| !net.is_stack(net.graph[*p].run));
        waiting.extend(on.filter_map(|p| net.from(p)));
    }
}

/// The stack that each riser accompanies: that of the vents which lead over to it.
fn risers(net: &Network, own: &BTreeMap<JointIx, Owner>) -> BTreeMap<RunIx, RunIx> {
    let mut risers = BTreeMap::new();
    for e in net.graph.edge_indices() {
        let Some((a, b)) = net.graph.edge_endpoints(e) else {
            continue;
        };
        let column = |j| vent_at(net, j).map(|at| at.column);
        if let (Some(Column::Over(j)), Some(Column::Riser(run))) = (column(a), column(b))
            && let Some(owner) = own.get(&j)
        {
            risers.entry(run).or_insert(owner.stack);
        }
    }
    risers
}
