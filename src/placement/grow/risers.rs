//! Vent risers beyond the branches of a stack, and the headers that lead to them.

use super::*;

impl Grower<'_> {
    /// Stands the risers of a stack beyond everything that the stack carries on their side.
    pub(super) fn risers_of(&self, legs: &[LegRef], top: JointIx, z: f64, block: &mut Block) {
        let stack = self.net.graph[legs[0].piece].run.0;
        for riser in self.risers.iter().filter(|r| r.stack == stack) {
            let Some(&(_, lowest)) = riser.from.first() else {
                continue;
            };
            let Some(VentAt {
                column: Column::Over(over),
                ..
            }) = vent_at(self.net, lowest)
            else {
                continue;
            };
            let Some(start) = block.place(over) else {
                continue;
            };
            let way = self.branch_way(over);
            let right = way.paper().x > 0.0;
            // Beyond all that stands on that side.
            let reach = block
                .bounds()
                .map_or(0.0, |b| if right { b.x1 } else { -b.x0 });
            let reach = reach.max(0.0);
            let own = start.paper().x.abs();
            let words = self.riser_words(riser);
            let t = ((reach - own).max(0.0) + 4.0) / crate::projection::COS30;
            let out = riser
                .from
                .iter()
                .filter_map(|(_, v)| match vent_at(self.net, *v)?.column {
                    Column::Over(j) => block.place(j),
                    _ => None,
                })
                .map(|at| {
                    Space::new(at.x - start.x, at.y - start.y, 0.0)
                        .paper()
                        .dot(way.paper())
                })
                .fold(0.0, f64::max);
            let t = t.max(out + words + 6.0);
            let t = (t / 2.0).ceil() * 2.0;
            let t = t.max(self.reach.borrow().get(&lowest).copied().unwrap_or(0.0));
            self.reach.borrow_mut().insert(lowest, t);
            let foot = Space::new(start.x, start.y, 0.0) + way.unit() * t;
            let mut zs: Vec<f64> = Vec::new();
            for (v, f) in &riser.joints {
                let h = self.heights.rim(*f) - z;
                zs.push(h);
                block.joints.push((*v, foot + Space::new(0.0, 0.0, h)));
            }
            let (lo, hi) = zs
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| {
                    (a.min(*h), b.max(*h))
                });
            if lo > hi {
                continue;
            }
            let at = |h: f64| foot + Space::new(0.0, 0.0, h);
            block
                .outlines
                .push(Outline::pipe(at(lo).point(), at(hi).point(), Cover::Vent));
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
            self.riser_headers(riser, way, foot, z, block);
        }
        let _ = top;
    }

    /// The headers that lead from a stack's branch out to a riser, as far as the riser stood in the
    /// round before: nothing of another storey may stand in their way.
    pub(super) fn headers_out(&self, stack: crate::network::RunIx, z: f64, block: &mut Block) {
        for riser in self.risers.iter().filter(|r| r.stack == stack.0) {
            let Some((_, lowest)) = riser.from.first() else {
                continue;
            };
            let Some(&t) = self.reach.borrow().get(lowest) else {
                continue;
            };
            for (f, v) in &riser.from {
                let Some(VentAt {
                    column: Column::Over(j),
                    ..
                }) = vent_at(self.net, *v)
                else {
                    continue;
                };
                let Some(at) = block.place(j) else {
                    continue;
                };
                let way = self.branch_way(j);
                let lift = Space::new(0.0, 0.0, self.heights.rim(*f) - z);
                let from = Space::new(at.x, at.y, 0.0);
                let out = way.unit() * (t - from.paper().dot(way.paper())).max(0.0);
                let (a, b) = ((from + lift).point(), (from + out + lift).point());
                block.outlines.push(Outline::pipe(a, b, Cover::Vent));
            }
        }
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
                let corner = Space::new(at.x, at.y, 0.0);
                let back = way.reversed();
                let along = (corner - foot).paper().dot(back.paper());
                block.outlines.push(Outline::pipe(
                    (foot + lift).point(),
                    (foot + back.unit() * along + lift).point(),
                    Cover::Vent,
                ));
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
