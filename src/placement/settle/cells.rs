//! What covers paper already, in a grid that is asked whether a place is free.

use std::collections::BTreeMap;

use kurbo::{Point, Rect, Vec2};

use crate::network::PieceIx;
use crate::placement::outline::{Cover, Outline};

/// Side of a cell of the search grid, mm.
const CELL: f64 = 15.0;

/// What a stretch of paper is covered by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Owner {
    Pipe(PieceIx),
    Symbol(usize),
    Label(usize),
    Mark,
    /// Words of a floor's mark.
    Floor(usize),
    Leader(usize),
}

/// All that covers paper.
#[derive(Default)]
pub(super) struct Cells {
    /// Paper outside this box is nobody's.
    pub(super) within: Option<Rect>,
    shapes: Vec<(Outline, Owner)>,
    grid: BTreeMap<(i32, i32), Vec<usize>>,
}

impl Cells {
    pub(super) fn add(&mut self, outline: Outline, owner: Owner) {
        let index = self.shapes.len();
        for cell in cells(outline.bounds()) {
            self.grid.entry(cell).or_default().push(index);
        }
        self.shapes.push((outline, owner));
    }
    pub(super) fn free(&self, outline: &Outline, skip: impl Fn(Owner) -> bool) -> bool {
        if self
            .within
            .is_some_and(|w| !w.contains_rect(outline.bounds()))
        {
            return false;
        }
        for cell in cells(outline.bounds()) {
            for &i in self.grid.get(&cell).map_or(&[][..], Vec::as_slice) {
                let (o, owner) = &self.shapes[i];
                if !skip(*owner) && o.meets(outline) {
                    return false;
                }
            }
        }
        true
    }
    /// Leaves the paper of some labels, or of a floor's words, to others.
    pub(super) fn clear(&mut self, of: impl Fn(Owner) -> bool) {
        for (o, owner) in &mut self.shapes {
            if of(*owner) {
                *o = Outline::new(vec![Point::new(1e9, 1e9); 3], Cover::Solid);
            }
        }
    }
}

fn cells(r: Rect) -> impl Iterator<Item = (i32, i32)> {
    let (x0, x1) = ((r.x0 / CELL).floor() as i32, (r.x1 / CELL).floor() as i32);
    let (y0, y1) = ((r.y0 / CELL).floor() as i32, (r.y1 / CELL).floor() as i32);
    (x0..=x1).flat_map(move |x| (y0..=y1).map(move |y| (x, y)))
}

/// A line of some half width.
pub(super) fn line(a: Point, b: Point, half: f64) -> Outline {
    let u = (b - a) * (1.0 / (b - a).hypot().max(1e-9));
    let n = Vec2::new(-u.y, u.x) * half;
    Outline::new(vec![a - n, b - n, b + n, a + n], Cover::Solid)
}

/// Distance of a convex outline from a straight line; nought where they meet.
pub(super) fn distance(o: &Outline, a: Point, b: Point) -> f64 {
    if o.meets(&Outline::new(vec![a, b], Cover::Solid)) {
        return 0.0;
    }
    // Clear of each other, the nearest two places are a corner of one and a side of the other.
    let mut least = f64::INFINITY;
    let next = o.corners().cycle().skip(1);
    for (q, r) in o.corners().zip(next) {
        least = least
            .min(from_line(q, a, b))
            .min(from_line(a, q, r))
            .min(from_line(b, q, r));
    }
    least.sqrt()
}

/// Square of the distance of a point from a straight line.
fn from_line(p: Point, a: Point, b: Point) -> f64 {
    let d = b - a;
    let t = ((p - a).dot(d) / d.hypot2().max(1e-12)).clamp(0.0, 1.0);
    (a + d * t - p).hypot2()
}
