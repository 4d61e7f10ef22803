//! The symbols of the drawing, one file a symbol.
//!
//! In: which way the pipe arrives on the paper. Out: a [`Symbol`] around the origin, which is the
//! joint that it stands on, in mm of paper, y downward. Promises: the hull is convex and holds all
//! ink, strokes included; a fixture and an end of a pipe stay ahead of the pipe's end
//! (`dot(p, along) >= -0.3 mm`); what stands in a line says where its ports are.
//!
//! All of them are drawn in one line weight, [`LINE`], so that they read at half size.

use kurbo::{Point, Vec2};

use crate::sheets::{Shape, Text};

mod air_valve;
mod arrow;
mod backwater;
mod basin;
mod bathtub;
mod body;
mod cleanout;
mod drinking_fountain;
mod exit;
mod fixture;
mod floor_drain;
mod indirect;
mod lavatory;
mod marks;
mod match_mark;
mod pen;
mod primer;
mod reducer;
mod shower;
mod sink;
mod stand;
mod terminal;
mod trap;
mod urinal;
mod vent_up;
mod washer_box;
mod water_closet;

pub use air_valve::air_valve;
pub use arrow::flow_arrow;
pub use backwater::backwater_valve;
pub use basin::basin;
pub use cleanout::cleanout;
pub use exit::exit_mark;
pub use fixture::fixture;
pub use marks::{DOT, floor_level, junction, storeys_left_out};
pub use match_mark::{MARK_CAP, match_mark};
pub use pen::{LINE, hull_of, level_circle};
pub use primer::primer;
pub use reducer::reducer;
pub use terminal::vent_terminal;
pub use trap::{PLAIN, trap};
pub use vent_up::{CREW_VENT, vent_up};

/// The way a pipe arrives at a symbol, on the paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axes {
    /// Unit vector of the direction in which the pipe arrives; the symbol stands beyond its end.
    pub along: Vec2,
    /// Unit vector of the other plan axis.
    pub across: Vec2,
}

impl Axes {
    /// Straight up: what stands on a riser.
    pub const UP: Axes = Axes {
        along: Vec2::new(0.0, -1.0),
        across: Vec2::new(pen::COS_30, 0.5),
    };

    /// The axes of a pipe that arrives along a unit vector: across is the other plan axis, the
    /// one to the right of a viewer who looks along it.
    pub fn along(along: Vec2) -> Axes {
        // Mirrored in the vertical, a plan axis of an isometric is the other plan axis.
        let across = if along.y.abs() < 1e-9 || along.x.abs() < 1e-9 {
            Vec2::new(-along.y, along.x)
        } else if along.x * along.y < 0.0 {
            Vec2::new(along.x, -along.y)
        } else {
            Vec2::new(-along.x, along.y)
        };
        Axes { along, across }
    }

    /// A unit vector at right angles to the pipe on the paper.
    pub fn square(&self) -> Vec2 {
        Vec2::new(-self.along.y, self.along.x)
    }
}

/// A symbol around the origin.
#[derive(Clone, Debug, Default)]
pub struct Symbol {
    /// What it is, for `data-kind`.
    pub kind: &'static str,
    /// Its shapes, in painting order.
    pub shapes: Vec<Shape>,
    /// Its texts; only a match mark has one.
    pub texts: Vec<Text>,
    /// Convex hull of all ink, strokes included.
    pub hull: Vec<Point>,
    /// Where pipes meet it, the origin first.
    pub ports: Vec<Point>,
    /// The middle of what it shows: where a leader may point.
    pub heart: Point,
}

impl Symbol {
    /// The symbol moved to where it stands.
    pub fn moved(mut self, by: Vec2) -> Symbol {
        let shift = kurbo::Affine::translate(by);
        for shape in &mut self.shapes {
            shape.path.apply_affine(shift);
        }
        for text in &mut self.texts {
            text.at += by;
        }
        for p in self.hull.iter_mut().chain(&mut self.ports) {
            *p += by;
        }
        self.heart += by;
        self
    }
}

#[cfg(test)]
mod tests;
