//! Vent risers beyond the branches of a stack, and the headers that lead to them.

use super::*;
use crate::network::RunIx;
use crate::placement::columns::joint_under;

impl Grower<'_> {
    /// Stands the risers of a stack beyond everything that the stack carries on their side. Their
    /// joints are over drains that stand in `block`, whose origin is the stack's foot.
    pub(super) fn risers_of(&self, stack: RunIx, z: f64, block: &mut Block) {
        if self.risers.iter().all(|r| r.stack != stack.0) {
            return;
        }
        // How far all else reaches, to the left and to the right.
        let mut stands: Option<kurbo::Rect> = None;
        block.walk(Space::default(), &mut |b, at| {
            let by = at.paper();
            for o in b.outlines.iter().filter(|o| o.cover != Cover::Out) {
                let own = o.bounds() + by;
                stands = Some(stands.map_or(own, |s| s.union(own)));
            }
        });
        for riser in self.risers.iter().filter(|r| r.stack == stack.0) {
            // The lowest of its headers that stand on this sheet.
            let here = riser.from.iter().filter_map(|(_, v)| {
                let over = joint_under(self.net, *v)?;
                Some((*v, over, block.place(over)?))
            });
            let here: Vec<(JointIx, JointIx, Space)> = here.collect();
            let Some(&(lowest, over, start)) = here.first() else {
                continue;
            };
            let way = self.branch_way(over);
            let along = |at: Space| {
                let d = Space::new(at.x - start.x, at.y - start.y, 0.0);
                d.paper().dot(way.paper())
            };
            let right = way.paper().x > 0.0;
            // Beyond all that stands on that side.
            let own = start.paper().x;
            let beyond = |b: kurbo::Rect| if right { b.x1 - own } else { own - b.x0 };
            let beyond = stands.map_or(0.0, beyond).max(0.0);
            let t = (beyond + 4.0) / way.paper().x.abs().max(0.1);
            let out = here.iter().map(|h| along(h.2)).fold(0.0, f64::max);
            let t = t.max(out + self.riser_words(riser) + 6.0);
            let t = (t / 2.0).ceil() * 2.0;
            let mut reach = self.reach.borrow_mut();
            let t = t.max(reach.risers.get(&lowest).copied().unwrap_or(0.0));
            reach.risers.insert(lowest, t);
            for (v, _, at) in &here {
                reach.headers.insert(*v, t - along(*at));
            }
            drop(reach);
            let foot = Space::new(start.x, start.y, 0.0) + way.unit() * t;
            let first = block.outlines.len();
            self.riser(riser, way, foot, z, block);
            self.riser_headers(riser, way, foot, z, block);
            for o in &block.outlines[first..] {
                stands = Some(stands.map_or(o.bounds(), |s| s.union(o.bounds())));
            }
        }
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

    /// The headers that lead from a stack's branch out to a riser, as far as the riser stood in the
    /// round before: nothing of another storey may stand in their way.
    pub(super) fn headers_out(&self, stack: RunIx, z: f64, block: &mut Block) {
        let reach = self.reach.borrow();
        for riser in self.risers.iter().filter(|r| r.stack == stack.0) {
            for (f, v) in &riser.from {
                let (Some(over), Some(&t)) = (joint_under(self.net, *v), reach.headers.get(v))
                else {
                    continue;
                };
                let Some(at) = block.place(over) else {
                    continue;
                };
                let from = Space::new(at.x, at.y, self.heights.rim(*f) - z);
                let to = from + self.branch_way(over).unit() * t.max(0.0);
                let line = Outline::pipe(from.point(), to.point(), Cover::Out);
                block.outlines.push(line);
            }
        }
    }

    /// The way in which the headers of a riser lead out to it, by one of its joints.
    pub fn riser_way(&self, joint: JointIx) -> Option<Way> {
        let mut risers = self.risers.iter();
        let riser = risers.find(|r| r.joints.iter().any(|(v, _)| *v == joint))?;
        Some(self.branch_way(riser.over))
    }

    /// Where a level vent between a riser and a column turns: in line with the riser, and aside
    /// as pipes go to a lane.
    pub fn riser_corner(&self, riser: Space, way: Way, column: Space) -> Space {
        let (u, g) = (way.unit(), Self::to_lane(way).unit());
        let d = riser - column;
        let across = u.x * g.y - u.y * g.x;
        if across.abs() < 1e-9 {
            return column;
        }
        let b = (u.x * d.y - u.y * d.x) / across;
        column + g * b
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
                let corner = self.riser_corner(foot, way, column);
                let back = way.reversed();
                let along = (corner - foot).paper().dot(back.paper());
                for (from, to) in [(foot, corner), (corner, column)] {
                    let (a, b) = ((from + lift).point(), (to + lift).point());
                    block.outlines.push(Outline::pipe(a, b, Cover::Vent));
                }
                if let Some(&i) = self.captions.pieces.get(&piece) {
                    let shift = foot + back.unit() * along;
                    let shift = Space::new(shift.x, shift.y, lift.z);
                    self.header_label(i, way, 0.0, along, shift, block);
                }
            }
        }
    }

    /// The way of the branch on which a joint of the drains stands.
    pub(super) fn branch_way(&self, joint: JointIx) -> Way {
        let mut at = joint;
        let mut way = Way::Y;
        for _ in 0..self.net.graph.node_count() {
            let Some(p) = self.tree.down(at) else {
                break;
            };
            if self.net.is_stack(self.net.graph[p].run) {
                break;
            }
            let w = self.way(p, 0);
            if !w.is_vertical() {
                way = w;
            }
            match self.net.to(p) {
                Some(next) => at = next,
                None => break,
            }
        }
        way
    }
}
