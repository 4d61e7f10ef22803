//! What a label names: stretches of pipe, or a symbol.

use std::collections::BTreeMap;

use kurbo::Point;

use super::cells::distance;
use super::ink;
use crate::captions::{Caption, Captions};
use crate::linework::{Gap, breaks};
use crate::network::{JointIx, Network, PieceIx};
use crate::placement::assemble::{PlacedPipe, Placement};
use crate::placement::block::{Flush, PlacedLabel};
use crate::placement::figures::Figures;
use crate::projection::Space;
use crate::sheets::Slant;

/// A label nearer to what it names than this, mm, needs no leader.
const NEAR: f64 = 3.9;
/// Words beside the foot of an upright pipe reach at least so far up beside it, mm.
const UNDER: f64 = 1.0;
/// What is said of a joint stands by so much of the pipes that meet there, mm.
const AT_JOINT: f64 = 4.0;
/// A leader to a joint ends so far from its middle, mm, or at the edge of a small symbol that stands
/// on it, which lies no farther out than this.
const EDGE: f64 = 0.4;
const MOST_EDGE: f64 = 1.2;
/// The hull of a symbol has so much round its lines, mm.
const STROKE: f64 = 0.2;

/// What is drawn, by what labels call it.
pub(super) struct World<'a> {
    pub(super) net: &'a Network,
    pub(super) captions: &'a Captions,
    pub(super) figures: &'a Figures,
    pub(super) pieces: &'a BTreeMap<usize, PieceIx>,
    /// The joint of each caption that stands at one and not anywhere along its pipe.
    pub(super) at_joints: BTreeMap<usize, JointIx>,
    /// Placed pipe of each piece.
    pub(super) by_piece: BTreeMap<PieceIx, usize>,
    /// Placed pipes by id and by lettered run.
    pub(super) pipes: BTreeMap<String, Vec<usize>>,
    /// Placed symbols by id.
    pub(super) symbols: BTreeMap<String, Vec<usize>>,
    /// Where each stretch of a placed pipe passes behind others.
    pub(super) gaps: BTreeMap<(usize, usize), Vec<Gap>>,
}

/// What a label names: stretches of pipe, and the hull of a symbol.
#[derive(Default)]
pub(super) struct Named {
    pub(super) stretches: Vec<(Space, Space)>,
    /// What of them is drawn: they are broken where they pass behind other pipes.
    pub(super) drawn: Vec<(Point, Point)>,
    pub(super) hull: Vec<Point>,
    /// The joint, if that is what is named, and not the pipes.
    pub(super) joint: Option<AtJoint>,
}

/// A joint that is named.
pub(super) struct AtJoint {
    /// Where it stands.
    pub(super) at: Point,
    /// The symbols that stand on it: the index and hull of each.
    symbols: Vec<(usize, Vec<Point>)>,
}

impl AtJoint {
    /// Whether a symbol stands on it.
    pub(super) fn has(&self, symbol: usize) -> bool {
        self.symbols.iter().any(|s| s.0 == symbol)
    }

    /// Where a leader from some place ends: at the edge of what stands there, and not in its middle.
    pub(super) fn tip(&self, from: Point) -> Point {
        let way = from - self.at;
        let length = way.hypot();
        let toward = |p: &Point| (*p - self.at).dot(way) / length;
        let hulls = self.symbols.iter().flat_map(|s| &s.1);
        let edge = hulls.map(toward).fold(EDGE, f64::max).min(MOST_EDGE);
        self.at.lerp(from, (edge / length).min(1.0))
    }
}

impl Named {
    /// Whether a label, as these words, stands wholly below the foot of what is upright: there it reads
    /// as that of the pipe which this one stands on.
    pub(super) fn is_under(&self, words: &Caption, at: Point, slant: Slant, flush: Flush) -> bool {
        let upright = self.drawn.iter().all(|(a, b)| (a.x - b.x).abs() < 0.01);
        let ends = self.drawn.iter().flat_map(|(a, b)| [a.y, b.y]);
        let foot = ends.fold(f64::NEG_INFINITY, f64::max);
        let ink = ink(words, at, slant, flush);
        let top = ink
            .iter()
            .map(|o| o.bounds().y0)
            .fold(f64::INFINITY, f64::min);
        upright && self.hull.is_empty() && top > foot - UNDER
    }

    /// Whether a label, as these words, stands near enough to it to need no leader.
    pub(super) fn is_near(&self, words: &Caption, at: Point, slant: Slant, flush: Flush) -> bool {
        let ink = ink(words, at, slant, flush);
        let near = |a: Point, b: Point, least: f64| ink.iter().any(|o| distance(o, a, b) < least);
        let next = self.hull.iter().cycle().skip(1);
        let mut sides = self.hull.iter().zip(next);
        self.drawn.iter().any(|(a, b)| near(*a, *b, NEAR))
            || sides.any(|(a, b)| near(*a, *b, NEAR - STROKE))
    }
}

impl World<'_> {
    /// What a label names, where it stands.
    pub(super) fn named(&self, placement: &Placement, label: &PlacedLabel) -> Named {
        let caption = &self.captions.all[label.caption];
        // Words that stand by a symbol stay there, and do not wander along its pipes.
        let symbols = self
            .symbols
            .get(&caption.names)
            .map_or(&[][..], Vec::as_slice);
        let is_own = |i: &&usize| {
            let figure = placement.symbols[**i].symbol;
            self.figures.caption(figure, self.captions) == Some(label.caption)
        };
        if let Some(&i) = symbols.iter().find(is_own) {
            return self.symbol_named(placement, i);
        }
        if let Some(&joint) = self.at_joints.get(&label.caption) {
            let near = self.joint_named(placement, joint, &caption.names);
            if !near.stretches.is_empty() {
                return near;
            }
        }
        let own = self
            .pieces
            .get(&label.caption)
            .and_then(|p| self.by_piece.get(p));
        let named = self.pipes.get(&caption.names);
        let pipes: &[usize] = match own {
            Some(i) => std::slice::from_ref(i),
            None => named.map_or(&[], Vec::as_slice),
        };
        let mut found = Named::default();
        for &i in pipes {
            for k in 1..placement.pipes[i].path.len() {
                self.add(placement, (i, k - 1), &mut found);
            }
        }
        if found.stretches.is_empty() {
            for &i in self
                .symbols
                .get(&caption.names)
                .map_or(&[][..], Vec::as_slice)
            {
                let s = &placement.symbols[i];
                let drawn = self.figures.drawn(s.symbol, s.way);
                let hull = drawn.hull.iter().map(|p| *p + s.at.to_vec2());
                found.hull.extend(hull);
            }
        }
        found
    }

    /// Adds a stretch of a placed pipe to what is named.
    fn add(&self, placement: &Placement, (pipe, k): (usize, usize), named: &mut Named) {
        let (a, b) = (
            placement.pipes[pipe].path[k],
            placement.pipes[pipe].path[k + 1],
        );
        named.stretches.push((a, b));
        let (a, b) = (a.point(), b.point());
        let gaps = self.gaps.get(&(pipe, k)).map_or(&[][..], Vec::as_slice);
        let mut from = 0.0;
        for (end, next) in breaks(gaps, (b - a).hypot()) {
            named.drawn.push((a.lerp(b, from), a.lerp(b, end)));
            from = next;
        }
        named.drawn.push((a.lerp(b, from), b));
    }

    /// The ends at a joint of the pipes of a name.
    fn joint_named(&self, placement: &Placement, joint: JointIx, name: &str) -> Named {
        let mut found = Named::default();
        let at = |at: Point| AtJoint {
            at,
            symbols: self.symbols_at(placement, at),
        };
        let named = self.pipes.get(name).map_or(&[][..], Vec::as_slice);
        for p in named.iter().filter_map(|i| placement.pipes.get(*i)) {
            let Some((from, to)) = self.net.graph.edge_endpoints(p.piece) else {
                continue;
            };
            let mut path = p.path.clone();
            if from != joint {
                path.reverse();
            }
            if let (true, [a, b, ..]) = (from == joint || to == joint, &path[..]) {
                let long = (b.point() - a.point()).hypot();
                let end = *a + (*b - *a) * (AT_JOINT / long.max(AT_JOINT));
                found.joint = Some(at(a.point()));
                found.stretches.push((*a, end));
                found.drawn.push((a.point(), end.point()));
            }
        }
        found
    }

    /// The symbols that stand on a place, with their hulls.
    fn symbols_at(&self, placement: &Placement, at: Point) -> Vec<(usize, Vec<Point>)> {
        let all = placement.symbols.iter().enumerate();
        let here = all.filter(|(_, s)| (s.at - at).hypot() < EDGE);
        here.map(|(i, s)| {
            let drawn = self.figures.drawn(s.symbol, s.way);
            (i, drawn.hull.iter().map(|p| *p + s.at.to_vec2()).collect())
        })
        .collect()
    }

    /// The pipe that ends at a fixture; any other symbol itself.
    fn symbol_named(&self, placement: &Placement, i: usize) -> Named {
        let s = &placement.symbols[i];
        let figure = &self.figures.all[s.symbol];
        let ends = |p: &&PlacedPipe| {
            figure.stands.is_trap_of(self.net) && self.net.from(p.piece) == Some(figure.joint)
        };
        let mut found = Named::default();
        let arm = placement.pipes.iter().position(|p| ends(&p));
        let last = arm.and_then(|i| Some((i, placement.pipes[i].path.len().checked_sub(2)?)));
        match last {
            Some(last) => self.add(placement, last, &mut found),
            None => {
                let drawn = self.figures.drawn(s.symbol, s.way);
                let hull = drawn.hull.iter().map(|p| *p + s.at.to_vec2());
                found.hull.extend(hull);
            }
        }
        found
    }

    /// Whether a label stands near enough to what it names to need no leader.
    pub(super) fn near(&self, placement: &Placement, label: &PlacedLabel) -> bool {
        let words = &self.captions.all[label.caption];
        let named = self.named(placement, label);
        named.is_near(words, label.at, label.slant, label.flush)
    }
}
