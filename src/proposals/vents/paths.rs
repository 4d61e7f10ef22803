//! Headers as trees over the drains: which way level vents go from several places to one.

use std::collections::{BTreeMap, BTreeSet};

use crate::network::tree::Tree;
use crate::network::{JointIx, Network, System};
use crate::units::{Heading, Length};

/// Joints that stand in one plan position, as far as upright pieces tell.
pub(super) struct Upright {
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
    /// The source whose vent comes along it first.
    pub(super) source: usize,
    /// Whether a vent rises at its start, not only others meet there.
    pub(super) is_source: bool,
}

/// The lines from sources to a target over the drains, every meeting place cut. Sources that no
/// drain connects to the target are given back.
pub(super) fn lines(
    tree: &Tree,
    upright: &Upright,
    sources: &[JointIx],
    target: JointIx,
) -> (Vec<Line>, Vec<usize>) {
    let goal = upright.of_joint(target);
    // For each place, the next one towards the target; and how the place is called.
    let mut next: BTreeMap<usize, usize> = BTreeMap::new();
    let mut called: BTreeMap<usize, JointIx> = BTreeMap::new();
    let mut before: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    let mut owner: BTreeMap<usize, usize> = BTreeMap::new();
    let mut starts: BTreeMap<usize, usize> = BTreeMap::new();
    let mut lost = Vec::new();
    let mut twins = Vec::new();
    called.insert(goal, target);
    for (s, &source) in sources.iter().enumerate() {
        let place = upright.of_joint(source);
        if place == goal || starts.contains_key(&place) {
            // Two in one plan position: the second meets the first there.
            twins.push((s, place));
            continue;
        }
        let Some(path) = tree.path(source, target) else {
            lost.push(s);
            continue;
        };
        starts.insert(place, s);
        called.insert(place, source);
        let mut at = place;
        owner.entry(at).or_insert(s);
        for joint in path {
            let here = upright.of_joint(joint);
            if here == at {
                continue;
            }
            called.entry(here).or_insert(joint);
            let known = next.contains_key(&at);
            if !known {
                next.insert(at, here);
            }
            before.entry(here).or_default().insert(at);
            owner.entry(here).or_insert(s);
            at = here;
            if known || at == goal {
                break;
            }
        }
    }
    let kept = |place: usize| {
        place == goal
            || starts.contains_key(&place)
            || before.get(&place).is_some_and(|b| b.len() > 1)
    };
    let mut lines = Vec::new();
    for (&place, &from) in &called {
        if place == goal || !kept(place) {
            continue;
        }
        let mut at = place;
        while let Some(&to) = next.get(&at) {
            at = to;
            if kept(at) {
                break;
            }
        }
        if let Some(&to) = called.get(&at)
            && at != place
        {
            let is_source = starts.contains_key(&place);
            let source = starts
                .get(&place)
                .or(owner.get(&place))
                .copied()
                .unwrap_or(0);
            lines.push(Line {
                from,
                to,
                source,
                is_source,
            });
        }
    }
    for (source, place) in twins {
        if let (Some(&from), Some(&to)) = (sources.get(source), called.get(&place))
            && from != to
        {
            let is_source = true;
            lines.push(Line {
                from,
                to,
                source,
                is_source,
            });
        }
    }
    lines.sort_by_key(|l| (l.source, !l.is_source, l.from));
    (lines, lost)
}

/// The heading, if it is the same all the way, and the length, if known, of the level way over
/// the drains from one joint to another.
pub(super) fn level_way(
    net: &Network,
    tree: &Tree,
    from: JointIx,
    to: JointIx,
) -> (Option<Heading>, Option<Length>) {
    let Some(path) = tree.path(from, to) else {
        return (None, None);
    };
    let mut headings: BTreeSet<Option<Heading>> = BTreeSet::new();
    let mut length = Some(Length::ZERO);
    for pair in path.windows(2) {
        let &[a, b] = pair else { continue };
        let (piece, upstream) = match (tree.down(a), tree.down(b)) {
            (Some((p, to)), _) if to == b => (p, false),
            (_, Some((p, to))) if to == a => (p, true),
            _ => return (None, None),
        };
        let Some(piece) = net.graph.edge_weight(piece) else {
            return (None, None);
        };
        for leg in &piece.legs {
            if leg.heading.is_some_and(Heading::is_vertical) {
                continue;
            }
            headings.insert(leg.heading.map(|h| if upstream { h } else { h.reversed() }));
            length = length.zip(leg.length).map(|(a, b)| a + b);
        }
    }
    let heading = match headings.len() {
        1 => headings.into_iter().next().flatten(),
        _ => None,
    };
    (heading, length)
}
