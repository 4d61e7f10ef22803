//! Vent risers beyond the branches of a stack, and the headers that lead to them.

use std::collections::BTreeSet;

use super::sideways::LANE;
use super::*;
use crate::network::RunIx;
use crate::placement::columns::joint_under;
use crate::placement::trunk::MODULE;

/// So many modules lower is the lower end of a riser tried.
const LOWER: u32 = 30;

impl Grower<'_> {
    /// Stands the risers of a stack beyond everything that the stack carries on their side. Their
    /// joints are over drains that stand in `block`, whose origin is the stack's foot.
    pub(super) fn risers_of(&self, stack: RunIx, z: f64, block: &mut Block) {
        let own: Vec<&Riser> = self.risers.iter().filter(|r| r.stack == stack.0).collect();
        if own.is_empty() {
            return;
        }
        let under = own.iter().flat_map(|r| r.from.iter().map(|(_, v)| *v));
        let under = under.filter_map(|v| joint_under(self.net, v));
        let wanted: BTreeSet<JointIx> = under.chain(own.iter().filter_map(|r| r.on)).collect();
        // Where they stand, and how far all else reaches to the left and to the right.
        let mut places: BTreeMap<JointIx, Space> = BTreeMap::new();
        let mut stands: Option<kurbo::Rect> = None;
        block.walk(Space::default(), &mut |b, at| {
            let here = b.joints.iter().filter(|(j, _)| wanted.contains(j));
            places.extend(here.map(|(j, s)| (*j, Space::new(s.x + at.x, s.y + at.y, 0.0))));
            let by = at.paper();
            for o in b.outlines.iter().filter(|o| o.cover != Cover::Out) {
                let own = o.bounds() + by;
                stands = Some(stands.map_or(own, |s| s.union(own)));
            }
        });
        let mut feet = Vec::new();
        for riser in own {
            let first = block.outlines.len();
            let foot = self.riser_beyond(riser, &places, stands, z, block);
            feet.extend(foot.map(|foot| (riser, foot)));
            for o in &block.outlines[first..] {
                stands = Some(stands.map_or(o.bounds(), |s| s.union(o.bounds())));
            }
        }
        for (riser, foot) in feet {
            self.riser_end(riser, foot, z, block);
        }
    }

    /// Stands a riser beyond what covers a box, with the headers that lead to it and from it; says
    /// where.
    fn riser_beyond(
        &self,
        riser: &Riser,
        places: &BTreeMap<JointIx, Space>,
        stands: Option<kurbo::Rect>,
        z: f64,
        block: &mut Block,
    ) -> Option<Space> {
        let way = self.riser_way(riser);
        let u = way.unit();
        // Its headers that come from this sheet, each from where it begins to lead its way.
        let headers = riser.from.iter().filter_map(|(_, v)| {
            let over = joint_under(self.net, *v)?;
            Some((*v, self.riser_start(riser, way, over, *places.get(&over)?)))
        });
        let headers: Vec<(JointIx, Space)> = headers.collect();
        // In line with what its vents lead to.
        let on = riser.on.and_then(|j| Some((j, *places.get(&j)?)));
        let on = on.map(|(j, at)| self.riser_start(riser, way, j, at));
        let line = on.or(headers.first().map(|(_, at)| *at))?;
        let right = way.paper().x > 0.0;
        let beyond = |from: Space| {
            let x = from.paper().x;
            let reach = |b: kurbo::Rect| if right { b.x1 - x } else { x - b.x0 };
            (stands.map_or(0.0, reach) + 4.0) / way.paper().x.abs().max(0.1)
        };
        let words = self.riser_words(riser) + 6.0;
        let mut t = beyond(line).max(0.0);
        if headers.is_empty() {
            t = t.max(words);
        }
        for (_, at) in &headers {
            // Its header turns aside to it where the header, too, is beyond all else.
            let ahead = along(way, *at - line);
            t = t.max(beyond(*at) + ahead).max(ahead + words);
        }
        let t = (t / 2.0).ceil() * 2.0;
        let mut reach = self.reach.borrow_mut();
        let known = reach.risers.entry(riser.run).or_default();
        let t = t.max(*known);
        *known = t;
        for (v, at) in &headers {
            reach.headers.insert(*v, t - along(way, *at - line));
        }
        drop(reach);
        let foot = line + u * t;
        self.riser(riser, way, foot, z, block);
        self.riser_headers(riser, way, foot, z, block);
        Some(foot)
    }

    /// The lower end of a riser that comes up from another sheet, with its mark: at the stack's foot,
    /// or lower, where the headers of other risers would lead through the mark.
    fn riser_end(&self, riser: &Riser, foot: Space, z: f64, block: &mut Block) {
        let at = |h: f64| foot + Space::new(0.0, 0.0, h);
        let way = Way::UP.reversed();
        for (v, _) in riser.ends.iter().filter(|(_, l)| *l == VentLevel::Foot) {
            let clear = |h: f64| {
                let place = at(h).point();
                self.figures.at(*v).iter().all(|&f| {
                    let drawn = self.figures.drawn(f, way);
                    let hull: Vec<Point> =
                        drawn.hull.iter().map(|p| *p + place.to_vec2()).collect();
                    let hull = Outline::hull(&hull);
                    let mut near = Vec::new();
                    block.near(hull.bounds(), kurbo::Vec2::ZERO, &mut near);
                    // Its own line ends at it.
                    let own = |o: &Outline| (o.bounds().center().x - place.x).abs() < 1e-6;
                    near.iter().all(|o| own(o) || !o.meets(&hull))
                })
            };
            let steps = (0..LOWER).map(|k| -z - MODULE * f64::from(k));
            let h = steps.into_iter().find(|h| clear(*h)).unwrap_or(-z);
            if h < -z {
                let more = Outline::pipe(at(h).point(), at(-z).point(), Cover::Vent);
                block.outlines.push(more);
            }
            block.joints.push((*v, at(h)));
            for &f in self.figures.at(*v) {
                if let Some((form, _)) = self.alone(f, way, None).into_iter().next() {
                    block.absorb(form, at(h));
                }
            }
        }
    }

    /// Where a level vent between a riser and the column over a joint begins to lead the riser's
    /// way: over the joint itself, in the lane of the riser's branches, or a step aside where the
    /// drains, and what lies over them, lead that way too.
    fn riser_start(&self, riser: &Riser, way: Way, joint: JointIx, at: Space) -> Space {
        let aside = Self::to_lane(way).unit();
        if self.is_stack_top(joint) {
            let stack = RunIx(riser.stack);
            let lane = self.riser_ways.get(&riser.run).map_or(0, |w| w.lane);
            let reach = self.reach.borrow();
            let same = reach.lanes.values();
            let same = same.filter(|s| s.stack == stack && s.lane == (way, lane));
            return at + aside * same.map(|s| s.length).fold(0.0, f64::max);
        }
        let doubles_back = self.tree.down(joint).is_some_and(|p| {
            let last = self.net.graph[p].legs.len().saturating_sub(1);
            self.way(p, last).reversed() == way
        });
        if doubles_back { at + aside * LANE } else { at }
    }

    /// Where a level vent from the column over a joint to a riser turns, from the column on.
    pub fn riser_turns(&self, riser: &Riser, foot: Space, joint: JointIx, at: Space) -> [Space; 2] {
        let way = self.riser_way(riser);
        let start = self.riser_start(riser, way, joint, at);
        let ahead = along(way, foot - start);
        [start, start + way.unit() * ahead]
    }

    /// A riser itself and its words.
    fn riser(&self, riser: &Riser, way: Way, foot: Space, z: f64, block: &mut Block) {
        let at = |h: f64| foot + Space::new(0.0, 0.0, h);
        let mut heights: Vec<f64> = Vec::new();
        for (v, f) in &riser.joints {
            let h = self.heights.rim(*f) - z;
            heights.push(h);
            block.joints.push((*v, at(h)));
        }
        for (v, level) in &riser.ends {
            // Its lower end has its place once all risers stand.
            if *level == VentLevel::Foot {
                heights.push(-z);
                continue;
            }
            let h = self.heights.roof() - z;
            heights.push(h);
            block.joints.push((*v, at(h)));
            for &f in self.figures.at(*v) {
                if let Some((form, _)) = self.alone(f, Way::UP, None).into_iter().next() {
                    block.absorb(form, at(h));
                }
            }
        }
        let lo = heights.iter().copied().fold(f64::INFINITY, f64::min);
        let hi = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if lo > hi {
            return;
        }
        let line = Outline::pipe(at(lo).point(), at(hi).point(), Cover::Vent);
        block.outlines.push(line);
        let right = way.paper().x > 0.0;
        let mut up = lo + 6.0;
        for p in &riser.pieces {
            let Some(&i) = self.captions.pieces.get(p) else {
                continue;
            };
            let caption = &self.captions.all[i];
            let (l_at, slant, outline) = lettering::along(caption, Way::UP, !right);
            let shift = at(up).paper();
            block.outlines.push(outline.moved(shift));
            block.labels.push(PlacedLabel {
                caption: i,
                at: l_at + shift,
                slant,
                flush: Flush::Left,
                leader: None,
            });
            up += caption.width() + 4.0;
        }
    }

    /// The vents that lead from what stands at a joint of a stack out to risers, and back from
    /// there, as far as the risers stood in the round before: nothing may stand in their way.
    pub(super) fn headers_out(&self, stack: RunIx, z: f64, block: &mut Block) {
        let reach = self.reach.borrow();
        let mut lines = Vec::new();
        for riser in self.risers.iter().filter(|r| r.stack == stack.0) {
            let way = self.riser_way(riser);
            let mut out = |floor: FloorIx, over: JointIx, t: Option<&f64>| {
                let (Some(at), Some(&t)) = (block.place(over), t) else {
                    return;
                };
                let up = Space::new(0.0, 0.0, self.heights.rim(floor) - z - at.z);
                let start = self.riser_start(riser, way, over, at);
                let end = start + way.unit() * t.max(0.0);
                for (a, b) in [(at, start), (start, end)] {
                    if a != b {
                        let (a, b) = ((a + up).point(), (b + up).point());
                        lines.push(Outline::pipe(a, b, Cover::Out));
                    }
                }
            };
            for (f, v) in &riser.from {
                if let Some(over) = joint_under(self.net, *v) {
                    out(*f, over, reach.headers.get(v));
                }
            }
            if let (Some(on), Some((_, top))) = (riser.on, riser.joints.last()) {
                out(*top, on, reach.risers.get(&riser.run));
            }
        }
        block.outlines.extend(lines);
    }

    /// The vents that lead to a stack's own vent from its risers, as seen from a joint of its
    /// highest floor at height `z`, as far as they led in the round before.
    pub(super) fn links_over(&self, stack: RunIx, joint: JointIx, z: f64) -> Block {
        let mut block = Block::default();
        let reach = self.reach.borrow();
        for riser in self.risers.iter().filter(|r| r.stack == stack.0) {
            let (Some(on), Some((_, top))) = (riser.on, riser.joints.last()) else {
                continue;
            };
            let Some(&t) = reach.risers.get(&riser.run) else {
                continue;
            };
            if !self.is_stack_top(on) || self.tree.floor(joint) != self.tree.floor(on) {
                continue;
            }
            let way = self.riser_way(riser);
            let up = Space::new(0.0, 0.0, self.heights.rim(*top) - z);
            let start = self.riser_start(riser, way, on, Space::default());
            let end = start + way.unit() * t;
            for (a, b) in [(Space::default(), start), (start, end)] {
                if a != b {
                    let (a, b) = ((a + up).point(), (b + up).point());
                    block.outlines.push(Outline::pipe(a, b, Cover::Out));
                }
            }
        }
        block
    }

    /// The riser of a run.
    pub fn riser_of(&self, run: RunIx) -> Option<&Riser> {
        let found = self.risers.binary_search_by_key(&run, |r| r.run);
        found.ok().and_then(|i| self.risers.get(i))
    }

    /// Width of the widest words on the level vents of a riser, mm.
    pub(super) fn riser_words(&self, riser: &Riser) -> f64 {
        let pieces = riser.joints.iter().flat_map(|(v, _)| {
            use petgraph::Direction::{Incoming, Outgoing};
            use petgraph::visit::EdgeRef;
            let edges = |d| self.net.graph.edges_directed(*v, d).map(|e| e.id());
            edges(Incoming).chain(edges(Outgoing)).collect::<Vec<_>>()
        });
        pieces
            .filter(|p| !riser.pieces.contains(p))
            .filter_map(|p| self.captions.pieces.get(&p))
            .map(|&i| self.captions.all[i].width())
            .fold(0.0, f64::max)
    }

    /// The level vents between a riser and the columns that it serves, with their words.
    pub(super) fn riser_headers(
        &self,
        riser: &Riser,
        way: Way,
        foot: Space,
        z: f64,
        block: &mut Block,
    ) {
        use petgraph::visit::EdgeRef;
        for (v, f) in &riser.joints {
            let lift = Space::new(0.0, 0.0, self.heights.rim(*f) - z);
            let out = self.net.graph.edges(*v).map(|e| (e.id(), e.target()));
            let into = self
                .net
                .graph
                .edges_directed(*v, petgraph::Direction::Incoming)
                .map(|e| (e.id(), e.source()));
            let both: Vec<(PieceIx, JointIx)> = out.chain(into).collect();
            for (piece, other) in both {
                let Some(VentAt {
                    column: Column::Over(j),
                    ..
                }) = vent_at(self.net, other)
                else {
                    continue;
                };
                let Some(at) = block.place(j) else {
                    continue;
                };
                let column = Space::new(at.x, at.y, 0.0);
                let [start, corner] = self.riser_turns(riser, foot, j, column);
                for (from, to) in [(foot, corner), (corner, start), (start, column)] {
                    if from != to {
                        let (a, b) = ((from + lift).point(), (to + lift).point());
                        block.outlines.push(Outline::pipe(a, b, Cover::Vent));
                    }
                }
                if let Some(&i) = self.captions.pieces.get(&piece) {
                    let ahead = (corner - start).paper().hypot();
                    self.header_label(i, way, 0.0, ahead, start + lift, block);
                }
            }
        }
    }

    /// The way in which the branches that a riser serves leave their stack.
    fn riser_way(&self, riser: &Riser) -> Way {
        self.riser_ways.get(&riser.run).map_or(Way::Y, |w| w.way)
    }
}

/// How far a step in plan leads along a way, in mm of paper along it.
fn along(way: Way, step: Space) -> f64 {
    let u = way.unit();
    let square = (u.x * u.x + u.y * u.y).max(1e-12);
    (step.x * u.x + step.y * u.y) / square
}
