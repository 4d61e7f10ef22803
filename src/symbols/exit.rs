//! Where a building drain leaves through the wall.

use kurbo::{Point, Vec2};

use super::pen::{Pen, polyline};
use super::{Axes, Symbol};

/// The wall in section, its outside face on the origin, and the arrow of the water that leaves;
/// `along` points outward.
pub fn exit_mark(axes: &Axes) -> Symbol {
    /// The pipe's sleeve is left open.
    const SLEEVE: f64 = 1.3;
    const REACH: f64 = 3.6;
    const THICK: f64 = 1.8;
    let o = Point::ORIGIN;
    let a = axes.along;
    // A wall is upright on the paper; one that a vertical line leaves by lies level.
    let up = if a.x.abs() > 0.3 {
        Vec2::new(0.0, -1.0)
    } else {
        Vec2::new(1.0, 0.0)
    };
    let p = |along: f64, high: f64| o + a * along + up * high;
    let mut pen = Pen::default();
    for side in [1.0, -1.0] {
        let (near, far) = (SLEEVE * side, REACH * side);
        pen.face(polyline(
            &[p(-THICK, near), p(-THICK, far), p(0.0, far), p(0.0, near)],
            true,
        ));
        for k in [0.0, 0.35, 0.7] {
            let base = SLEEVE + k * (REACH - SLEEVE);
            let tip = (base + 0.3 * (REACH - SLEEVE)) * side;
            pen.line(&[p(-THICK, base * side), p(0.0, tip)]);
        }
    }
    let c = axes.square();
    let q = |along: f64, across: f64| o + a * along + c * across;
    pen.solid(polyline(&[q(1.6, -0.9), q(4.4, 0.0), q(1.6, 0.9)], true));
    pen.finish("exit", vec![o, q(4.4, 0.0)], q(1.0, 0.0))
}
