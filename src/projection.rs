//! The isometric projection: four corners to look from, the paper directions of pipes, and the
//! distance from the viewer. Placement and linework both use it.
//!
//! View axes: x runs up to the right on paper (30°), y up to the left (150°), z straight up.
//! All three are drawn 1:1:1 (ISO 5456-3). A [`Space`] is in millimetres of paper along them.

use std::ops::{Add, AddAssign, Mul, Sub};

use kurbo::{Point, Vec2};

use crate::units::Heading;

/// cos 30°, to the last bit of an f64.
pub const COS30: f64 = 0.866_025_403_784_438_6;
/// sin 30°.
pub const SIN30: f64 = 0.5;

/// A place or a way in the drawing's own space.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Space {
    /// Up to the right on paper.
    pub x: f64,
    /// Up to the left on paper.
    pub y: f64,
    /// Straight up.
    pub z: f64,
}

impl Space {
    /// From its three parts.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Space { x, y, z }
    }
    /// Where it falls on paper, relative to the origin's place there; y downward.
    pub fn paper(self) -> Vec2 {
        Vec2::new(
            (self.x - self.y) * COS30,
            -(self.x + self.y) * SIN30 - self.z,
        )
    }
    /// The same as a point.
    pub fn point(self) -> Point {
        self.paper().to_point()
    }
    /// Its length in the drawing's own space, where all three axes have one scale.
    pub fn length(self) -> f64 {
        (self.x * self.x + self.y * self.y + self.z * self.z).sqrt()
    }
    /// Distance from the viewer, up to a constant; larger is farther.
    pub fn depth(self) -> f64 {
        self.x + self.y - self.z
    }
}
impl Add for Space {
    type Output = Space;
    fn add(self, o: Space) -> Space {
        Space::new(self.x + o.x, self.y + o.y, self.z + o.z)
    }
}
impl Sub for Space {
    type Output = Space;
    fn sub(self, o: Space) -> Space {
        Space::new(self.x - o.x, self.y - o.y, self.z - o.z)
    }
}
impl AddAssign for Space {
    fn add_assign(&mut self, o: Space) {
        *self = *self + o;
    }
}
impl Mul<f64> for Space {
    type Output = Space;
    fn mul(self, k: f64) -> Space {
        Space::new(self.x * k, self.y * k, self.z * k)
    }
}

/// The corner of the building that the viewer stands at, looking down across it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Corner {
    /// East runs up to the right, north up to the left.
    SouthWest,
    /// North runs up to the right, west up to the left.
    SouthEast,
    /// West runs up to the right, south up to the left.
    NorthEast,
    /// South runs up to the right, east up to the left.
    NorthWest,
}

impl Corner {
    /// All four.
    pub const ALL: [Corner; 4] = [
        Corner::SouthWest,
        Corner::SouthEast,
        Corner::NorthEast,
        Corner::NorthWest,
    ];

    /// The corner that a diagonal heading names.
    pub fn from_heading(heading: Heading) -> Option<Self> {
        Some(match heading {
            Heading::Southwest => Corner::SouthWest,
            Heading::Southeast => Corner::SouthEast,
            Heading::Northeast => Corner::NorthEast,
            Heading::Northwest => Corner::NorthWest,
            _ => return None,
        })
    }
    fn quarter_turns(self) -> i32 {
        match self {
            Corner::SouthWest => 0,
            Corner::SouthEast => 1,
            Corner::NorthEast => 2,
            Corner::NorthWest => 3,
        }
    }
    /// The way a heading of the building runs in this view.
    pub fn way(self, heading: Heading) -> Way {
        Way::from_view_heading(heading.turned(2 * self.quarter_turns()))
    }
    /// The heading of the building that a level way shows, if it is level.
    pub fn heading(self, way: Way) -> Option<Heading> {
        Heading::PLAN.into_iter().find(|h| self.way(*h) == way)
    }
    /// The words for the sheet.
    pub fn words(self) -> &'static str {
        match self {
            Corner::SouthWest => "SOUTHWEST",
            Corner::SouthEast => "SOUTHEAST",
            Corner::NorthEast => "NORTHEAST",
            Corner::NorthWest => "NORTHWEST",
        }
    }
}

/// A way that a pipe can run in this view. Named by the parts that it has along the view axes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Way {
    x: i8,
    y: i8,
    z: i8,
}

impl Way {
    /// Up to the right, away from the viewer.
    pub const X: Way = Way { x: 1, y: 0, z: 0 };
    /// Up to the left, away from the viewer.
    pub const Y: Way = Way { x: 0, y: 1, z: 0 };
    /// Straight up.
    pub const UP: Way = Way { x: 0, y: 0, z: 1 };

    fn from_view_heading(heading: Heading) -> Self {
        let (x, y, z) = match heading {
            Heading::East => (1, 0, 0),
            Heading::Northeast => (1, 1, 0),
            Heading::North => (0, 1, 0),
            Heading::Northwest => (-1, 1, 0),
            Heading::West => (-1, 0, 0),
            Heading::Southwest => (-1, -1, 0),
            Heading::South => (0, -1, 0),
            Heading::Southeast => (1, -1, 0),
            Heading::Up => (0, 0, 1),
            Heading::Down => (0, 0, -1),
        };
        Way { x, y, z }
    }
    /// The way with these signs along the view axes; none if all are nought or all are not.
    pub fn of_signs(x: i8, y: i8, z: i8) -> Option<Self> {
        let parts = [x, y, z].iter().filter(|v| **v != 0).count();
        (parts == 1 || parts == 2).then_some(Way { x, y, z })
    }
    /// The opposite way.
    pub fn reversed(self) -> Self {
        Way {
            x: -self.x,
            y: -self.y,
            z: -self.z,
        }
    }
    /// The same plan way, rising at 45°. Between the axes toward the viewer it would rise into the
    /// line of sight and be a point on paper: there it rises along one of the axes.
    pub fn rising(self) -> Self {
        let into_the_eye = (self.x, self.y) == (-1, -1);
        let plan = match into_the_eye {
            true => self.nearer_axis(),
            false => self,
        };
        Way { z: 1, ..plan }
    }
    /// Whether it is straight up or down.
    pub fn is_vertical(self) -> bool {
        self.x == 0 && self.y == 0
    }
    /// Whether it is a 45° way of any kind.
    pub fn is_skew(self) -> bool {
        [self.x, self.y, self.z].iter().filter(|v| **v != 0).count() > 1
    }
    /// Turned a quarter to the left in plan (x to y).
    pub fn left(self) -> Self {
        Way {
            x: -self.y,
            y: self.x,
            z: self.z,
        }
    }
    /// Turned a quarter to the right in plan.
    pub fn right(self) -> Self {
        Way {
            x: self.y,
            y: -self.x,
            z: self.z,
        }
    }
    /// Whether it leads away from the viewer in plan (or neither).
    pub fn recedes(self) -> bool {
        self.x + self.y >= 0
    }
    /// For a 45° way in plan: its nearer plan axis (the one that recedes, or x).
    pub fn nearer_axis(self) -> Self {
        let (x, y) = (
            Way {
                x: self.x,
                y: 0,
                z: 0,
            },
            Way {
                x: 0,
                y: self.y,
                z: 0,
            },
        );
        if self.x == 0 || (self.y != 0 && y.recedes() && !x.recedes()) {
            y
        } else {
            x
        }
    }
    /// One millimetre of paper along it.
    pub fn unit(self) -> Space {
        let raw = Space::new(f64::from(self.x), f64::from(self.y), f64::from(self.z));
        raw * (1.0 / raw.paper().hypot())
    }
    /// Its unit vector on paper.
    pub fn paper(self) -> Vec2 {
        self.unit().paper()
    }
    /// Whether two ways fall on parallel lines of the paper.
    pub fn parallel_on_paper(self, other: Way) -> bool {
        self.paper().cross(other.paper()).abs() < 1e-9
    }
    /// Whether a 45° way falls on a line that reads as a riser or a plan axis.
    pub fn misreads(self) -> bool {
        self.is_skew()
            && [Way::X, Way::Y, Way::UP]
                .iter()
                .any(|axis| self.parallel_on_paper(*axis))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The table of 45° runs of the drafting reference: two of the four fall on other axes.
    #[test]
    fn the_45_degree_runs_fall_where_the_drafting_books_say() {
        let rising = Way::X.rising();
        assert!((rising.paper().y / rising.paper().x + 1.732_050_807_568_877).abs() < 1e-9);
        assert!(!rising.misreads());
        let falling = Way { x: 1, y: 0, z: -1 };
        assert!(falling.parallel_on_paper(Way::Y) && falling.misreads());
        let between = Way { x: 1, y: 1, z: 0 };
        assert!(between.parallel_on_paper(Way::UP) && between.misreads());
        let flat = Way { x: 1, y: -1, z: 0 };
        assert!(flat.paper().y.abs() < 1e-9 && !flat.misreads());
    }

    /// No pipe is a point on paper, from whatever corner: its length there would be nothing to
    /// letter, and no number.
    #[test]
    fn every_way_has_a_length_on_paper() {
        for corner in Corner::ALL {
            for heading in Heading::PLAN {
                let level = corner.way(heading);
                for way in [level, level.rising()] {
                    assert!(
                        (way.paper().hypot() - 1.0).abs() < 1e-9,
                        "{corner:?} {way:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn each_corner_turns_the_plan_a_quarter() {
        assert_eq!(Corner::SouthWest.way(Heading::East), Way::X);
        assert_eq!(Corner::SouthEast.way(Heading::North), Way::X);
        assert_eq!(Corner::NorthEast.way(Heading::West), Way::X);
        assert_eq!(Corner::NorthWest.way(Heading::South), Way::X);
        assert_eq!(Corner::NorthWest.way(Heading::East), Way::Y);
    }
}
