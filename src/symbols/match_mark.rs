//! Match mark: where a drawing goes on on another sheet.

use kurbo::{Point, Vec2};

use super::pen::{Pen, circle};
use super::{Axes, Symbol};
use crate::sheets::{Anchor, Grey, Slant, Text, Weight};

/// A circle with its number at the end of a pipe that goes on elsewhere.
pub fn match_mark(number: &str, axes: &Axes) -> Symbol {
    const EM: f64 = 3.8;
    const CAPITALS: f64 = 0.698;
    // A digit is about 0.55 em wide; room for it, and air around it.
    let wide = number.chars().count().max(1) as f64 * 0.55 * EM;
    let radius = (wide / 2.0 + 1.3).max(3.2);
    let heart = Point::ORIGIN + axes.along * (radius + 0.2);
    let mut pen = Pen::default();
    pen.face(circle(heart, radius));
    let mut symbol = pen.finish("match", vec![Point::ORIGIN], heart);
    symbol.texts.push(Text {
        text: number.to_owned(),
        at: heart + Vec2::new(0.0, EM * CAPITALS / 2.0),
        em: EM,
        weight: Weight::Bold,
        anchor: Anchor::Middle,
        slant: Slant::Level,
        grey: Grey::BLACK,
    });
    symbol
}
