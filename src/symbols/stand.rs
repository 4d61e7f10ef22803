//! Sets a body beyond the end of its arm, with the trap or the bend between them.

use kurbo::{Affine, BezPath, Point, Vec2};

use super::body::Body;
use super::pen::{LINE, Pen, hull_of};
use super::{Axes, Symbol};

/// How the arm meets the body.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Stem {
    /// Straight: the trap is within the fixture.
    Bend,
    /// A trap's dip, then up this far to the outlet.
    Trap(f64),
}

/// Clear paper between the arm's end and the body.
const AHEAD: f64 = 0.45;
/// Width and depth of a trap's dip.
const DIP: f64 = 1.7;
/// Nothing lies farther behind the arm's end.
const BEHIND: f64 = -0.25;

/// The whole symbol. The body is pushed out along the arm until all of it is ahead.
pub(super) fn stand(kind: &'static str, axes: &Axes, body: Body, stem: Stem) -> Symbol {
    let mirror = axes.along.x < -1e-9;
    let body = if mirror { body.mirrored() } else { body }.at_outlet();
    let (least, lift) = match stem {
        Stem::Bend => (0.6, 0.0),
        Stem::Trap(up) => (DIP + 0.3, up),
    };
    let up = Vec2::new(0.0, -lift);
    let heart = hull_of(&body.pen.shapes);
    let behind = heart
        .iter()
        .map(|p| (p.to_vec2() + up).dot(axes.along))
        .fold(f64::INFINITY, f64::min);
    let mut reach = least.max(AHEAD - behind);
    let mut path = stem_path(axes, stem, reach, up, mirror);
    // A dip that hangs back below a rising arm pushes everything on.
    let back = super::pen::samples(&path)
        .iter()
        .map(|p| p.to_vec2().dot(axes.along) - LINE / 2.0)
        .fold(f64::INFINITY, f64::min);
    if back < BEHIND {
        reach += BEHIND - back;
        path = stem_path(axes, stem, reach, up, mirror);
    }
    let shift = axes.along * reach + up;
    let mut pen = Pen::default();
    pen.stroke(path);
    let mut ports = vec![Point::ORIGIN];
    ports.extend(body.ports.iter().map(|&p| p + shift));
    for mut shape in body.pen.shapes {
        shape.path.apply_affine(Affine::translate(shift));
        pen.shapes.push(shape);
    }
    let n = heart.len().max(1) as f64;
    let mid = heart.iter().fold(Vec2::ZERO, |a, p| a + p.to_vec2()) / n;
    pen.finish(kind, ports, (mid + shift).to_point())
}

fn stem_path(axes: &Axes, stem: Stem, reach: f64, up: Vec2, mirror: bool) -> BezPath {
    let o = Point::ORIGIN;
    let end = o + axes.along * reach;
    let mut path = BezPath::new();
    path.move_to(o);
    if let Stem::Trap(_) = stem {
        let start = o + axes.along * (reach - DIP);
        // The dip of an arm that runs up or down the paper bulges sideways instead.
        let dip = if axes.along.x.abs() > 0.3 {
            Vec2::new(0.0, DIP)
        } else {
            Vec2::new(if mirror { -DIP } else { DIP }, 0.0)
        };
        path.line_to(start);
        path.curve_to(start + dip, end + dip, end);
    } else {
        path.line_to(end);
    }
    path.line_to(end + up);
    path
}
