//! The cleanouts and valves of a network, by joint.

use super::model::{JointIx, NetCleanout, NetValve, Network};
use super::table::Table;

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
