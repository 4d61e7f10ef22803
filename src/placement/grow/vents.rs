//! The vents of a trunk: what rises at its joints, what lies level above it, and their words.

use super::*;

/// A vent rises at least so far above the joint that it rises from, mm.
const LEAST_RISE: f64 = 12.0;
/// The top of an island's loop lies so far below the vents above the rims, mm.
const UNDER_RIM: f64 = 9.0;

impl Grower<'_> {
    /// The height of a vent joint that stands over a joint of the drains at height `z`.
    pub fn vent_height(&self, at: VentAt, z: f64) -> f64 {
        match at.level {
            VentLevel::Foot => 0.0,
            VentLevel::Relief(f) => self.heights.relief(f),
            VentLevel::UnderFloor(_) => z + 9.0,
            VentLevel::UnderCounter(f) => self.heights.rim(f) - UNDER_RIM,
            VentLevel::AboveRim(f) => self.heights.rim(f),
            VentLevel::Roof => self.heights.roof(),
        }
    }

    /// The vents that rise from a joint: a bare line, its words, and a terminal at its top.
    pub(super) fn vents_over(&self, joint: JointIx, ways: &[Way], z: f64, block: &mut Block) {
        self.loop_beside(joint, z, block);
        let Some(vents) = self.over.get(&joint) else {
            return;
        };
        // However high the joint stands, its vents rise from there.
        for at in vents.iter().filter_map(|&v| vent_at(self.net, v)) {
            match at.level {
                VentLevel::AboveRim(f) => block.wants.push((Want::Rim(f), LEAST_RISE)),
                VentLevel::Roof => block.wants.push((Want::Roof, LEAST_RISE)),
                // An island's loop lies lower than the rims, and over its own drop too.
                VentLevel::UnderCounter(f) => {
                    block.wants.push((Want::Rim(f), LEAST_RISE + UNDER_RIM));
                }
                _ => {}
            }
        }
        if self.is_stack_top(joint) {
            return;
        }
        let height = |v: JointIx| vent_at(self.net, v).map(|at| self.vent_height(at, z) - z);
        let top = vents.iter().filter_map(|&v| height(v)).fold(0.0, f64::max);
        if top <= 0.0 {
            return;
        }
        let up = |h: f64| Space::new(0.0, 0.0, h);
        block
            .outlines
            .push(Outline::pipe(Point::ORIGIN, up(top).point(), Cover::Vent));
        // Lettering stands on the side that nothing leads to.
        let busy = |right: bool| {
            ways.iter().any(|w| {
                if right {
                    w.paper().x > 1e-9
                } else {
                    w.paper().x < -1e-9
                }
            })
        };
        let left = !busy(false) || busy(true);
        let both = busy(false) && busy(true);
        let mut least = if both { 7.0 } else { 2.5 };
        for p in self.rising(joint, vents) {
            let Some(&i) = self.captions.pieces.get(&p) else {
                continue;
            };
            let caption = &self.captions.all[i];
            let (at, slant, mut outline) = lettering::along(caption, Way::UP, left);
            let from = self.net.from(p).and_then(height).unwrap_or(0.0);
            let to = self.net.to(p).and_then(height).unwrap_or(top);
            let roof = self.net.to(p).is_some_and(|j| {
                matches!(
                    vent_at(self.net, j),
                    Some(VentAt {
                        level: VentLevel::Roof,
                        ..
                    })
                )
            });
            let mut start = (from + 2.5).max(least);
            let aloft = |j: JointIx| {
                vent_at(self.net, j).is_some_and(|at| at.level >= VentLevel::AboveRim(FloorIx(0)))
            };
            if self.net.from(p).is_some_and(aloft) {
                outline.cover = Cover::Aloft;
            }
            if roof && to - from > caption.width() + 20.0 {
                // A long rise to the roof is lettered near its top, clear of all drains.
                start = to - caption.width() - 8.0;
                outline.cover = Cover::Aloft;
            }
            let shift = up(start).paper();
            block.outlines.push(outline.moved(shift));
            block.labels.push(PlacedLabel {
                caption: i,
                at: at + shift,
                slant,
                flush: Flush::Left,
                leader: None,
            });
            least = start + caption.width() + 3.0;
        }
        // A terminal of its own.
        for &f in vents.iter().flat_map(|&v| self.figures.at(v)) {
            let forms = self.alone(f, Way::UP, None);
            if let Some((form, _)) = forms.into_iter().next() {
                block.absorb(aloft(form.block()).finish(), up(top));
            }
        }
    }

    /// The falling leg of an island's loop, a step beside its joint.
    pub(super) fn loop_beside(&self, joint: JointIx, z: f64, block: &mut Block) {
        let Some(vents) = self.beside.get(&joint) else {
            return;
        };
        let Some(down) = self.tree.down(joint) else {
            return;
        };
        let back = self.way(down, 0).reversed().unit() * BESIDE;
        let heights: Vec<f64> = vents
            .iter()
            .filter_map(|&v| vent_at(self.net, v))
            .map(|at| self.vent_height(at, z) - z)
            .collect();
        let low = heights.iter().copied().fold(f64::INFINITY, f64::min);
        let high = heights.iter().copied().fold(low, f64::max).max(DROP + 18.0);
        if low.is_finite() {
            let at = |h: f64| back + Space::new(0.0, 0.0, h);
            block.outlines.push(Outline::pipe(
                at(low).point(),
                at(high).point(),
                Cover::Vent,
            ));
        }
    }

    /// Vent pieces that rise in the column over a joint, lowest first.
    pub(super) fn rising(&self, joint: JointIx, vents: &[JointIx]) -> Vec<PieceIx> {
        use petgraph::visit::EdgeRef;
        let mut pieces = Vec::new();
        for &v in std::iter::once(&joint).chain(vents) {
            for e in self.net.graph.edges(v) {
                if e.weight().system == System::Vent && vents.contains(&e.target()) {
                    pieces.push(e.id());
                }
            }
        }
        pieces
    }

    pub(super) fn is_stack_top(&self, joint: JointIx) -> bool {
        let down = self.tree.down(joint);
        down.is_some_and(|p| self.net.is_stack(self.net.graph[p].run))
    }

    /// Vent lines that lie above a level trunk, and their words.
    #[expect(clippy::too_many_arguments, reason = "the last step of one trunk")]
    pub(super) fn headers_over(
        &self,
        legs: &[LegRef],
        from: usize,
        to: usize,
        way: Way,
        z: f64,
        elements: &[Element],
        stood: &[Stood],
        block: &mut Block,
    ) {
        // Columns on this trunk: its joints, and the fittings of drops that stand on them.
        let mut station: BTreeMap<JointIx, f64> = BTreeMap::new();
        let mut off: Vec<(JointIx, Space, Space)> = Vec::new();
        let u = way.unit();
        for leg in &legs[from..to] {
            let Some(j) = leg.joint else { continue };
            let Some((_, at)) = block.joints.iter().find(|(k, _)| *k == j) else {
                continue;
            };
            let s = at.paper().dot(way.paper());
            for c in self.columns(j) {
                station.insert(c, s);
            }
            // A fitting that stands off the trunk: its header comes back over its drop first.
            for (c, out) in self.fittings_off(j) {
                station.insert(c, s);
                off.push((c, u * s, u * s + out));
            }
        }
        let on = |v: JointIx| {
            vent_at(self.net, v).and_then(|at| match at.column {
                Column::Over(j) | Column::Beside(j) => station.get(&j).map(|s| (*s, at)),
                Column::Riser(_) => None,
            })
        };
        // A vent stack's own level pipes lead over to the stack whose base is on this trunk.
        let on_stack = |v: JointIx| {
            let base = self.base_under(match vent_at(self.net, v).map(|at| at.column) {
                Some(Column::Over(j)) => j,
                _ => v,
            })?;
            let level = match self.net.graph[v].kind {
                JointKind::Relief(f) => VentLevel::Relief(f),
                _ => vent_at(self.net, v)?.level,
            };
            let column = Column::Over(base);
            station.get(&base).map(|s| (*s, VentAt { column, level }))
        };
        let end = station.values().copied().fold(0.0, f64::max);
        let mut floors: Vec<FloorIx> = Vec::new();
        for e in self.vents_at(station.keys().copied()) {
            let Some((a, b)) = self.net.graph.edge_endpoints(e) else {
                continue;
            };
            let (mut pa, mut pb) = (on(a), on(b));
            if self.net.runs[self.net.graph[e].run.0].kind == RunKind::VentStack {
                (pa, pb) = (pa.or_else(|| on_stack(a)), pb.or_else(|| on_stack(b)));
            }
            let Some((s0, at)) = pa.or(pb) else { continue };
            let s1 = match (pa, pb) {
                (Some(x), Some(y)) => {
                    if pa.is_some_and(|p| p.0 == s0) {
                        y.0
                    } else {
                        x.0
                    }
                }
                _ => {
                    let other = if pa.is_some() { b } else { a };
                    match vent_at(self.net, other).map(|v| v.column) {
                        Some(Column::Riser(_)) => {
                            if let VentLevel::AboveRim(f) = at.level {
                                floors.push(f);
                            }
                            continue;
                        }
                        Some(Column::Over(j) | Column::Beside(j)) => {
                            if legs[to - 1]
                                .joint
                                .is_some_and(|l| self.tree.upstream_of(j, l))
                            {
                                end
                            } else {
                                0.0
                            }
                        }
                        None => continue,
                    }
                }
            };
            if (s0 - s1).abs() < 1e-6 {
                if let VentLevel::AboveRim(f) = at.level {
                    floors.push(f);
                }
                continue;
            }
            if let VentLevel::AboveRim(f) = at.level {
                floors.push(f);
            }
            let h = self.vent_height(at, z) - z;
            let lift = Space::new(0.0, 0.0, h);
            for v in [a, b] {
                let over = vent_at(self.net, v).map(|at| at.column);
                for (_, on, stands) in off.iter().filter(|o| over == Some(Column::Over(o.0))) {
                    let (from, to) = ((*on + lift).point(), (*stands + lift).point());
                    block.outlines.push(Outline::pipe(from, to, Cover::Vent));
                }
            }
            let (lo, hi) = (s0.min(s1), s0.max(s1));
            // Where it meets the stack's own line it takes no room of its own.
            let from = if lo < 1e-6 { 3.0 } else { lo };
            block.outlines.push(Outline::pipe(
                (u * from + lift).point(),
                (u * hi + lift).point(),
                Cover::Vent,
            ));
            if let Some(&i) = self.captions.pieces.get(&e) {
                self.header_label(i, way, lo, hi, lift, block);
            }
        }
        floors.sort_unstable();
        floors.dedup();
        // On what is not drawn there hangs what comes up from other sheets, whole stacks too: vents
        // that cross over above that would raise the rims for ever.
        if floors.is_empty() || legs.get(from).is_some_and(|l| self.is_hidden(l.piece)) {
            return;
        }
        let hung = elements.iter().zip(stood).filter(|(e, _)| e.is_joint);
        let crown = hung
            .filter_map(|(e, s)| Some([&e.forms.base, &e.forms.each.get(s.variant)?.0]))
            .filter(|parts| parts.iter().map(|p| self.traps(p)).sum::<usize>() <= 2)
            .flatten()
            .map(|p| p.block().height_above(way))
            .fold(0.0, f64::max);
        for f in floors {
            block.wants.push((Want::Rim(f), crown + 3.0));
        }
    }

    /// The base of the stack that a joint stands in.
    fn base_under(&self, joint: JointIx) -> Option<JointIx> {
        let run = self.net.graph[self.tree.down(joint)?].run;
        let first = self.net.runs[run.0].pieces.first();
        first
            .filter(|_| self.net.is_stack(run))
            .and_then(|p| self.net.to(*p))
    }

    /// The room that the words of a vent stack's level pipes ask for between its foot and the base of
    /// its stack, which is this joint.
    fn vent_stack_room(&self, base: JointIx) -> Vec<(Option<JointIx>, f64)> {
        let mut room = Vec::new();
        for (stack, foot) in &self.net.vent_stacks {
            let first = self.net.runs[stack.0].pieces.first();
            if first.and_then(|p| self.net.to(*p)) != Some(base) {
                continue;
            }
            let vents = self.net.graph.edges(*foot);
            let own = vents.filter(|e| e.weight().system == System::Vent);
            for run in own.map(|e| e.weight().run) {
                let level = self.net.runs[run.0].pieces.iter().filter(|p| {
                    let legs = &self.net.graph[**p].legs;
                    legs.iter()
                        .all(|l| l.heading != Some(crate::units::Heading::Up))
                });
                let words = level.filter_map(|p| self.captions.pieces.get(p));
                room.extend(words.map(|&i| (Some(*foot), self.captions.all[i].width() + 7.0)));
            }
        }
        room
    }

    /// The columns at a joint of a level drain: the joint, and the fittings of drops on it.
    pub(super) fn columns(&self, joint: JointIx) -> Vec<JointIx> {
        let mut columns = vec![joint];
        for &p in self.tree.up(joint) {
            let drop = self.net.runs[self.net.graph[p].run.0].kind == RunKind::FixtureDrain;
            let upright = (0..self.net.graph[p].legs.len()).all(|i| self.way(p, i) == Way::UP);
            if drop && upright {
                columns.extend(self.net.from(p));
            }
        }
        columns
    }

    /// Vent fittings of level drops at a joint of a level drain, and how far off it each stands
    /// at least.
    fn fittings_off(&self, joint: JointIx) -> Vec<(JointIx, Space)> {
        let mut found = Vec::new();
        for &p in self.tree.up(joint) {
            let ways = (0..self.net.graph[p].legs.len()).map(|i| self.way(p, i));
            let drop = self.net.runs[self.net.graph[p].run.0].kind == RunKind::FixtureDrain;
            if drop && ways.clone().all(|w| !w.is_vertical()) {
                let out = ways.fold(Space::default(), |at, w| at + w.unit() * BETWEEN);
                found.extend(self.net.from(p).map(|c| (c, out)));
            }
        }
        found
    }

    /// How far from the trunk's start, and from earlier joints of it, the headers over a joint ask
    /// it to stand, so that their words have room: joint (none: the start) and distance.
    pub(super) fn header_room(&self, joint: JointIx) -> Vec<(Option<JointIx>, f64)> {
        let own = self.columns(joint);
        let mut room = self.vent_stack_room(joint);
        for e in self.vents_at(own.iter().copied()) {
            let Some(&i) = self.captions.pieces.get(&e) else {
                continue;
            };
            let Some((a, b)) = self.net.graph.edge_endpoints(e) else {
                continue;
            };
            let column = |v: JointIx| match vent_at(self.net, v).map(|at| at.column) {
                Some(Column::Over(j) | Column::Beside(j)) => Some(j),
                _ => None,
            };
            let (Some(ca), Some(cb)) = (column(a), column(b)) else {
                continue;
            };
            let far = if own.contains(&ca) { cb } else { ca };
            if !own.contains(&far) {
                room.push((Some(far), self.captions.all[i].width() + 7.0));
            }
        }
        room
    }

    /// Vent pieces that begin or end over any of these joints of the drains.
    pub(super) fn vents_at(&self, joints: impl Iterator<Item = JointIx>) -> Vec<PieceIx> {
        use petgraph::Direction::{Incoming, Outgoing};
        use petgraph::visit::EdgeRef;
        let mut found = Vec::new();
        for v in joints.filter_map(|j| self.over.get(&j)).flatten() {
            for d in [Incoming, Outgoing] {
                let edges = self.net.graph.edges_directed(*v, d);
                found.extend(
                    edges
                        .filter(|e| e.weight().system == System::Vent)
                        .map(|e| e.id()),
                );
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    /// How many traps stand in a block.
    fn traps(&self, part: &Part) -> usize {
        let mut count = 0;
        part.block().walk(Space::default(), &mut |b, _| {
            let traps = b.joints.iter();
            count += traps
                .filter(|(j, _)| matches!(self.net.graph[*j].kind, JointKind::Trap(_)))
                .count();
        });
        count
    }

    /// Words of a header, set above it.
    pub(super) fn header_label(
        &self,
        i: usize,
        way: Way,
        lo: f64,
        hi: f64,
        lift: Space,
        block: &mut Block,
    ) {
        let caption = &self.captions.all[i];
        let w = caption.width();
        let start = ((lo + hi - w) / 2.0).max(lo + 1.0);
        // Above on paper: left of a way that leads right, right of one that leads left.
        let left = way.paper().x > 0.0;
        let (at, slant, mut outline) = lettering::along(caption, way, left);
        outline.cover = Cover::Header;
        let shift = (way.unit() * start + lift).paper();
        block.outlines.push(outline.moved(shift));
        block.labels.push(PlacedLabel {
            caption: i,
            at: at + shift,
            slant,
            flush: Flush::Left,
            leader: None,
        });
    }
}

/// The same block, counted as far above the drains.
fn aloft(block: &Block) -> Block {
    let mut high = block.clone();
    for o in &mut high.outlines {
        o.cover = Cover::Aloft;
    }
    for (part, _) in &mut high.parts {
        *part = aloft(part.block()).finish();
    }
    high
}
