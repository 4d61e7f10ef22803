//! Reducer.

use kurbo::Point;

use super::pen::{Pen, polyline};
use super::{Axes, Symbol};

/// A reducer in a line, its middle on the origin; `along` points from the larger pipe to the
/// smaller one.
pub fn reducer(axes: &Axes) -> Symbol {
    let (a, c) = (axes.along, axes.square());
    let p = |along: f64, across: f64| Point::ORIGIN + a * along + c * across;
    let mut pen = Pen::default();
    pen.face(polyline(
        &[p(-1.2, -1.25), p(1.2, -0.6), p(1.2, 0.6), p(-1.2, 1.25)],
        true,
    ));
    let ports = vec![Point::ORIGIN, p(-1.2, 0.0), p(1.2, 0.0)];
    pen.finish("reducer", ports, Point::ORIGIN)
}
