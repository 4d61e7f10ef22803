//! From the grown block to a placement: every pipe as a path in the drawing's space, every label,
//! symbol and mark where it stands.

use std::collections::BTreeMap;

use kurbo::Rect;

use super::block::{Block, PlacedLabel, PlacedMark, PlacedSymbol};
use super::grow::{BESIDE, Grower, vent_at};
use crate::network::{Column, JointIx, Network, PieceIx, System, VentAt};
use crate::projection::{Corner, Space, Way};

/// One pipe, placed.
#[derive(Clone, Debug)]
pub struct PlacedPipe {
    /// The piece.
    pub piece: PieceIx,
    /// Its path, from its upstream joint to its downstream joint (a vent: to the open air).
    pub path: Vec<Space>,
    /// For each stretch of the path: whether it carries the 45° hatch.
    pub hatched: Vec<bool>,
}

/// A drawing, placed in its own frame; a sheet moves it as a whole.
#[derive(Clone, Debug)]
pub struct Placement {
    /// The corner it is seen from.
    pub corner: Corner,
    /// Its pipes.
    pub pipes: Vec<PlacedPipe>,
    /// Its labels.
    pub labels: Vec<PlacedLabel>,
    /// Its symbols.
    pub symbols: Vec<PlacedSymbol>,
    /// Its floor marks.
    pub marks: Vec<PlacedMark>,
    /// The box round everything.
    pub bounds: Rect,
}

/// Makes the placement of a grown block.
pub fn assemble(grower: &Grower<'_>, block: Block, corner: Corner) -> Placement {
    let net = grower.net;
    let places: BTreeMap<JointIx, Space> = block.joints.iter().copied().collect();
    let mut legs: BTreeMap<PieceIx, BTreeMap<usize, Space>> = BTreeMap::new();
    for (p, i, s) in &block.legs {
        legs.entry(*p).or_default().insert(*i, *s);
    }
    let trail = Trail {
        net,
        places: &places,
        legs: &legs,
    };
    let mut pipes = Vec::new();
    for piece in net.graph.edge_indices() {
        let path = match net.graph[piece].system {
            System::Waste => trail.waste(piece),
            System::Vent => trail.vent(grower, piece),
        };
        let Some(path) = path else { continue };
        let hatched = hatches(grower, piece, &path);
        pipes.push(PlacedPipe {
            piece,
            path,
            hatched,
        });
    }
    let mut bounds: Option<Rect> = None;
    let mut grow_bounds = |r: Rect| bounds = Some(bounds.map_or(r, |b| b.union(r)));
    for o in &block.outlines {
        grow_bounds(o.bounds());
    }
    for p in pipes.iter().flat_map(|p| &p.path) {
        let q = p.point();
        grow_bounds(Rect::from_points(q, q).inflate(1.0, 1.0));
    }
    Placement {
        corner,
        pipes,
        labels: block.labels,
        symbols: block.symbols,
        marks: block.marks,
        bounds: bounds.unwrap_or_default(),
    }
}

fn hatches(grower: &Grower<'_>, piece: PieceIx, path: &[Space]) -> Vec<bool> {
    let n = path.len().saturating_sub(1);
    let legs = grower.net.graph[piece].legs.len();
    (0..n)
        .map(|i| {
            // Paths run downstream, legs upstream.
            let leg = legs.saturating_sub(1 + i);
            grower.net.graph[piece].system == System::Waste
                && grower.ways.get(&(piece, leg)).is_some_and(|w| w.hatched)
        })
        .collect()
}

struct Trail<'a> {
    net: &'a Network,
    places: &'a BTreeMap<JointIx, Space>,
    legs: &'a BTreeMap<PieceIx, BTreeMap<usize, Space>>,
}

impl Trail<'_> {
    /// A drain's path, upstream end first.
    fn waste(&self, piece: PieceIx) -> Option<Vec<Space>> {
        let from = *self.places.get(&self.net.from(piece)?)?;
        let to = *self.places.get(&self.net.to(piece)?)?;
        let mut path = vec![from];
        if let Some(legs) = self.legs.get(&piece) {
            // The last leg ends at the upstream joint itself.
            let last = legs.keys().next_back().copied();
            path.extend(
                legs.iter()
                    .rev()
                    .filter(|(i, _)| Some(**i) != last)
                    .map(|(_, s)| *s),
            );
        }
        path.push(to);
        Some(path)
    }

    /// The place of a vent joint.
    fn vent_place(&self, grower: &Grower<'_>, joint: JointIx) -> Option<Space> {
        let Some(at) = vent_at(self.net, joint) else {
            return self.places.get(&joint).copied();
        };
        match at.column {
            Column::Riser(_) => self.places.get(&joint).copied(),
            Column::Over(j) => {
                let p = *self.places.get(&j)?;
                Some(Space::new(p.x, p.y, grower.vent_height(at, p.z)))
            }
            Column::Beside(j) => {
                let (foot, way) = self.beside(grower, j)?;
                let p = foot + way.reversed().unit() * BESIDE;
                Some(Space::new(p.x, p.y, grower.vent_height(at, p.z)))
            }
        }
    }

    /// The level drain at a joint: the foot of its drop, and the way of the drain that leaves it.
    fn beside(&self, grower: &Grower<'_>, joint: JointIx) -> Option<(Space, Way)> {
        let mut at = joint;
        for _ in 0..4 {
            let piece = self.net.downstream(at)?;
            let way = grower.ways.get(&(piece, 0))?.way;
            if !way.is_vertical() {
                return Some((*self.places.get(&at)?, way));
            }
            at = self.net.to(piece)?;
        }
        None
    }

    /// A vent's path: straight up in one column, or above the drains between two.
    fn vent(&self, grower: &Grower<'_>, piece: PieceIx) -> Option<Vec<Space>> {
        let (a, b) = (self.net.from(piece)?, self.net.to(piece)?);
        let (pa, pb) = (self.vent_place(grower, a)?, self.vent_place(grower, b)?);
        let flat = |p: Space, z: f64| Space::new(p.x, p.y, z);
        if (pa - flat(pb, pa.z)).paper().hypot() < 1e-6 {
            return Some(vec![pa, pb]);
        }
        let (ca, cb) = (self.column(a), self.column(b));
        let mut path = vec![pa];
        // A vent goes across at the higher of its two levels.
        let z = pa.z.max(pb.z);
        if pa.z < z - 1e-6 {
            path.push(flat(pa, z));
        }
        match (ca, cb) {
            (Some(ja), Some(jb)) => {
                for p in self.between(ja, jb) {
                    path.push(flat(p, z));
                }
            }
            _ => {
                // To or from a riser: along its header's way, then square to it.
                let d = pb - pa;
                if d.x.abs() > 1e-6 && d.y.abs() > 1e-6 {
                    path.push(Space::new(pa.x, pb.y, z));
                }
            }
        }
        path.push(flat(pb, z));
        path.push(pb);
        Some(straighten(path))
    }

    fn column(&self, joint: JointIx) -> Option<JointIx> {
        match vent_at(self.net, joint) {
            Some(VentAt {
                column: Column::Over(j) | Column::Beside(j),
                ..
            }) => Some(j),
            Some(_) => None,
            None => Some(joint),
        }
    }

    /// Corners of the drains' path from one joint to another, both left out.
    fn between(&self, a: JointIx, b: JointIx) -> Vec<Space> {
        let (ta, tb) = (self.down(a), self.down(b));
        let meet = ta.iter().position(|(j, _)| tb.iter().any(|(k, _)| k == j));
        let Some(i) = meet else { return Vec::new() };
        let k = tb.iter().position(|(k, _)| *k == ta[i].0).unwrap_or(0);
        let mut path: Vec<Space> = Vec::new();
        for (n, (j, bends)) in ta[..i].iter().enumerate() {
            if n > 0 {
                path.extend(self.places.get(j));
            }
            path.extend(bends);
        }
        if i > 0 && k > 0 {
            path.extend(self.places.get(&ta[i].0));
        }
        for (n, (j, bends)) in tb[..k].iter().enumerate().rev() {
            path.extend(bends.iter().rev());
            if n > 0 {
                path.extend(self.places.get(j));
            }
        }
        path
    }

    /// Joints from here down to the exit, each with the bends of the piece that leaves it.
    fn down(&self, joint: JointIx) -> Vec<(JointIx, Vec<Space>)> {
        let mut trail = Vec::new();
        let mut at = joint;
        for _ in 0..=self.net.graph.node_count() {
            let piece = self.net.downstream(at);
            let bends = piece
                .and_then(|p| self.waste(p))
                .map(|p| p[1..p.len() - 1].to_vec())
                .unwrap_or_default();
            trail.push((at, bends));
            match piece.and_then(|p| self.net.to(p)) {
                Some(next) => at = next,
                None => break,
            }
        }
        trail
    }
}

/// Leaves out points that lie on the line between their neighbours.
fn straighten(path: Vec<Space>) -> Vec<Space> {
    let mut out: Vec<Space> = Vec::with_capacity(path.len());
    for p in path {
        if out.last().is_some_and(|q| near(*q, p)) {
            continue;
        }
        while out.len() > 1 {
            let (a, b) = (out[out.len() - 2], out[out.len() - 1]);
            if !on_line(a, b, p) {
                break;
            }
            out.pop();
        }
        out.push(p);
    }
    out
}

fn near(a: Space, b: Space) -> bool {
    let d = a - b;
    d.x.abs() + d.y.abs() + d.z.abs() < 1e-6
}

fn on_line(a: Space, b: Space, c: Space) -> bool {
    let (u, v) = (b - a, c - b);
    let cross = Space::new(
        u.y * v.z - u.z * v.y,
        u.z * v.x - u.x * v.z,
        u.x * v.y - u.y * v.x,
    );
    cross.x.abs() + cross.y.abs() + cross.z.abs() < 1e-6
}
