//! A vent that goes up from a drain and is drawn on another sheet.

use kurbo::Point;

use super::pen::{Pen, polyline};
use super::{Axes, Symbol};
use crate::sheets::{Grey, Shape, Stroke};

/// How far it is drawn, mm: two dashes of a vent.
const HIGH: f64 = 9.6;

/// The lower end of a vent, dashed as a crew's sheets have vents; `along` points up.
pub fn vent_up(axes: &Axes) -> Symbol {
    // It begins within the line of its drain.
    let [start, end] = [0.5, HIGH].map(|high| Point::ORIGIN + axes.along * high);
    let mut pen = Pen::default();
    pen.shapes.push(Shape {
        path: polyline(&[start, end], false),
        stroke: Some(Stroke {
            width: 0.6,
            dash: vec![4.0, 1.6],
            grey: Grey::BLACK,
            round: false,
        }),
        fill: None,
    });
    pen.finish("vent", vec![Point::ORIGIN], end)
}
