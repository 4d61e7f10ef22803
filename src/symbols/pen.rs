//! The pen that all symbols are drawn with, and the hull of what it drew.

use kurbo::{BezPath, ParamCurve, PathSeg, Point, Vec2};

use super::Symbol;
use crate::sheets::{Grey, Shape, Stroke};

/// The line weight of every symbol, in mm.
pub const LINE: f64 = 0.35;
/// Cosine of 30°.
pub(super) const COS_30: f64 = 0.866_025_403_784_438_6;
/// Handle length of a quarter circle as one cubic.
const KAPPA: f64 = 0.552_284_749_830_793_4;

/// Collects shapes.
#[derive(Default)]
pub(super) struct Pen {
    pub shapes: Vec<Shape>,
}

impl Pen {
    pub fn stroke(&mut self, path: BezPath) {
        self.shapes.push(Shape {
            path,
            stroke: Some(pencil()),
            fill: None,
        });
    }
    /// A white face with an outline: it hides what was drawn before.
    pub fn face(&mut self, path: BezPath) {
        self.shapes.push(Shape {
            path,
            stroke: Some(pencil()),
            fill: Some(Grey::WHITE),
        });
    }
    pub fn solid(&mut self, path: BezPath) {
        self.shapes.push(Shape {
            path,
            stroke: Some(pencil()),
            fill: Some(Grey::BLACK),
        });
    }
    pub fn line(&mut self, points: &[Point]) {
        self.stroke(polyline(points, false));
    }
    /// The finished symbol; the hull is taken from everything drawn.
    pub fn finish(self, kind: &'static str, ports: Vec<Point>, heart: Point) -> Symbol {
        Symbol {
            kind,
            hull: hull_of(&self.shapes),
            shapes: self.shapes,
            texts: Vec::new(),
            ports,
            heart,
        }
    }
}

fn pencil() -> Stroke {
    Stroke {
        width: LINE,
        dash: Vec::new(),
        grey: Grey::BLACK,
        round: true,
    }
}

/// An open or closed chain of lines.
pub(super) fn polyline(points: &[Point], closed: bool) -> BezPath {
    let mut path = BezPath::new();
    for (i, &p) in points.iter().enumerate() {
        if i == 0 {
            path.move_to(p);
        } else {
            path.line_to(p);
        }
    }
    if closed && !points.is_empty() {
        path.close_path();
    }
    path
}

/// The ellipse `centre + u cos + v sin`, as four cubics: a circle seen askew.
pub(super) fn ring(centre: Point, u: Vec2, v: Vec2) -> BezPath {
    let at = |a: f64, b: f64| centre + u * a + v * b;
    let mut path = BezPath::new();
    path.move_to(at(1.0, 0.0));
    path.curve_to(at(1.0, KAPPA), at(KAPPA, 1.0), at(0.0, 1.0));
    path.curve_to(at(-KAPPA, 1.0), at(-1.0, KAPPA), at(-1.0, 0.0));
    path.curve_to(at(-1.0, -KAPPA), at(-KAPPA, -1.0), at(0.0, -1.0));
    path.curve_to(at(KAPPA, -1.0), at(1.0, -KAPPA), at(1.0, 0.0));
    path.close_path();
    path
}

/// A circle on the paper.
pub(super) fn circle(centre: Point, radius: f64) -> BezPath {
    ring(centre, Vec2::new(radius, 0.0), Vec2::new(0.0, radius))
}

/// A quarter turn from `a` to `b` around the corner `c`.
pub(super) fn quarter(path: &mut BezPath, a: Point, c: Point, b: Point) {
    path.curve_to(a.lerp(c, KAPPA), b.lerp(c, KAPPA), b);
}

/// Points on a path, close enough together for a hull.
pub(super) fn samples(path: &BezPath) -> Vec<Point> {
    let mut points = Vec::new();
    for seg in path.segments() {
        match seg {
            PathSeg::Line(l) => points.extend([l.p0, l.p1]),
            curve => points.extend((0..=12).map(|i| curve.eval(f64::from(i) / 12.0))),
        }
    }
    points
}

/// Convex hull of shapes, half their strokes and a hair more around each.
pub fn hull_of(shapes: &[Shape]) -> Vec<Point> {
    // By pen: what lies well within other points does so with the same pen around all of them.
    let mut drawn: Vec<(f64, Vec<Point>)> = Vec::new();
    for shape in shapes {
        let pen = shape.stroke.as_ref().map_or(0.0, |s| s.width / 2.0);
        let points = samples(&shape.path);
        match drawn.iter_mut().find(|d| d.0 == pen) {
            Some(same) => same.1.extend(points),
            None => drawn.push((pen, points)),
        }
    }
    let mut points = Vec::new();
    for (pen, mut own) in drawn {
        inside_out(&mut own);
        for p in own {
            points.extend(around(p, pen + 0.02));
        }
    }
    hull(points)
}

/// The corners of an octagon around a pen's circle.
fn around(p: Point, radius: f64) -> [Point; 8] {
    // Half side of a regular octagon around a circle of radius one.
    const T: f64 = std::f64::consts::SQRT_2 - 1.0;
    [
        (1.0, T),
        (T, 1.0),
        (-T, 1.0),
        (-1.0, T),
        (-1.0, -T),
        (-T, -1.0),
        (T, -1.0),
        (1.0, -T),
    ]
    .map(|(x, y)| Point::new(p.x + radius * x, p.y + radius * y))
}

/// Leaves out most points that no hull can have: those well within the outermost ones of eight
/// ways. Sorting thousands of points is what a hull costs.
fn inside_out(points: &mut Vec<Point>) {
    // Far more than rounding can add, far less than a symbol shows.
    const WELL: f64 = 1e-6;
    let Some(&first) = points.first() else { return };
    // How far a point lies along four of the ways; along the other four it lies as far back.
    let along = |p: Point| [p.x, p.x + p.y, p.y, p.y - p.x];
    let mut most = along(first);
    let mut least = most;
    let mut corners = [first; 8];
    for &p in points.iter() {
        for (i, far) in along(p).into_iter().enumerate() {
            if far > most[i] {
                most[i] = far;
                corners[i] = p;
            }
            if far < least[i] {
                least[i] = far;
                corners[i + 4] = p;
            }
        }
    }
    // Each edge as a line that the inside lies to the left of.
    let edges: Vec<(Point, Vec2)> = (0..corners.len())
        .map(|i| (corners[i], corners[(i + 1) % corners.len()] - corners[i]))
        .filter(|(_, along)| along.hypot() > WELL)
        .map(|(at, along)| (at, along / along.hypot()))
        .collect();
    if edges.len() > 2 {
        points.retain(|p| edges.iter().any(|(at, along)| along.cross(*p - *at) < WELL));
    }
}

/// Convex hull by a monotone chain.
pub(super) fn hull(mut points: Vec<Point>) -> Vec<Point> {
    inside_out(&mut points);
    chain(points)
}

fn chain(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_unstable_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..] {
                if (b - a).cross(p - b) > 1e-12 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut whole = half(&mut points.iter().copied());
    whole.extend(half(&mut points.iter().rev().copied()));
    whole
}

/// A circle that lies level in the isometric.
pub fn level_circle(centre: Point, radius: f64) -> BezPath {
    let (x, y) = (COS_30 * radius, 0.5 * radius);
    ring(centre, Vec2::new(x, y), Vec2::new(x, -y))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leaving_points_out_changes_no_hull() {
        let mut seed = 5u64;
        let mut draw = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 40) as f64 / 16_777_216.0
        };
        let mut left_out = 0;
        for round in 0..200 {
            let count = 1 + (draw() * 300.0) as usize;
            let mut points: Vec<Point> = (0..count)
                .map(|_| Point::new(draw() * 8.0, draw() * 3.0))
                .collect();
            if round % 2 == 0 {
                // On a grid many lie on one line.
                for p in &mut points {
                    *p = Point::new(p.x.floor(), p.y.floor());
                }
            }
            let mut kept = points.clone();
            inside_out(&mut kept);
            left_out += points.len() - kept.len();
            assert_eq!(chain(points), chain(kept));
        }
        assert!(left_out > 10_000, "{left_out}");
    }
}
