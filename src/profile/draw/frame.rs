//! Where a point of the section stands on paper, and the axis of levels beside it.

use kurbo::{Point, Rect};

use super::ink::{Hand, PLAIN, THIN, line, mark};
use super::scales::Scales;
use crate::sheets::{Anchor, Item, Slant};
use crate::units::{Length, Printer, UnitSystem};

/// The frame of a section.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub scales: Scales,
    /// Where the lowest level at the lower end stands.
    pub origin: Point,
    /// Distance of the lower end.
    pub from: Length,
    /// The lowest level.
    pub low: Length,
    /// The highest.
    pub high: Length,
}

/// Levels of the axis, apart.
const FEET: [f64; 6] = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0];
const METRES: [f64; 6] = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0];
/// From one level of the axis to the next, at the least, mm.
const APART: f64 = 6.5;

impl Frame {
    pub fn x(&self, distance: Length) -> f64 {
        self.origin.x + (distance - self.from).mm() * self.scales.across.ratio
    }
    pub fn y(&self, level: Length) -> f64 {
        self.origin.y - (level - self.low).mm() * self.scales.up.ratio
    }
    pub fn at(&self, distance: Length, level: Length) -> Point {
        Point::new(self.x(distance), self.y(level))
    }

    /// Right edge of the heads of the bands.
    pub fn heads(&self, field: Rect) -> f64 {
        field.x0 + super::HEADS
    }

    /// The axis of levels, its line at `x`.
    pub fn axis(&self, print: Printer, x: f64) -> Vec<Item> {
        let steps: Vec<Length> = match print.units {
            UnitSystem::Feet => FEET.map(Length::from_feet).to_vec(),
            UnitSystem::Metric => METRES.map(Length::from_m).to_vec(),
        };
        let wide = |s: &&Length| s.mm() * self.scales.up.ratio >= APART;
        let Some(step) = steps.iter().find(wide).or(steps.last()).copied() else {
            return Vec::new();
        };
        let mut shapes = vec![line(
            &[
                Point::new(x, self.y(self.low)),
                Point::new(x, self.y(self.high)),
            ],
            PLAIN,
        )];
        let mut texts = Vec::new();
        let (first, last) = (
            (self.low / step).ceil() as i64,
            (self.high / step).floor() as i64,
        );
        for i in first..=last {
            let level = step * i as f64;
            let y = self.y(level);
            shapes.push(line(&[Point::new(x - 1.6, y), Point::new(x, y)], THIN));
            let at = Point::new(x - 2.4, y + 1.2);
            texts.push(Hand::BODY.set(print.level(level), at, Anchor::End, Slant::Level));
        }
        let mut axis = mark("axis", shapes);
        axis.texts = texts;
        vec![axis]
    }
}
