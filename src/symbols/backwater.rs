//! Backwater valve.

use kurbo::Point;

use super::pen::{Pen, polyline};
use super::{Axes, Symbol};

/// A backwater valve in a line, its middle on the origin; `along` points downstream. The black
/// wedge shows which way water may pass, the bar what stops it coming back.
pub fn backwater_valve(axes: &Axes) -> Symbol {
    let (a, c) = (axes.along, axes.square());
    let p = |along: f64, across: f64| Point::ORIGIN + a * along + c * across;
    let mut pen = Pen::default();
    pen.face(polyline(
        &[p(-2.3, -1.6), p(2.3, -1.6), p(2.3, 1.6), p(-2.3, 1.6)],
        true,
    ));
    pen.solid(polyline(&[p(-1.4, -0.9), p(0.8, 0.0), p(-1.4, 0.9)], true));
    pen.line(&[p(1.3, -0.95), p(1.3, 0.95)]);
    let ports = vec![Point::ORIGIN, p(-2.3, 0.0), p(2.3, 0.0)];
    pen.finish("valve", ports, Point::ORIGIN)
}
