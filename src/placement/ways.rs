//! Which way every leg of the drains runs in this view: stated headings as they are, the rest
//! chosen so that most of the drawing leads away from the viewer, where it crosses nothing.

use std::collections::BTreeMap;

use crate::job::Job;
use crate::network::{JointIx, JointKind, Network, PieceIx, RunKind};
use crate::projection::{Corner, Way};
use crate::units::Heading;

/// The way of one leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LegWay {
    /// The way it is drawn, walking upstream.
    pub way: Way,
    /// Whether it is a 45° run that is drawn along, or falls on, another axis: it carries the
    /// hatch of ISO 6412 and says 45°.
    pub hatched: bool,
}

/// Ways of all legs of the waste pieces, by piece and leg.
pub type Ways = BTreeMap<(PieceIx, usize), LegWay>;

/// Chooses the way of every leg. Walks the drains upstream from each exit.
pub fn choose(job: &Job, net: &Network, corner: Corner) -> Ways {
    let mut chooser = Chooser {
        net,
        corner,
        ways: Ways::new(),
    };
    for (i, &exit) in net.exits.iter().enumerate() {
        let leaves = job.exits.get(i).and_then(|e| e.heading.as_ref());
        let inward = leaves.map_or(Way::X, |h| corner.way(h.value.reversed()));
        if let Some(sewer) = net.downstream(exit) {
            // Legs are kept walking upstream: the sewer's lead to the exit.
            chooser.piece(sewer, inward, inward, None, &[]);
        }
        chooser.joint(exit, inward, inward, true);
    }
    // Basins start trees of their own.
    for joint in net.graph.node_indices() {
        if net.graph[joint].kind == JointKind::Basin {
            chooser.joint(joint, Way::X, Way::X, true);
        }
    }
    chooser.ways
}

struct Chooser<'a> {
    net: &'a Network,
    corner: Corner,
    ways: Ways,
}

impl Chooser<'_> {
    /// Assigns the legs of a piece; unknown ones run `along`, and its first leg leaves the ways in
    /// `taken` to others. Gives the last way.
    fn piece(
        &mut self,
        piece: PieceIx,
        along: Way,
        parent: Way,
        floor_way: Option<Way>,
        taken: &[Way],
    ) -> Way {
        let mut before = parent;
        let legs = &self.net.graph[piece].legs;
        for (i, leg) in legs.iter().enumerate() {
            let mut way = match leg.heading {
                Some(h) => self.corner.way(h),
                None if i > 0 => before,
                None => along,
            };
            if leg.rises_45 && !way.is_vertical() {
                way = way.rising();
            }
            let mut hatched = way.misreads();
            if way != before && way.parallel_on_paper(before) {
                hatched = hatched || way.is_skew();
                way = if way.is_skew() {
                    way.nearer_axis()
                } else {
                    self.aside(before, floor_way)
                };
                if way.parallel_on_paper(before) {
                    way = self.aside(before, floor_way);
                }
            }
            if i == 0 && !way.is_vertical() && taken.contains(&way) {
                // Another pipe leaves that way from the same joint.
                let aside = self.aside(way, floor_way);
                let free = [aside, aside.reversed()];
                let free = free.into_iter().find(|w| !taken.contains(w));
                way = free.unwrap_or(way);
            }
            self.ways.insert((piece, i), LegWay { way, hatched });
            before = way;
        }
        before
    }

    /// A plan axis square to a way, leading away from the viewer where it can.
    fn aside(&self, way: Way, floor_way: Option<Way>) -> Way {
        if way.is_vertical() {
            return floor_way.unwrap_or(Way::Y);
        }
        if way.parallel_on_paper(Way::Y) {
            Way::X
        } else {
            Way::Y
        }
    }

    /// Assigns everything upstream of a joint. `along` is the way of the trunk that ends there,
    /// `level` the way of the level drain below it (the same, but for vertical trunks).
    fn joint(&mut self, joint: JointIx, along: Way, level: Way, root: bool) {
        let net = self.net;
        let own = net.downstream(joint).map(|p| net.graph[p].run);
        let entering = net.upstream(joint);
        let goes_on = |p: PieceIx| root || Some(net.graph[p].run) == own;
        let trunk = entering.iter().copied().find(|&p| goes_on(p));
        let mut taken: Vec<Way> = vec![along.reversed()];
        if let Some(p) = trunk {
            let vertical = net.is_stack(net.graph[p].run);
            let start = match (vertical, along.is_vertical()) {
                (true, _) => Way::UP,
                (false, true) => level,
                (false, false) => along,
            };
            let last = self.piece(p, start, along, Some(level), &[]);
            taken.push(self.ways[&(p, 0)].way);
            let next_level = if last.is_vertical() { level } else { last };
            if let Some(up) = net.from(p) {
                self.joint(up, last, next_level, false);
            }
        }
        let entrants = || entering.iter().copied().filter(|&p| Some(p) != trunk);
        for p in entrants() {
            // What nobody stated leaves the stated ways to others.
            let stated = entrants().filter(|&q| q != p);
            let stated = stated.filter_map(|q| self.first_heading(q).map(|h| self.corner.way(h)));
            let leave: Vec<Way> = taken.iter().copied().chain(stated).collect();
            let start = self.entrant_way(p, along, level, trunk.is_none(), &leave);
            // Where several leave a stack the same way, `grow` leads them beside each other.
            let leave = if along.is_vertical() { &[][..] } else { &taken };
            let last = self.piece(p, start, along, Some(level), leave);
            let first = self.ways[&(p, 0)].way;
            taken.push(first);
            let next_level = if last.is_vertical() { level } else { last };
            if let Some(up) = net.from(p) {
                self.joint(up, last, next_level, false);
            }
        }
    }

    /// The way an entrant leaves its trunk, where the job does not say.
    fn entrant_way(&self, p: PieceIx, along: Way, level: Way, at_end: bool, taken: &[Way]) -> Way {
        let kind = self.net.runs[self.net.graph[p].run.0].kind;
        match kind {
            RunKind::Stack => return Way::UP,
            // A drop says that it rises; one without a heading is the level part of an arm.
            RunKind::FixtureDrain if self.first_heading(p).is_some_and(Heading::is_vertical) => {
                return Way::UP;
            }
            _ => {}
        }
        let free = |w: &Way| {
            !w.parallel_on_paper(along) && !taken.iter().any(|t| t.parallel_on_paper(*w) && t == w)
        };
        let receding = self.aside(if along.is_vertical() { level } else { along }, None);
        let beside = self.branches_beside(p);
        let choices: Vec<Way> = if along.is_vertical() {
            match kind {
                // A trap arm at the top of its drop: on outward at the end, else to the back.
                RunKind::Arm if at_end && self.drop_stands_at_end(p) => vec![level, receding],
                RunKind::Arm => vec![receding, receding.reversed()],
                _ => vec![receding, level, receding.reversed(), level.reversed()],
            }
        } else {
            match kind {
                RunKind::Arm if at_end => vec![along, receding.reversed(), receding],
                RunKind::Arm | RunKind::FixtureDrain => vec![receding.reversed(), receding],
                _ => vec![receding, receding.reversed()],
            }
        };
        if let Some(w) = choices.iter().find(|w| free(w) && !beside.contains(w)) {
            return *w;
        }
        let ok = |w: &Way| free(w) || (*w == along && at_end && !taken.contains(w));
        choices.iter().copied().find(ok).unwrap_or(choices[0])
    }

    /// The stated heading of a piece's first leg.
    fn first_heading(&self, p: PieceIx) -> Option<Heading> {
        self.net.graph[p].legs.first().and_then(|l| l.heading)
    }

    /// Ways that a branch of a stack should leave to others: those chosen on its own floor, and
    /// those stated on any, since their vents gather in risers of their own.
    fn branches_beside(&self, p: PieceIx) -> Vec<Way> {
        let net = self.net;
        let own = net.graph[p].run;
        let run = &net.runs[own.0];
        let stack = net
            .to(p)
            .and_then(|j| net.downstream(j))
            .map(|d| net.graph[d].run);
        let Some(stack) = stack.filter(|&s| run.kind == RunKind::Branch && net.is_stack(s)) else {
            return Vec::new();
        };
        let joints = net.runs[stack.0].pieces.iter().filter_map(|&s| net.from(s));
        joints
            .flat_map(|j| net.upstream(j))
            .filter(|&q| net.graph[q].run != own && !net.is_stack(net.graph[q].run))
            .filter_map(|q| {
                let stated = self.first_heading(q);
                let chosen = self.ways.get(&(q, 0)).map(|w| w.way);
                let level = net.runs[net.graph[q].run.0].floor == run.floor;
                let chosen = chosen.filter(|_| level);
                chosen.or(stated.map(|h| self.corner.way(h)))
            })
            .collect()
    }

    /// Whether the drop below a trap arm stands at the end of its branch.
    fn drop_stands_at_end(&self, arm: PieceIx) -> bool {
        let foot = self
            .net
            .to(arm)
            .and_then(|fitting| self.net.downstream(fitting))
            .and_then(|drop| self.net.to(drop));
        foot.is_some_and(|j| self.net.upstream(j).len() == 1)
    }
}
