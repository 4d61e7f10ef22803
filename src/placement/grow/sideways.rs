//! Lanes beside a stack: what leaves it the way of another pipe is led aside first, at 45° in plan,
//! past all that stands there.

use super::kept::Variants;
use super::reach::Sideways;
use super::*;
use crate::network::RunIx;

/// A lane lies no nearer to the next than this, mm.
pub(super) const LANE: f64 = 14.0;

impl Grower<'_> {
    /// The way from a stack to the lanes beside those that lead along `way`: level on paper, on
    /// the side that they lead to.
    pub fn to_lane(way: Way) -> Way {
        if way.is_skew() {
            return way.nearer_axis();
        }
        let side = if way.paper().x < 0.0 { -1 } else { 1 };
        Way::of_signs(side, -side, 0).unwrap_or(Way::X)
    }

    /// A block that begins with a pipe that leaves a stack, led aside to the pipe's lane. `block`
    /// makes it from the way to the lane, and the step that led there in the round before.
    pub(super) fn in_lane(
        &self,
        (stack, floor): (RunIx, Option<FloorIx>),
        piece: PieceIx,
        z: f64,
        taken: &Block,
        block: impl Fn((Way, Space)) -> Block,
    ) -> Block {
        let own = self.ways.get(&(piece, 0));
        let lane = own.map_or((Way::Y, 0), |w| (w.way, w.lane));
        let way = Self::to_lane(lane.0);
        let base = floor.map_or(0.0, |f| self.heights.branch(f));
        // All that is in one lane stands as far out as the farthest of it.
        let known = |s: &&Sideways| s.stack == stack && s.lane == lane;
        let reach = self.reach.borrow();
        let others = reach.lanes.values().filter(known).map(|s| s.length);
        let least = others.fold(LANE, f64::max);
        drop(reach);
        let block = block((way, way.unit() * least));
        let each: Variants = vec![(block.finish(), 0.0)];
        let clear = Clear {
            parent: Some(Parent {
                way: Way::UP,
                ends: false,
            }),
            corridor: STACK_CORRIDOR,
            module: self.module,
        };
        let length = stand_alone(way, &clear, taken, (each.clone(), least));
        let sideways = Sideways {
            stack,
            floor,
            lane,
            way,
            length,
            rise: z - base,
            vent: self.vents_past(piece),
        };
        self.reach.borrow_mut().lanes.insert(piece, sideways);
        let mut led = Block::default();
        let end = way.unit() * length;
        for line in self.lines_of(&sideways, z) {
            led.outlines.push(line);
        }
        for (form, _) in each {
            led.absorb(form, end);
        }
        led.bends.push((piece, end));
        led
    }

    /// Lines to the lanes of some pipes of a floor of a stack, as they lay in the round before, as
    /// seen from a joint at height `z`.
    pub(super) fn lanes_beside(
        &self,
        (stack, floor): (RunIx, Option<FloorIx>),
        z: f64,
        which: impl Fn(PieceIx) -> bool,
    ) -> Block {
        let reach = self.reach.borrow();
        let here =
            |(p, s): &(&PieceIx, &Sideways)| s.stack == stack && s.floor == floor && which(**p);
        let mut block = Block::default();
        for (_, s) in reach.lanes.iter().filter(here) {
            block.outlines.extend(self.lines_of(s, z));
        }
        block
    }

    /// The pipe that leads to a lane, and the vent over it, as seen from height `z`.
    fn lines_of(&self, s: &Sideways, z: f64) -> Vec<Outline> {
        let base = s.floor.map_or(0.0, |f| self.heights.branch(f));
        let end = s.way.unit() * s.length;
        let line = |h: f64, cover| {
            let up = Space::new(0.0, 0.0, h);
            Outline::pipe(up.point(), (end + up).point(), cover)
        };
        let mut lines = vec![line(base + s.rise - z, Cover::Solid)];
        lines.extend(s.vent.map(|f| line(self.heights.rim(f) - z, Cover::Vent)));
        lines
    }

    /// The floor above whose rims a vent leads past a pipe of the drains.
    fn vents_past(&self, piece: PieceIx) -> Option<FloorIx> {
        let from = self.net.from(piece)?;
        let below = |v: JointIx| match vent_at(self.net, v)?.column {
            Column::Over(j) | Column::Beside(j) => Some(!self.tree.upstream_of(j, from)),
            Column::Riser(_) => None,
        };
        let joints = self.over.keys().copied();
        let above = joints.filter(|&j| self.tree.upstream_of(j, from));
        self.vents_at(above).into_iter().find_map(|e| {
            let (a, b) = self.net.graph.edge_endpoints(e)?;
            let past = [a, b].into_iter().any(|v| below(v) == Some(true));
            match vent_at(self.net, a)?.level {
                VentLevel::AboveRim(f) if past => Some(f),
                _ => None,
            }
        })
    }
}
