//! The body of a fixture: a small isometric drawing that faces the viewer, to the right and down
//! or, mirrored, to the left and down.
//!
//! Its own axes: `f` toward the front, `s` to the side away from the viewer, `z` up.

use kurbo::{Affine, BezPath, Point, Vec2};

use super::pen::{COS_30, Pen, hull, polyline, quarter, ring, samples};

/// A point of a body.
pub(super) type At = (f64, f64, f64);

/// A body being drawn.
#[derive(Default)]
pub(super) struct Body {
    pub pen: Pen,
    /// Where its waste leaves, on the paper.
    pub outlet: Point,
    /// Where else pipes meet it, on the paper.
    pub ports: Vec<Point>,
}

/// Where a point of a body is on the paper.
pub(super) fn on_paper((f, s, z): At) -> Point {
    Point::new(COS_30 * (f + s), 0.5 * (f - s) - z)
}

/// A circle of a body that lies level.
fn level_ring(c: At, rf: f64, rs: f64) -> BezPath {
    let o = Point::ORIGIN;
    let u = (on_paper((rf, 0.0, 0.0)) - o, on_paper((0.0, rs, 0.0)) - o);
    ring(on_paper(c), u.0, u.1)
}

impl Body {
    /// Puts the outlet at a point of the body.
    pub fn outlet(&mut self, at: At) {
        self.outlet = on_paper(at);
    }
    pub fn line(&mut self, points: &[At]) {
        let points: Vec<Point> = points.iter().map(|&p| on_paper(p)).collect();
        self.pen.line(&points);
    }
    /// A white face with an outline.
    pub fn face(&mut self, points: &[At]) {
        let points: Vec<Point> = points.iter().map(|&p| on_paper(p)).collect();
        self.pen.face(polyline(&points, true));
    }
    /// A curved line through the handles of one cubic.
    pub fn curve(&mut self, a: At, b: At, c: At, d: At) {
        let mut path = BezPath::new();
        path.move_to(on_paper(a));
        path.curve_to(on_paper(b), on_paper(c), on_paper(d));
        self.pen.stroke(path);
    }
    /// A box between two corners.
    pub fn cuboid(&mut self, (f0, s0, z0): At, (f1, s1, z1): At) {
        let side = [(f0, s0, z0), (f1, s0, z0), (f1, s0, z1), (f0, s0, z1)];
        let front = [(f1, s0, z0), (f1, s1, z0), (f1, s1, z1), (f1, s0, z1)];
        let top = [(f0, s0, z1), (f1, s0, z1), (f1, s1, z1), (f0, s1, z1)];
        for face in [side, front, top] {
            self.face(&face);
        }
    }
    /// A circle that lies level.
    pub fn disc(&mut self, c: At, rf: f64, rs: f64) {
        self.pen.face(level_ring(c, rf, rs));
    }
    /// A circle that stands upright and faces the front.
    pub fn plate(&mut self, c: At, r: f64) {
        let o = Point::ORIGIN;
        let u = (on_paper((0.0, r, 0.0)) - o, on_paper((0.0, 0.0, r)) - o);
        self.pen.face(ring(on_paper(c), u.0, u.1));
    }
    /// A small black circle that lies level.
    pub fn dot(&mut self, c: At, r: f64) {
        self.pen.solid(level_ring(c, r, r));
    }
    /// A solid between a lower and an upper level circle, its top left open to be drawn in.
    pub fn turned(&mut self, low: (At, f64, f64), high: (At, f64, f64)) {
        let mut points = samples(&level_ring(low.0, low.1, low.2));
        points.extend(samples(&level_ring(high.0, high.1, high.2)));
        self.pen.face(polyline(&hull(points), true));
        self.disc(high.0, high.1, high.2);
    }
    /// A level rectangle with rounded corners.
    pub fn rounded(&mut self, (f0, s0, z): At, (f1, s1): (f64, f64), r: f64) {
        let p = |f: f64, s: f64| on_paper((f, s, z));
        let mut path = BezPath::new();
        path.move_to(p(f0 + r, s0));
        path.line_to(p(f1 - r, s0));
        quarter(&mut path, p(f1 - r, s0), p(f1, s0), p(f1, s0 + r));
        path.line_to(p(f1, s1 - r));
        quarter(&mut path, p(f1, s1 - r), p(f1, s1), p(f1 - r, s1));
        path.line_to(p(f0 + r, s1));
        quarter(&mut path, p(f0 + r, s1), p(f0, s1), p(f0, s1 - r));
        path.line_to(p(f0, s0 + r));
        quarter(&mut path, p(f0, s0 + r), p(f0, s0), p(f0 + r, s0));
        path.close_path();
        self.pen.face(path);
    }
    /// A spout: up, over and down to the front.
    pub fn spout(&mut self, (f, s, z): At, high: f64, reach: f64) {
        self.curve(
            (f, s, z),
            (f, s, z + high * 1.5),
            (f + reach, s, z + high * 1.5),
            (f + reach, s, z + high * 0.6),
        );
    }
    /// The body drawn larger.
    pub fn scaled(mut self, by: f64) -> Body {
        for shape in &mut self.pen.shapes {
            shape.path.apply_affine(Affine::scale(by));
        }
        for p in self.ports.iter_mut().chain([&mut self.outlet]) {
            *p = (p.to_vec2() * by).to_point();
        }
        self
    }
    /// The body mirrored left to right.
    pub fn mirrored(mut self) -> Body {
        let flip = Affine::scale_non_uniform(-1.0, 1.0);
        for shape in &mut self.pen.shapes {
            shape.path.apply_affine(flip);
        }
        for p in self.ports.iter_mut().chain([&mut self.outlet]) {
            p.x = -p.x;
        }
        self
    }
    /// The body moved so that its outlet is at the origin.
    pub fn at_outlet(mut self) -> Body {
        let by = Vec2::new(-self.outlet.x, -self.outlet.y);
        for shape in &mut self.pen.shapes {
            shape.path.apply_affine(Affine::translate(by));
        }
        for p in &mut self.ports {
            *p += by;
        }
        self.outlet = Point::ORIGIN;
        self
    }
}
