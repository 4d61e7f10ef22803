//! A block: a finished part of the drawing, labelled, in its own frame. Its origin is the joint
//! by which it hangs on the rest. Blocks only ever move as a whole; a finished one is shared, and
//! is only counted again where it stands.

use std::cell::RefCell;
use std::rc::Rc;

use kurbo::{Point, Rect, Vec2};

use super::contour::Contour;
use super::outline::{Cover, Outline};
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

/// A part of the drawing: its own things, and finished parts that stand in it.
#[derive(Clone, Debug, Default)]
pub struct Block {
    /// What its own things cover on paper.
    pub outlines: Vec<Outline>,
    /// Places of its own joints.
    pub joints: Vec<(JointIx, Space)>,
    /// Upstream ends of its own legs: piece, leg, place.
    pub legs: Vec<(PieceIx, usize, Space)>,
    /// Ends of its own pipes that go on on another sheet.
    pub cuts: Vec<(PieceIx, Space)>,
    /// Bends of its own pipes before their first leg: where they reach a lane beside their stack.
    pub bends: Vec<(PieceIx, Space)>,
    /// Its own labels.
    pub labels: Vec<PlacedLabel>,
    /// Its own symbols.
    pub symbols: Vec<PlacedSymbol>,
    /// Its own floor marks.
    pub marks: Vec<PlacedMark>,
    /// Heights that it asks for, above its origin.
    pub wants: Vec<(Want, f64)>,
    /// Finished blocks in it, and where their origins stand.
    pub parts: Vec<(Part, Space)>,
}

/// A finished block, shared by all that it stands in.
pub type Part = Rc<Finished>;

/// A block that changes no more, with what is often asked of it.
#[derive(Debug)]
pub struct Finished {
    block: Block,
    bounds: Option<Rect>,
    contours: RefCell<Vec<(Way, Rc<Contour>)>>,
}

/// A height that blocks can ask to be raised.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Want {
    /// Branches of this floor.
    Branch(FloorIx),
    /// The marks of this floor itself.
    Mark(FloorIx),
    /// Branches of this floor that come in above it.
    Above(FloorIx),
    /// Vents above the rims of this floor.
    Rim(FloorIx),
    /// The roof.
    Roof,
    /// A relief vent below the lowest floor of a sheet.
    LowRelief,
}

impl Block {
    /// A block of one outline and no more.
    pub fn of_outline(outline: Outline) -> Self {
        Block {
            outlines: vec![outline],
            ..Block::default()
        }
    }
    /// Takes in a finished block whose origin stands at `at`.
    pub fn absorb(&mut self, part: Part, at: Space) {
        if !part.block.is_empty() {
            self.parts.push((part, at));
        }
    }
    /// Whether nothing stands in it.
    pub fn is_empty(&self) -> bool {
        self.outlines.is_empty()
            && self.joints.is_empty()
            && self.legs.is_empty()
            && self.cuts.is_empty()
            && self.bends.is_empty()
            && self.labels.is_empty()
            && self.symbols.is_empty()
            && self.marks.is_empty()
            && self.wants.is_empty()
            && self.parts.is_empty()
    }
    /// The block, finished.
    pub fn finish(self) -> Part {
        let own = self.outlines.iter().map(Outline::bounds);
        let parts = self
            .parts
            .iter()
            .filter_map(|(p, at)| p.bounds.map(|b| b + at.paper()));
        let bounds = own.chain(parts).reduce(|a, b| a.union(b));
        Rc::new(Finished {
            block: self,
            bounds,
            contours: RefCell::default(),
        })
    }
    /// Calls `see` with every block in it, itself first, and where its origin stands.
    pub fn walk(&self, at: Space, see: &mut impl FnMut(&Block, Space)) {
        see(self, at);
        for (part, by) in &self.parts {
            part.block.walk(at + *by, see);
        }
    }
    /// Where a joint stands in it.
    pub fn place(&self, joint: JointIx) -> Option<Space> {
        let own = self.joints.iter().find(|x| x.0 == joint).map(|x| x.1);
        own.or_else(|| {
            let mut parts = self.parts.iter();
            parts.find_map(|(p, at)| p.block.place(joint).map(|s| s + *at))
        })
    }
    /// The box round everything that it covers.
    pub fn bounds(&self) -> Option<Rect> {
        let own = self.outlines.iter().map(Outline::bounds);
        let parts = self
            .parts
            .iter()
            .filter_map(|(p, at)| p.bounds.map(|b| b + at.paper()));
        own.chain(parts).reduce(|a, b| a.union(b))
    }
    /// All that it covers within a box, moved by `by`, is added to `found`.
    pub fn near(&self, region: Rect, by: Vec2, found: &mut Vec<Outline>) {
        let meets = |b: Rect| {
            let (a, b) = (region, b + by);
            a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
        };
        for o in self.outlines.iter().filter(|o| meets(o.bounds())) {
            found.push(o.moved(by));
        }
        for (part, at) in &self.parts {
            let at = at.paper();
            if part.bounds.is_some_and(|b| meets(b + at)) {
                part.block.near(region, by + at, found);
            }
        }
    }
    /// Its contour along a way.
    pub fn contour(&self, way: Way) -> Contour {
        let mut contour = Contour::default();
        self.add_to(&mut contour, way, Vec2::ZERO);
        contour
    }
    fn add_to(&self, contour: &mut Contour, way: Way, by: Vec2) {
        let u = way.paper();
        for o in &self.outlines {
            contour.add(o, u, by);
        }
        for (part, at) in &self.parts {
            let by = by + at.paper();
            // A part that stands whole strips aside covers them as it does by itself.
            match Contour::strips_aside(by, u) {
                Some(strips) => contour.merge_aside(&part.contour(way), by.dot(u), strips),
                None => part.block.add_to(contour, way, by),
            }
        }
    }
    /// The greatest value of some measure of the outlines in it with one of these covers.
    pub fn most_of(
        &self,
        covers: &[Cover],
        by: Vec2,
        measure: &mut impl FnMut(&Outline, Vec2) -> f64,
    ) -> f64 {
        let own = self.outlines.iter().filter(|o| covers.contains(&o.cover));
        let mut most = own.map(|o| measure(o, by)).fold(0.0, f64::max);
        for (part, at) in &self.parts {
            most = most.max(part.block.most_of(covers, by + at.paper(), measure));
        }
        most
    }
    /// How high its outlines reach above the line through the origin along `way`, measured
    /// straight up; vents do not count.
    pub fn height_above(&self, way: Way) -> f64 {
        let u = way.paper();
        if u.x.abs() < 1e-9 {
            return 0.0;
        }
        let form = Vec2::new(u.y / u.x, -1.0);
        let high = &mut |o: &Outline, by: Vec2| o.range(form).1 + by.dot(form);
        self.most_of(&[Cover::Solid], Vec2::ZERO, high)
    }
}

impl Finished {
    /// The block itself.
    pub fn block(&self) -> &Block {
        &self.block
    }
    /// Its contour along a way, worked out once.
    pub fn contour(&self, way: Way) -> Rc<Contour> {
        let kept = |c: &Vec<(Way, Rc<Contour>)>| {
            let found = c.iter().find(|(w, _)| *w == way);
            found.map(|(_, c)| Rc::clone(c))
        };
        if let Some(known) = kept(&self.contours.borrow()) {
            return known;
        }
        let made = Rc::new(self.block.contour(way));
        self.contours.borrow_mut().push((way, Rc::clone(&made)));
        made
    }
}
