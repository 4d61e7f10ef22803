//! Loads add up from the traps down: what a stretch of drain carries.

use std::collections::BTreeMap;
use std::sync::Arc;

use petgraph::Direction;
use petgraph::visit::EdgeRef;

use super::groups::Groups;
use super::model::TrapSize;
use crate::codebook::Book;
use crate::job::Job;
use crate::network::{Network, System, Table, TrapIx};
use crate::units::{Demand, Flow, Load};

/// What flows through one place.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Carried {
    /// Load of single fixtures and of whole groups.
    settled: Load,
    /// The largest load of one fixture.
    largest: Load,
    /// Continuous and pumped flows, where the book adds them as they are.
    steady: Flow,
    /// Groups of which only a part came in yet: how many members, and their own loads.
    open: BTreeMap<usize, (usize, Load)>,
    /// Whole groups that came in.
    pub groups: u32,
    /// Fixtures.
    pub fixtures: u32,
    /// Water closets.
    pub closets: u32,
    /// Clothes washers.
    pub washers: u32,
    /// Kitchen fixtures.
    pub kitchens: u32,
    /// Fixtures whose load is not known.
    pub unknown: u32,
}

impl Carried {
    /// The load: whole groups by the book's figure, all else by the fixtures' own.
    pub fn load(&self) -> Load {
        self.settled + self.open.values().map(|(_, l)| *l).sum()
    }

    /// What a drain has to carry for it, in the measure of the book.
    pub fn demand(&self, book: &Book) -> Demand {
        book.demand(self.load(), self.largest, self.steady)
    }

    /// What a pump makes of it: its own load, or its flow, in place of the fixtures'.
    pub fn pumped(&self, load: Load, steady: Flow) -> Carried {
        Carried {
            settled: load,
            steady,
            fixtures: self.fixtures,
            closets: self.closets,
            unknown: self.unknown,
            ..Carried::default()
        }
    }

    /// Adds a fixture.
    pub fn add_trap(&mut self, groups: &Groups, ix: TrapIx, size: &TrapSize) {
        self.fixtures += 1;
        self.largest = self.largest.max(size.largest);
        self.steady += size.steady;
        self.unknown += u32::from(size.unknown.is_some());
        if let Some(kind) = groups.kinds.get(ix.0).copied().flatten() {
            self.closets += u32::from(kind.closet);
            self.washers += u32::from(kind.washer);
            self.kitchens += u32::from(kind.kitchen);
        }
        match groups.of.get(&ix) {
            Some(group) => self.enter(groups, *group, 1, size.load),
            None => self.settled += size.load,
        }
    }

    /// Adds all that another drain brings. The larger of the two keeps its table, so that a whole
    /// network takes little more than its number of pieces.
    pub fn merge(&mut self, groups: &Groups, mut other: Carried) {
        if other.open.len() > self.open.len() {
            std::mem::swap(&mut self.open, &mut other.open);
        }
        self.settled += other.settled;
        self.largest = self.largest.max(other.largest);
        self.steady += other.steady;
        self.groups += other.groups;
        self.fixtures += other.fixtures;
        self.closets += other.closets;
        self.washers += other.washers;
        self.kitchens += other.kitchens;
        self.unknown += other.unknown;
        for (group, (count, load)) in other.open {
            self.enter(groups, group, count, load);
        }
    }

    fn enter(&mut self, groups: &Groups, group: usize, count: usize, load: Load) {
        let entry = self.open.entry(group).or_default();
        entry.0 += count;
        entry.1 += load;
        let Some(whole) = groups.list.get(group) else {
            return;
        };
        if entry.0 >= whole.members.len() {
            self.open.remove(&group);
            self.settled += whole.found.value;
            self.groups += 1;
        }
    }
}

/// Rows of a load total: each kind with its count and load, whole groups in rows of their own.
///
/// Counts a group as such only if all its members are among the traps, as [`Carried`] does.
pub fn rows(
    job: &Job,
    net: &Network,
    groups: &Groups,
    sizes: &Table<TrapIx, Arc<TrapSize>>,
    traps: &[TrapIx],
) -> Vec<(String, u32, Load)> {
    let mut seen: BTreeMap<usize, usize> = BTreeMap::new();
    for trap in traps {
        if let Some(group) = groups.of.get(trap) {
            *seen.entry(*group).or_default() += 1;
        }
    }
    let whole = |group: usize| {
        groups
            .list
            .get(group)
            .is_some_and(|g| seen.get(&group).is_some_and(|n| *n >= g.members.len()))
    };
    let mut rows: Vec<(String, u32, Load)> = Vec::new();
    let mut add = |name: &str, load: Load| match rows.iter_mut().find(|r| r.0 == name) {
        Some(row) => {
            row.1 += 1;
            row.2 += load;
        }
        None => rows.push((name.to_owned(), 1, load)),
    };
    for group in seen.keys().copied().filter(|g| whole(*g)) {
        if let Some(g) = groups.list.get(group) {
            add(g.name, g.found.value);
        }
    }
    for trap in traps {
        if groups.of.get(trap).is_some_and(|g| whole(*g)) {
            continue;
        }
        let fixture = net
            .traps
            .get(trap.0)
            .and_then(|t| job.fixtures.get(t.fixture));
        if let (Some(fixture), Some(size)) = (fixture, sizes.get(trap)) {
            let kind = groups.kinds.get(trap.0).copied().flatten();
            let word = kind.map_or(fixture.kind.value.as_str(), |k| k.word);
            add(word, size.load);
        }
    }
    rows
}

/// The traps that drain through a joint, in the order of the job.
pub fn traps_above(net: &Network, joint: crate::network::JointIx) -> Vec<TrapIx> {
    let mut found = Vec::new();
    let mut todo = vec![joint];
    // Drains are a tree, so that no joint is met twice; the bound is for a network with a cycle.
    let mut left = net.graph.node_count();
    while let Some(joint) = todo.pop() {
        if left == 0 {
            break;
        }
        left -= 1;
        if let Some(crate::network::JointKind::Trap(trap)) =
            net.graph.node_weight(joint).map(|j| j.kind)
        {
            found.push(trap);
        }
        let above = net.graph.edges_directed(joint, Direction::Incoming);
        let drains = above.filter(|e| e.weight().system == System::Waste);
        todo.extend(drains.map(|e| e.source()));
    }
    found.sort_unstable();
    found.dedup();
    found
}
