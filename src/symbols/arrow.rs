//! Flow arrow.

use kurbo::Point;

use super::pen::{Pen, polyline};
use super::{Axes, Symbol};

/// A black arrow head on a line, its middle on the origin; `along` points downstream.
pub fn flow_arrow(axes: &Axes) -> Symbol {
    let (a, c) = (axes.along, axes.square());
    let p = |along: f64, across: f64| Point::ORIGIN + a * along + c * across;
    let mut pen = Pen::default();
    pen.solid(polyline(
        &[p(-1.2, -0.75), p(1.4, 0.0), p(-1.2, 0.75)],
        true,
    ));
    pen.finish("arrow", vec![Point::ORIGIN], Point::ORIGIN)
}
