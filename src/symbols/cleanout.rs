//! Cleanouts: in a floor, in a wall, at grade, two-way, on a stack, at a drain's end.

use kurbo::Point;

use super::body::Body;
use super::pen::{Pen, polyline};
use super::stand::{Stem, stand};
use super::{Axes, Symbol};
use crate::job::CleanoutKind;

/// The symbol of a cleanout; the pipe arrives from the drain that it cleans.
pub fn cleanout(kind: CleanoutKind, axes: &Axes) -> Symbol {
    let body = match kind {
        CleanoutKind::Floor => floor(),
        CleanoutKind::Wall => wall(),
        CleanoutKind::Grade => grade(),
        CleanoutKind::TwoWay => two_way(),
        CleanoutKind::Stack => return plug(axes, 1.4),
        CleanoutKind::End => return plug(axes, 0.4),
    };
    stand("cleanout", axes, body, Stem::Bend)
}

/// A round cover flush with a floor, its nut in the middle.
fn floor() -> Body {
    let mut b = Body::default();
    b.disc((0.0, 0.0, 0.0), 1.8, 1.8);
    b.disc((0.0, 0.0, 0.0), 1.3, 1.3);
    b.dot((0.0, 0.0, 0.0), 0.45);
    b
}

/// A round plate on a wall, its screw in the middle.
fn wall() -> Body {
    let mut b = Body::default();
    b.plate((0.0, 0.0, 0.0), 1.8);
    b.plate((0.0, 0.0, 0.0), 1.3);
    b.line(&[(0.0, -0.5, 0.0), (0.0, 0.5, 0.0)]);
    b
}

/// A riser to its cover in the ground, the ground hatched on both sides.
fn grade() -> Body {
    let mut b = Body::default();
    b.line(&[(0.0, 0.0, 0.0), (0.0, 0.0, 2.6)]);
    for (s, d) in [(-2.0, -1.0), (2.0, 1.0)] {
        b.line(&[(s, s, 2.6), (d, d, 2.6)]);
        for k in [0.0, 0.5, 1.0] {
            let at = d + k * (s - d);
            b.line(&[(at, at, 2.6), (at - 0.35, at - 0.35, 1.9)]);
        }
    }
    b.disc((0.0, 0.0, 2.6), 1.1, 1.1);
    b.dot((0.0, 0.0, 2.6), 0.4);
    b
}

/// Two legs, one each way, under one cover each.
fn two_way() -> Body {
    let mut b = Body::default();
    // Along f = s the paper runs level, so that neither leg looks the lower.
    for d in [1.0, -1.0] {
        b.line(&[(0.0, 0.0, 0.0), (d, d, 1.6), (d, d, 2.9)]);
        b.disc((d, d, 2.9), 1.05, 1.05);
        b.dot((d, d, 2.9), 0.3);
    }
    b
}

/// A plug: the hub and the square head of the plug.
fn plug(axes: &Axes, stem: f64) -> Symbol {
    let (a, c) = (axes.along, axes.square());
    let p = |along: f64, across: f64| Point::ORIGIN + a * along + c * across;
    let mut pen = Pen::default();
    pen.line(&[p(0.0, 0.0), p(stem, 0.0)]);
    pen.face(polyline(
        &[
            p(stem, -1.3),
            p(stem + 0.9, -1.3),
            p(stem + 0.9, 1.3),
            p(stem, 1.3),
        ],
        true,
    ));
    pen.solid(polyline(
        &[
            p(stem + 0.9, -0.5),
            p(stem + 1.7, -0.5),
            p(stem + 1.7, 0.5),
            p(stem + 0.9, 0.5),
        ],
        true,
    ));
    pen.finish("cleanout", vec![Point::ORIGIN], p(stem + 0.8, 0.0))
}
