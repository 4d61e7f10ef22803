//! Match mark: where a drawing goes on on another sheet.

use kurbo::{Point, Vec2};

use super::pen::{Pen, circle};
use super::{Axes, Symbol};
use crate::sheets::{Anchor, Grey, Slant, Text, Weight};

/// Capital height of a mark's number on a permit set, mm.
pub const MARK_CAP: f64 = 3.8 * CAPITALS;
const CAPITALS: f64 = 0.698;

/// A circle with its number, so high in mm, at the end of a pipe that goes on elsewhere.
pub fn match_mark(number: &str, cap: f64, axes: &Axes) -> Symbol {
    let em = cap / CAPITALS;
    // A digit is about 0.55 em wide; room for it, and air around it.
    let wide = number.chars().count().max(1) as f64 * 0.55 * em;
    let radius = (wide / 2.0 + 1.3).max(cap / MARK_CAP * 3.2);
    let heart = Point::ORIGIN + axes.along * (radius + 0.2);
    let mut pen = Pen::default();
    pen.face(circle(heart, radius));
    let mut symbol = pen.finish("match", vec![Point::ORIGIN], heart);
    symbol.texts.push(Text {
        text: number.to_owned(),
        at: heart + Vec2::new(0.0, cap / 2.0),
        em,
        weight: Weight::Bold,
        anchor: Anchor::Middle,
        slant: Slant::Level,
        grey: Grey::BLACK,
    });
    symbol
}
