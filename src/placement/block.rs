//! A block: a finished part of the drawing, labelled, in its own frame. Its origin is the joint
//! by which it hangs on the rest. Blocks only ever move as a whole.

use kurbo::{Point, Vec2};

use super::outline::Outline;
use crate::job::FloorIx;
use crate::network::{JointIx, PieceIx};
use crate::projection::{Space, Way};
use crate::sheets::Slant;

/// A set text: which caption, where its first line's baseline starts.
#[derive(Clone, Debug)]
pub struct PlacedLabel {
    /// Index into the captions.
    pub caption: usize,
    /// Left end of the first baseline, relative to the block's origin.
    pub at: Point,
    /// Its direction.
    pub slant: Slant,
    /// How its lines stand against each other.
    pub flush: Flush,
    /// A leader from the label to what it names, if it stands apart.
    pub leader: Option<(Point, Point)>,
}

/// How the lines of a label stand against each other: toward what they name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Flush {
    /// All begin at the left.
    #[default]
    Left,
    /// All are centred.
    Middle,
    /// All end at the right.
    Right,
}

/// A symbol standing at a joint.
#[derive(Clone, Debug)]
pub struct PlacedSymbol {
    /// Index into the list of symbols to place.
    pub symbol: usize,
    /// Its origin, relative to the block's.
    pub at: Point,
    /// The way in which what it ends arrives.
    pub way: Way,
}

/// A floor's mark at a stack.
#[derive(Clone, Debug)]
pub struct PlacedMark {
    /// The floor; none for the roof.
    pub floor: Option<FloorIx>,
    /// Where the stack passes it.
    pub at: Point,
    /// Left end of its first baseline.
    pub text_at: Point,
    /// Direction of its words.
    pub slant: Slant,
}

/// A finished part of the drawing.
#[derive(Clone, Debug, Default)]
pub struct Block {
    /// All that it covers on paper.
    pub outlines: Vec<Outline>,
    /// Places of its joints.
    pub joints: Vec<(JointIx, Space)>,
    /// Upstream ends of its legs: piece, leg, place.
    pub legs: Vec<(PieceIx, usize, Space)>,
    /// Its labels.
    pub labels: Vec<PlacedLabel>,
    /// Its symbols.
    pub symbols: Vec<PlacedSymbol>,
    /// Its floor marks.
    pub marks: Vec<PlacedMark>,
    /// How high its fixtures reach above the level trunk that they stand on, mm.
    pub crown: f64,
    /// Heights that it asks for: vents above the rim of a floor must lie at least so high.
    pub wants: Vec<(Want, f64)>,
}

/// A height that blocks can ask to be raised.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Want {
    /// Branches of this floor.
    Branch(FloorIx),
    /// Vents above the rims of this floor.
    Rim(FloorIx),
    /// The roof.
    Roof,
}

impl Block {
    /// Takes in another block whose origin stands at `at`.
    pub fn absorb(&mut self, other: &Block, at: Space) {
        let by = at.paper();
        self.outlines
            .extend(other.outlines.iter().map(|o| o.moved(by)));
        self.joints
            .extend(other.joints.iter().map(|(j, s)| (*j, *s + at)));
        self.legs
            .extend(other.legs.iter().map(|(p, i, s)| (*p, *i, *s + at)));
        self.labels.extend(other.labels.iter().map(|l| PlacedLabel {
            at: l.at + by,
            leader: l.leader.map(|(a, b)| (a + by, b + by)),
            ..l.clone()
        }));
        self.symbols
            .extend(other.symbols.iter().map(|s| PlacedSymbol {
                at: s.at + by,
                ..s.clone()
            }));
        self.marks.extend(other.marks.iter().map(|m| PlacedMark {
            at: m.at + by,
            text_at: m.text_at + by,
            ..m.clone()
        }));
        self.wants.extend(other.wants.iter().copied());
    }

    /// How high its outlines reach above the line through the origin along `way`, measured
    /// straight up; vents do not count.
    pub fn height_above(&self, way: Way) -> f64 {
        use super::outline::Cover;
        let u = way.paper();
        if u.x.abs() < 1e-9 {
            return 0.0;
        }
        let slope = u.y / u.x;
        self.outlines
            .iter()
            .filter(|o| o.cover == Cover::Solid)
            .map(|o| o.range(Vec2::new(slope, -1.0)).1)
            .fold(0.0, f64::max)
    }
}
