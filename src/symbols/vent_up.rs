//! A vent that goes up from a drain and is drawn on another sheet.

use kurbo::Point;

use super::pen::{Pen, polyline};
use super::{Axes, Symbol};
use crate::sheets::{Grey, Shape, Stroke};

/// How far it is drawn, mm: two dashes of a vent.
const HIGH: f64 = 9.6;

/// Width of the line of a vent on a crew's sheets, and its dash and gap, mm.
pub const CREW_VENT: (f64, [f64; 2]) = (0.6, [4.0, 1.6]);

/// The lower end of a vent, dashed as a crew's sheets have vents; `along` points up.
pub fn vent_up(axes: &Axes) -> Symbol {
    // It begins within the line of its drain.
    let [start, end] = [0.5, HIGH].map(|high| Point::ORIGIN + axes.along * high);
    let mut pen = Pen::default();
    pen.shapes.push(Shape {
        path: polyline(&[start, end], false),
        stroke: Some(Stroke {
            width: CREW_VENT.0,
            dash: CREW_VENT.1.to_vec(),
            grey: Grey::BLACK,
            round: false,
        }),
        fill: None,
    });
    pen.finish("vent", vec![Point::ORIGIN], end)
}
