//! Lines and words of a plan.

use kurbo::{BezPath, Line, Point, Shape as _};

use super::labels::Placed;
use crate::assets;
use crate::sheets::{Anchor, Grey, Item, Role, Shape, Slant, Stroke, Text, Weight};

/// Capital height of all lettering, mm.
pub(super) const CAP: f64 = 2.5;
/// From one line of lettering to the next, mm.
pub(super) const PITCH: f64 = 4.1;
/// From the plan to the figures of its ordinates, mm.
pub(super) const JOG: f64 = 6.0;
/// Colour of thin lines: no paler than mid-grey.
pub(super) const SOFT: Grey = Grey(110);

/// A group's tag, with its leader.
pub(super) fn label(id: &str, lines: &[String], placed: &Placed) -> Vec<Item> {
    let mut items = Vec::new();
    if let Some(leader) = placed.leader {
        items.push(Item {
            role: Role::Leader,
            data: vec![("for", id.to_owned())],
            shapes: vec![drawn(leader, 0.18, &[], Grey::BLACK)],
            ..Item::default()
        });
    }
    let em = assets::em_for_cap(CAP);
    let first = placed.rect.y0 + em * 0.74;
    let texts = lines.iter().enumerate().map(|(k, line)| {
        let x = match placed.anchor {
            Anchor::Start => placed.rect.x0,
            Anchor::Middle => placed.rect.center().x,
            Anchor::End => placed.rect.x1,
        };
        let at = Point::new(x, first + PITCH * k as f64);
        text(line, at, placed.anchor, Slant::Level, Weight::Bold)
    });
    items.push(Item {
        role: Role::Label,
        data: vec![("for", id.to_owned())],
        texts: texts.collect(),
        ..Item::default()
    });
    items
}

pub(super) fn mark(kind: &str) -> Item {
    Item {
        role: Role::Mark,
        data: vec![("kind", kind.to_owned())],
        ..Item::default()
    }
}

/// Width of a line of lettering, mm, with what browsers add to it.
pub(super) fn width(words: &str, weight: Weight) -> f64 {
    assets::width(words, weight) * assets::em_for_cap(CAP) * 1.008
}

pub(super) fn text(words: &str, at: Point, anchor: Anchor, slant: Slant, weight: Weight) -> Text {
    Text {
        text: words.to_owned(),
        at,
        em: assets::em_for_cap(CAP),
        weight,
        anchor,
        slant,
        grey: Grey::BLACK,
    }
}

pub(super) fn stroked(path: BezPath, width: f64, dash: &[f64], grey: Grey) -> Shape {
    Shape {
        path,
        stroke: Some(Stroke {
            width,
            dash: dash.to_vec(),
            grey,
            round: false,
        }),
        fill: None,
    }
}

pub(super) fn drawn(line: Line, width: f64, dash: &[f64], grey: Grey) -> Shape {
    stroked(line.to_path(0.1), width, dash, grey)
}
