//! Marks on the lines themselves: a junction's dot, and the piece of floor round a stack.

use kurbo::{BezPath, Point, Vec2};

use super::pen::{self, circle};
use crate::sheets::{Grey, Shape};

/// Radius of a junction's dot, mm: it shows on the widest line and stays clear of the lettering
/// beside it.
pub const DOT: f64 = 0.95;

/// The dot where pipes meet in a cross.
pub fn junction(at: Point) -> Shape {
    Shape {
        path: circle(at, DOT),
        stroke: None,
        fill: Some(Grey::BLACK),
    }
}

/// The outline of a small square of floor, lying in the isometric plane; `half` is half of its
/// side, in mm along the axes.
pub fn floor_level(at: Point, half: f64) -> BezPath {
    let (x, y) = (pen::COS_30 * half, crate::projection::SIN30 * half);
    let mut path = BezPath::new();
    path.move_to(at + Vec2::new(-x, 0.0));
    path.line_to(at + Vec2::new(0.0, -y));
    path.line_to(at + Vec2::new(x, 0.0));
    path.line_to(at + Vec2::new(0.0, y));
    path.close_path();
    path
}

/// Two break lines across a stack, where storeys are left out; no wider than a piece of floor.
pub fn storeys_left_out(at: Point, half: f64) -> BezPath {
    /// Half of the zigzag's width and height, and of what lies between the lines, mm.
    const ZIG: (f64, f64, f64) = (0.9, 1.3, 0.8);
    let x = pen::COS_30 * half;
    let mut path = BezPath::new();
    for y in [-ZIG.2, ZIG.2] {
        path.move_to(at + Vec2::new(-x, y));
        path.line_to(at + Vec2::new(-ZIG.0, y));
        path.line_to(at + Vec2::new(-ZIG.0 / 2.0, y - ZIG.1 / 2.0));
        path.line_to(at + Vec2::new(ZIG.0 / 2.0, y + ZIG.1 / 2.0));
        path.line_to(at + Vec2::new(ZIG.0, y));
        path.line_to(at + Vec2::new(x, y));
    }
    path
}
