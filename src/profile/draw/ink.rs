//! Lines and words of a section.

use kurbo::{BezPath, Point, Rect};

use crate::assets;
use crate::sheets::{Anchor, Grey, Item, Role, Shape, Slant, Stroke, Text, Weight};

/// Lines, mm.
pub(super) const THIN: f64 = 0.18;
pub(super) const PLAIN: f64 = 0.3;
pub(super) const HEAVY: f64 = 0.6;

/// How words are lettered.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hand {
    cap: f64,
    weight: Weight,
}

impl Hand {
    /// Capitals of just over 3/32 in.
    pub const BODY: Hand = Hand {
        cap: 2.5,
        weight: Weight::Regular,
    };
    pub const STRONG: Hand = Hand {
        cap: 2.5,
        weight: Weight::Bold,
    };
    pub const HEADING: Hand = Hand {
        cap: 3.5,
        weight: Weight::Bold,
    };

    pub fn em(self) -> f64 {
        self.cap / assets::CAP
    }
    /// Width of a line, with what browsers add to it.
    pub fn wide(self, words: &str) -> f64 {
        assets::room(words, self.weight) * self.em() * 1.01 + 0.1
    }
    /// A line of words that begins at a point on its baseline.
    pub fn line(self, words: impl Into<String>, at: Point) -> Text {
        self.set(words, at, Anchor::Start, Slant::Level)
    }
    pub fn set(self, words: impl Into<String>, at: Point, anchor: Anchor, slant: Slant) -> Text {
        Text {
            text: words.into(),
            at,
            em: self.em(),
            weight: self.weight,
            anchor,
            slant,
            grey: Grey::BLACK,
        }
    }
    /// The box of a level line of words that begins here.
    pub fn room(self, words: &str, at: Point) -> Rect {
        let em = self.em();
        Rect::new(
            at.x,
            at.y - em * 0.76,
            at.x + self.wide(words),
            at.y + em * 0.2,
        )
    }
}

/// A line through some points.
pub(super) fn line(points: &[Point], width: f64) -> Shape {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        match i {
            0 => path.move_to(*p),
            _ => path.line_to(*p),
        }
    }
    Shape {
        path,
        stroke: Some(Stroke {
            width,
            dash: Vec::new(),
            grey: Grey::BLACK,
            round: false,
        }),
        fill: None,
    }
}

/// The outline of a rectangle.
pub(super) fn outline(r: Rect, width: f64) -> Shape {
    let corners = [
        Point::new(r.x0, r.y0),
        Point::new(r.x1, r.y0),
        Point::new(r.x1, r.y1),
        Point::new(r.x0, r.y1),
    ];
    let mut shape = line(&corners, width);
    shape.path.close_path();
    shape
}

/// Strokes at 45° over a rectangle, so far apart along it.
pub(super) fn hatch(r: Rect, apart: f64) -> Shape {
    let mut path = BezPath::new();
    let mut x = r.x0 - r.height();
    while x < r.x1 {
        // From the lower edge up to the right, within the rectangle.
        let (a, b) = (x.max(r.x0), (x + r.height()).min(r.x1));
        if b > a {
            path.move_to((a, r.y1 - (a - x)));
            path.line_to((b, r.y1 - (b - x)));
        }
        x += apart;
    }
    Shape {
        path,
        ..line(&[], THIN)
    }
}

/// Line work that is neither pipe nor symbol.
pub(super) fn mark(kind: &str, shapes: Vec<Shape>) -> Item {
    Item {
        role: Role::Mark,
        data: vec![("kind", kind.to_owned())],
        shapes,
        ..Item::default()
    }
}

/// Words that name no pipe.
pub(super) fn mark_words(kind: &str, texts: Vec<Text>) -> Item {
    Item {
        texts,
        ..mark(kind, Vec::new())
    }
}
