//! The cleanouts and valves of a network, by joint.

use super::model::{JointIx, JointKind, NetCleanout, NetValve, Network, RunKind};
use super::table::Table;
use crate::job::CleanoutKind;
use crate::units::Heading;

/// How a cleanout is built, in the trade's words, true for the place where it stands.
///
/// A two-way cleanout is brought up to grade where it stands at the exit, outside; upstream of it
/// it stands inside. One in the drain's own line is at its end only where no
/// drain goes on from there.
pub fn cleanout_words(net: &Network, cleanout: &NetCleanout) -> &'static str {
    match cleanout.kind {
        CleanoutKind::Floor => "FCO, flush with floor",
        CleanoutKind::Wall => "WCO, behind wall plate",
        CleanoutKind::Grade => "COTG, to grade",
        CleanoutKind::TwoWay if net.exits.contains(&cleanout.joint) => "two-way, to grade",
        CleanoutKind::TwoWay => "two-way, inside the building",
        CleanoutKind::Stack => "CO, in stack",
        CleanoutKind::End => match goes_on(net, cleanout.joint) {
            GoesOn::No => "CO, end of drain",
            GoesOn::Turned => "CO, at change of direction",
            GoesOn::Straight => "CO, in line",
        },
    }
}

/// Where a cleanout is reached, as far as that is not where its symbol stands: outside at an exit, in
/// its stack over the floor at the foot of one.
pub fn reached_at(net: &Network, cleanout: &NetCleanout) -> Option<&'static str> {
    match cleanout.kind {
        _ if stands_outside(net, cleanout) => Some("outside, to grade"),
        _ if reached_in_stack(net, cleanout) => Some("in the stack, over the floor"),
        _ => None,
    }
}

/// Whether a cleanout at the foot of a stack is reached over the floor.
pub fn reached_in_stack(net: &Network, cleanout: &NetCleanout) -> bool {
    let at = net.graph.node_weight(cleanout.joint).map(|j| j.kind);
    cleanout.kind == CleanoutKind::Stack && at == Some(JointKind::StackBase)
}

/// Whether a cleanout of a kind stands outside the wall where it is at an exit.
pub fn outside_at_exit(kind: CleanoutKind) -> bool {
    matches!(kind, CleanoutKind::TwoWay | CleanoutKind::Grade)
}

/// Whether a cleanout stands outside the wall at an exit.
pub fn stands_outside(net: &Network, cleanout: &NetCleanout) -> bool {
    outside_at_exit(cleanout.kind) && net.exits.contains(&cleanout.joint)
}

/// How a drain goes on upstream of a joint.
enum GoesOn {
    No,
    Turned,
    Straight,
}

fn goes_on(net: &Network, joint: JointIx) -> GoesOn {
    let plan = |h: Option<Heading>| h.filter(|h| !h.is_vertical());
    let under = net.downstream(joint).and_then(|p| net.graph.edge_weight(p));
    let below = under.and_then(|p| plan(p.legs.last()?.heading));
    let mut found = GoesOn::No;
    for above in net.upstream(joint) {
        let Some(piece) = net.graph.edge_weight(above) else {
            continue;
        };
        let kind = net.runs.get(piece.run.0).map(|r| r.kind);
        let drain = matches!(
            kind,
            Some(RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch)
        );
        if !drain {
            continue;
        }
        let first = plan(piece.legs.first().and_then(|l| l.heading));
        // Of headings that nobody gave: what enters a drain's end goes off from it.
        let straight = below.is_some() && below == first;
        if straight || (first.is_none() && under.is_some_and(|p| p.run == piece.run)) {
            return GoesOn::Straight;
        }
        found = GoesOn::Turned;
    }
    found
}

/// Which cleanouts and valves stand at each joint: made once by a stage that asks for every
/// joint, instead of going through the list of them for each.
pub struct Openings<'a> {
    net: &'a Network,
    cleanouts: Table<JointIx, Vec<usize>>,
    valves: Table<JointIx, Vec<usize>>,
}

impl<'a> Openings<'a> {
    /// Those of a network.
    pub fn of(net: &'a Network) -> Self {
        let mut all = Openings {
            net,
            cleanouts: Table::new(),
            valves: Table::new(),
        };
        for (i, c) in net.cleanouts.iter().enumerate() {
            all.cleanouts.or_default(c.joint).push(i);
        }
        for (i, v) in net.valves.iter().enumerate() {
            all.valves.or_default(v.joint).push(i);
        }
        all
    }
    /// The cleanouts at a joint, in the order of the network.
    pub fn cleanouts(&self, joint: JointIx) -> impl Iterator<Item = &'a NetCleanout> {
        let at = self.cleanouts.get(&joint).map_or(&[][..], Vec::as_slice);
        at.iter().filter_map(|i| self.net.cleanouts.get(*i))
    }
    /// The valves at a joint, in the order of the network.
    pub fn valves(&self, joint: JointIx) -> impl Iterator<Item = &'a NetValve> {
        let at = self.valves.get(&joint).map_or(&[][..], Vec::as_slice);
        at.iter().filter_map(|i| self.net.valves.get(*i))
    }
}
