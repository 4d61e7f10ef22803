//! Convex outlines on paper: what a pipe, a symbol or a line of lettering covers.

use std::cell::OnceCell;
use std::rc::Rc;

use kurbo::{Point, Rect, Vec2};

/// What an outline stands for; decides which contacts are allowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cover {
    /// A drain, a symbol or lettering: touches nothing.
    Solid,
    /// Lettering of a level vent above the rims: touches nothing, but does not count as part of what
    /// stands beneath the vents: it rises with them.
    Header,
    /// A vent's bare line out to a riser, as far as that stood in the round before: like a vent, but
    /// no reason to stand any farther out.
    Out,
    /// A vent's bare line: may cross another pipe at an angle, with a gap in the one behind.
    Vent,
    /// A terminal and its words, far above the drains that it belongs to: touches nothing, but
    /// does not count as part of what stands on those drains.
    Aloft,
}

/// A convex outline, already grown by half of the clear paper that everything keeps.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Corners before they are moved; kept once for all places that they are moved to.
    corners: Rc<Corners>,
    /// How far they are moved.
    by: Vec2,
    /// What it stands for.
    pub cover: Cover,
    /// The upright box round it.
    bounds: Rect,
    /// Whether it is that box itself.
    upright: bool,
}

/// Corners of an outline, in order.
#[derive(Debug)]
struct Corners {
    points: Vec<Point>,
    /// How far the outline reaches square to each of its sides; of one with many sides, which is
    /// compared with much, worked out once.
    across: OnceCell<Vec<Across>>,
}

/// A side of an outline: the linear form square to it, and the least and greatest of that over
/// the outline.
type Across = (Vec2, (f64, f64));

impl Corners {
    /// As many sides are worked out as they are asked for.
    const FEW: usize = 4;

    fn across(&self, i: usize) -> Across {
        let side = |i: usize| {
            let e = self.points[(i + 1) % self.points.len()] - self.points[i];
            let form = Vec2::new(-e.y, e.x);
            (form, self.range(form))
        };
        if self.points.len() <= Self::FEW {
            return side(i);
        }
        let all = || (0..self.points.len()).map(side).collect();
        self.across.get_or_init(all)[i]
    }

    /// Least and greatest of a linear form over them.
    fn range(&self, form: Vec2) -> (f64, f64) {
        let (mut lo, mut hi) = (f64::INFINITY, f64::NEG_INFINITY);
        for p in &self.points {
            let v = p.to_vec2().dot(form);
            lo = if v < lo { v } else { lo };
            hi = if v > hi { v } else { hi };
        }
        (lo, hi)
    }
}

/// Half of the clear paper between any two outlines, mm.
pub const HALF_CLEAR: f64 = 0.5;
/// Half width that a pipe's line takes, mm: two side by side keep 2 mm between their edges.
pub const PIPE_HALF: f64 = 0.95;

impl Outline {
    /// An outline with these corners.
    pub fn new(points: Vec<Point>, cover: Cover) -> Self {
        let (mut x0, mut y0) = (f64::INFINITY, f64::INFINITY);
        let (mut x1, mut y1) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        for p in &points {
            x0 = if p.x < x0 { p.x } else { x0 };
            y0 = if p.y < y0 { p.y } else { y0 };
            x1 = if p.x > x1 { p.x } else { x1 };
            y1 = if p.y > y1 { p.y } else { y1 };
        }
        let upright = match points.as_slice() {
            [a, b, c, d] => a.y == b.y && b.x == c.x && c.y == d.y && d.x == a.x,
            _ => false,
        };
        Outline {
            upright,
            corners: Rc::new(Corners {
                points,
                across: OnceCell::new(),
            }),
            by: Vec2::ZERO,
            cover,
            bounds: Rect { x0, y0, x1, y1 },
        }
    }
    /// Its corners, in order.
    pub fn corners(&self) -> impl ExactSizeIterator<Item = Point> + Clone + '_ {
        self.corners.points.iter().map(|p| *p + self.by)
    }
    /// A pipe's line from `a` to `b`.
    pub fn pipe(a: Point, b: Point, cover: Cover) -> Self {
        let along = b - a;
        let length = along.hypot();
        let u = if length > 1e-9 {
            along * (1.0 / length)
        } else {
            Vec2::new(1.0, 0.0)
        };
        let n = Vec2::new(-u.y, u.x) * (PIPE_HALF + HALF_CLEAR);
        let e = u * HALF_CLEAR;
        Outline::new(vec![a - e - n, b + e - n, b + e + n, a - e + n], cover)
    }
    /// An upright box.
    pub fn rect(r: Rect) -> Self {
        let r = r.inflate(HALF_CLEAR, HALF_CLEAR);
        Outline::new(
            vec![
                Point::new(r.x0, r.y0),
                Point::new(r.x1, r.y0),
                Point::new(r.x1, r.y1),
                Point::new(r.x0, r.y1),
            ],
            Cover::Solid,
        )
    }
    /// A box along `u` (unit) from `at`: from `(0, low)` to `(length, high)` in the frame of `u`
    /// and its normal to the left on paper.
    pub fn slanted(at: Point, u: Vec2, length: f64, low: f64, high: f64) -> Self {
        let n = Vec2::new(u.y, -u.x);
        let (l0, l1, h0, h1) = (
            -HALF_CLEAR,
            length + HALF_CLEAR,
            low - HALF_CLEAR,
            high + HALF_CLEAR,
        );
        Outline::new(
            vec![
                at + u * l0 + n * h0,
                at + u * l1 + n * h0,
                at + u * l1 + n * h1,
                at + u * l0 + n * h1,
            ],
            Cover::Solid,
        )
    }
    /// What holds some points, in twelve sides, grown.
    pub fn hull(points: &[Point]) -> Self {
        Outline::new(twelve_sided(points, HALF_CLEAR), Cover::Solid)
    }
    /// The same, moved.
    pub fn moved(&self, by: Vec2) -> Self {
        Outline {
            corners: Rc::clone(&self.corners),
            by: self.by + by,
            cover: self.cover,
            bounds: self.bounds + by,
            upright: self.upright,
        }
    }
    /// Least and greatest of a linear form over it.
    pub fn range(&self, form: Vec2) -> (f64, f64) {
        let (lo, hi) = self.corners.range(form);
        let by = self.by.dot(form);
        (lo + by, hi + by)
    }
    /// The upright box round it.
    pub fn bounds(&self) -> Rect {
        self.bounds
    }
    /// Whether two outlines share paper (by the separating axis test).
    pub fn meets(&self, other: &Outline) -> bool {
        let (a, b) = (self.bounds, other.bounds);
        a.x0 < b.x1
            && b.x0 < a.x1
            && a.y0 < b.y1
            && b.y0 < a.y1
            && !separated(self, other)
            && !separated(other, self)
    }
}

/// Whether a line along one of the edges of `a` has all of `b` on its far side.
fn separated(a: &Outline, b: &Outline) -> bool {
    if a.upright {
        // Its sides are the ways of the two boxes; a side weighs as long as it is, as below.
        let (own, other) = (a.bounds, b.bounds);
        let apart = |by: f64, side: f64| by * side <= 1e-9;
        let (wide, high) = (own.width(), own.height());
        return apart(own.x1 - other.x0, high)
            || apart(other.x1 - own.x0, high)
            || apart(own.y1 - other.y0, wide)
            || apart(other.y1 - own.y0, wide);
    }
    (0..a.corners.points.len()).any(|i| {
        let (form, (lo, hi)) = a.corners.across(i);
        let by = a.by.dot(form);
        let ((a0, a1), (b0, b1)) = ((lo + by, hi + by), b.range(form));
        a1 <= b0 + 1e-9 || b1 <= a0 + 1e-9
    })
}

/// The least polygon round some points whose twelve sides lie square to the ways of the drawing and
/// midway between them, each moved out by `grow`.
pub fn twelve_sided(points: &[Point], grow: f64) -> Vec<Point> {
    const H: f64 = crate::projection::COS30;
    const SIDES: [(f64, f64); 12] = [
        (1.0, 0.0),
        (H, 0.5),
        (0.5, H),
        (0.0, 1.0),
        (-0.5, H),
        (-H, 0.5),
        (-1.0, 0.0),
        (-H, -0.5),
        (-0.5, -H),
        (0.0, -1.0),
        (0.5, -H),
        (H, -0.5),
    ];
    if points.is_empty() {
        return Vec::new();
    }
    let out = SIDES.map(|d| {
        let far = points.iter().map(|p| p.to_vec2().dot(Vec2::from(d)));
        far.fold(f64::NEG_INFINITY, f64::max) + grow
    });
    let corner = |k: usize| {
        let (d, e) = (Vec2::from(SIDES[k]), Vec2::from(SIDES[(k + 1) % 12]));
        let (s, t) = (out[k], out[(k + 1) % 12]);
        // Two sides 30° apart meet here; the sine of 30° is a half.
        Point::new((s * e.y - t * d.y) * 2.0, (t * d.x - s * e.x) * 2.0)
    };
    let mut corners: Vec<Point> = (0..12).map(corner).collect();
    corners.dedup_by(|a, b| (*a - *b).hypot() < 1e-6);
    corners
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every point lies inside, and no side stands off them all.
    #[test]
    fn twelve_sides_hold_the_points() {
        let points = [(0.0, 0.0), (4.0, 1.0), (3.0, 5.0), (-1.0, 2.0)].map(Point::from);
        let around = twelve_sided(&points, 0.0);
        for k in 0..around.len() {
            let (a, b) = (around[k], around[(k + 1) % around.len()]);
            let aside = points.iter().map(|p| (b - a).cross(*p - a));
            let least = aside.fold(f64::INFINITY, f64::min);
            assert!(least.abs() < 1e-6, "side {k} stands off by {least}");
        }
    }
}
