//! Headers as trees over the drains: which way level vents go from several places to one.

use std::collections::{BTreeMap, BTreeSet};

use crate::network::tree::Tree;
use crate::network::{JointIx, NetLeg, Network, System};
use crate::units::Heading;

/// Joints that stand in one plan position, as far as upright pieces tell.
pub(in crate::proposals) struct Upright {
    parent: Vec<usize>,
}

impl Upright {
    pub(super) fn of(net: &Network) -> Upright {
        let count = net
            .graph
            .node_indices()
            .map(|n| n.index() + 1)
            .max()
            .unwrap_or(0);
        let mut upright = Upright {
            parent: (0..count).collect(),
        };
        for e in net.graph.edge_indices() {
            let piece = &net.graph[e];
            let vertical = |h: Option<Heading>| h.is_some_and(Heading::is_vertical);
            if piece.system == System::Waste
                && piece.legs.iter().all(|l| vertical(l.heading))
                && let Some((a, b)) = net.graph.edge_endpoints(e)
            {
                let (a, b) = (upright.of_joint(a), upright.of_joint(b));
                let (low, high) = (a.min(b), a.max(b));
                upright.parent[high] = low;
            }
        }
        upright
    }
    /// The number of the plan position of a joint.
    pub(super) fn of_joint(&self, joint: JointIx) -> usize {
        let mut at = joint.index();
        while let Some(&next) = self.parent.get(at) {
            if next == at {
                break;
            }
            at = next;
        }
        at
    }
}

/// One line of a header: from one joint to the next, over the drains between them.
#[derive(Debug, PartialEq)]
pub(super) struct Line {
    pub(super) from: JointIx,
    pub(super) to: JointIx,
    /// The dry vent that comes along it first.
    pub(super) dry: usize,
    /// Whether a vent rises at its start, not only others meet there.
    pub(super) is_source: bool,
}

/// All level vents of one level: they never lie over each other, since a way ends where it meets
/// one that is there already.
#[derive(Default)]
pub(super) struct Web {
    /// For each place, the next one on the way to the open air.
    next: BTreeMap<usize, usize>,
    /// The joint that a place is called by.
    called: BTreeMap<usize, JointIx>,
    /// The places from which ways come to a place.
    before: BTreeMap<usize, BTreeSet<usize>>,
    /// The dry vent that came by first.
    owner: BTreeMap<usize, usize>,
    /// Places where a dry vent rises.
    starts: BTreeMap<usize, usize>,
    /// Places from which vents go on up, or out.
    goals: BTreeSet<usize>,
    /// Dry vents that rise where another does, with their joints.
    twins: Vec<(usize, JointIx, usize)>,
    /// Places where such rise.
    twin_places: BTreeSet<usize>,
}

impl Web {
    /// A place from which vents go on up or out.
    pub(super) fn goal(&mut self, place: usize, joint: JointIx) {
        if self.goals.insert(place) {
            self.called.insert(place, joint);
        }
    }

    /// Lays the way of a dry vent along a path over the drains. The path leads to a goal, or to
    /// a way that is there.
    pub(super) fn lay(&mut self, upright: &Upright, dry: usize, path: &[JointIx]) {
        let Some(&source) = path.first() else { return };
        let place = upright.of_joint(source);
        if self.starts.contains_key(&place) || self.goals.contains(&place) {
            if self.called.get(&place) != Some(&source) {
                self.twins.push((dry, source, place));
                self.twin_places.insert(place);
            }
            return;
        }
        self.starts.insert(place, dry);
        self.called.insert(place, source);
        self.owner.entry(place).or_insert(dry);
        let mut at = place;
        for &joint in path {
            if self.goals.contains(&at) || self.next.contains_key(&at) {
                return;
            }
            let here = upright.of_joint(joint);
            if here == at {
                continue;
            }
            self.called.entry(here).or_insert(joint);
            self.next.insert(at, here);
            self.before.entry(here).or_default().insert(at);
            self.owner.entry(here).or_insert(dry);
            at = here;
        }
    }

    /// Whether a way leads to a place, or another vent rises there.
    pub(super) fn is_met(&self, place: usize) -> bool {
        self.before.get(&place).is_some_and(|b| !b.is_empty()) || self.twin_places.contains(&place)
    }

    /// The lines, cut wherever vents rise or meet.
    pub(super) fn lines(&self) -> Vec<Line> {
        let kept = |place: usize| {
            self.goals.contains(&place)
                || self.starts.contains_key(&place)
                || self.before.get(&place).is_some_and(|b| b.len() > 1)
        };
        let mut lines = Vec::new();
        for (&place, &from) in &self.called {
            if self.goals.contains(&place) || !kept(place) {
                continue;
            }
            let mut at = place;
            while let Some(&to) = self.next.get(&at) {
                at = to;
                if kept(at) {
                    break;
                }
            }
            let is_source = self.starts.contains_key(&place);
            let dry = self.starts.get(&place).or(self.owner.get(&place)).copied();
            if let (Some(&to), Some(dry)) = (self.called.get(&at), dry)
                && at != place
            {
                lines.push(Line {
                    from,
                    to,
                    dry,
                    is_source,
                });
            }
        }
        for &(dry, from, place) in &self.twins {
            if let Some(&to) = self.called.get(&place) {
                let is_source = true;
                lines.push(Line {
                    from,
                    to,
                    dry,
                    is_source,
                });
            }
        }
        lines.sort_by_key(|l| (l.dry, !l.is_source, l.from));
        lines
    }
}

/// The legs of the level way over the drains from one joint to another: one for each heading, as far as
/// it is known, with its length, if that is.
pub(super) fn level_way(net: &Network, tree: &Tree, from: JointIx, to: JointIx) -> Vec<NetLeg> {
    over_drains(net, tree, from, to).unwrap_or_default()
}

fn over_drains(net: &Network, tree: &Tree, from: JointIx, to: JointIx) -> Option<Vec<NetLeg>> {
    let mut legs: Vec<NetLeg> = Vec::new();
    for pair in tree.path(from, to)?.windows(2) {
        let &[a, b] = pair else { continue };
        let (piece, upstream) = match (tree.down(a), tree.down(b)) {
            (Some((p, to)), _) if to == b => (p, false),
            (_, Some((p, to))) if to == a => (p, true),
            _ => return None,
        };
        let own = net.graph.edge_weight(piece)?.legs.iter();
        let own = own.filter(|l| !l.heading.is_some_and(Heading::is_vertical));
        let mut own: Vec<NetLeg> = own
            .map(|l| NetLeg {
                heading: l.heading.map(|h| if upstream { h } else { h.reversed() }),
                length: l.length,
                ..NetLeg::default()
            })
            .collect();
        // A drain's legs go upstream.
        if !upstream {
            own.reverse();
        }
        for leg in own {
            match legs.last_mut().filter(|l| l.heading == leg.heading) {
                Some(last) => last.length = last.length.zip(leg.length).map(|(a, b)| a + b),
                None => legs.push(leg),
            }
        }
    }
    Some(legs)
}
