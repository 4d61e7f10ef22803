//! Which way every leg of the drains runs in this view: stated headings as they are, the rest
//! chosen so that most of the drawing leads away from the viewer, where it crosses nothing.

use std::collections::BTreeMap;

use super::columns::Base;
use super::lanes::{self, Lane};
use crate::job::{Job, PaperSide};
use crate::network::{JointIx, JointKind, Network, PieceIx, RunIx, RunKind};
use crate::pins::Pins;
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
    /// Which of the lanes that leave a stack the same way it takes; 0 in line with the stack.
    pub lane: u8,
}

/// Ways of all legs of the waste pieces, by piece and leg.
pub type Ways = BTreeMap<(PieceIx, usize), LegWay>;

/// Chooses the way of every leg. Walks the drains upstream from each exit.
pub fn choose(job: &Job, net: &Network, base: &Base, pins: &Pins, corner: Corner) -> Ways {
    let mut chooser = Chooser {
        net,
        base,
        pins,
        corner,
        ways: Ways::new(),
        lanes: BTreeMap::new(),
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
    base: &'a Base,
    pins: &'a Pins,
    corner: Corner,
    ways: Ways,
    /// Lanes of the pipes that enter each stack met so far.
    lanes: BTreeMap<RunIx, BTreeMap<PieceIx, Lane>>,
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
            let heading = leg.heading.or_else(|| self.pins.heading(piece, i));
            let mut way = match heading {
                Some(h) => self.corner.way(h),
                None if i > 0 && self.pins.side(piece, i).is_some() => {
                    self.to_side(piece, i, before).unwrap_or(before)
                }
                None if i > 0 => before,
                None => along,
            };
            if leg.rises_45 && !way.is_vertical() {
                way = way.rising();
            }
            let mut hatched = way.misreads();
            // What stands upright on a drain must not stand in its own line.
            if self.base.under.contains(&piece) {
                way = stands_off(way);
            }
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
            let lane = 0;
            self.ways.insert((piece, i), LegWay { way, hatched, lane });
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
            // What leaves a stack above an offset leads the way of what leaves it below.
            let keeps = vertical || last.is_vertical();
            let next_level = if keeps { level } else { last };
            if let Some(up) = net.from(p) {
                self.joint(up, last, next_level, false);
            }
        }
        let entrants = || entering.iter().copied().filter(|&p| Some(p) != trunk);
        for p in entrants() {
            // What nobody stated leaves the stated ways to others.
            let stated = entrants().filter(|&q| q != p);
            let stated = stated.filter_map(|q| self.stated(q, along));
            let leave: Vec<Way> = taken.iter().copied().chain(stated).collect();
            let lane = own
                .filter(|&s| along.is_vertical() && net.is_stack(s))
                .and_then(|s| self.lane(s, level, p));
            let start = match lane {
                Some(lane) => lane.way,
                None => self
                    .stated(p, along)
                    .unwrap_or_else(|| self.entrant_way(p, along, level, trunk.is_none(), &leave)),
            };
            // Where several leave a stack the same way, `grow` leads them beside each other.
            let leave = if along.is_vertical() { &[][..] } else { &taken };
            let last = self.piece(p, start, along, Some(level), leave);
            if let (Some(lane), Some(first)) = (lane, self.ways.get_mut(&(p, 0))) {
                first.lane = lane.number;
            }
            taken.extend(self.ways.get(&(p, 0)).map(|w| w.way));
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
        let ok = |w: &Way| free(w) || (*w == along && at_end && !taken.contains(w));
        choices.iter().copied().find(ok).unwrap_or(choices[0])
    }

    /// The stated or pinned heading of a piece's first leg.
    fn first_heading(&self, p: PieceIx) -> Option<Heading> {
        let stated = self.net.graph[p].legs.first().and_then(|l| l.heading);
        stated.or_else(|| self.pins.heading(p, 0))
    }

    /// The way that the job states or pins of a piece's first leg, off a trunk that runs `along`.
    fn stated(&self, p: PieceIx, along: Way) -> Option<Way> {
        let stated = self.first_heading(p).map(|h| self.corner.way(h));
        stated.or_else(|| self.to_side(p, 0, along))
    }

    /// The way to the side that is pinned of a leg: away from the viewer where the trunk lets it.
    fn to_side(&self, p: PieceIx, leg: usize, along: Way) -> Option<Way> {
        let ways = match self.pins.side(p, leg)? {
            PaperSide::Left => [Way::Y, Way::X.reversed()],
            PaperSide::Right => [Way::X, Way::Y.reversed()],
        };
        ways.into_iter().find(|w| !w.parallel_on_paper(along))
    }

    /// The lane of a pipe that enters a stack.
    fn lane(&mut self, stack: RunIx, level: Way, piece: PieceIx) -> Option<Lane> {
        if !self.lanes.contains_key(&stack) {
            let stated = |p: PieceIx| {
                let way = self.stated(p, Way::UP)?;
                let off = self.base.under.contains(&p);
                Some(if off { stands_off(way) } else { way })
            };
            let lanes = lanes::of_stack(self.net, self.base, stack, level, stated);
            self.lanes.insert(stack, lanes);
        }
        self.lanes.get(&stack)?.get(&piece).copied()
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

/// A way that does not fall upright on paper without being so: its nearer plan axis instead.
fn stands_off(way: Way) -> Way {
    if !way.is_vertical() && way.parallel_on_paper(Way::UP) {
        way.nearer_axis()
    } else {
        way
    }
}
