//! What the drain lies in: slabs, joists, the ground, footings, the wall at the exit.

use kurbo::{Point, Rect};

use super::super::model::Profile;
use super::frame::Frame;
use super::ink::{Hand, PLAIN, THIN, hatch, line, mark, outline};
use super::words::Letters;
use crate::sheets::Item;
use crate::units::{Length, Printer};

/// Width of a footing on paper, mm: nobody states it.
const FOOTING: f64 = 7.0;
/// Length of a piece of ground on paper, mm.
const GROUND: f64 = 16.0;

/// All of it, what lies farthest behind first.
pub(super) fn items(
    profile: &Profile,
    frame: &Frame,
    letters: &Letters,
    print: Printer,
    field: Rect,
) -> Vec<Item> {
    let mut items = Vec::new();
    for over in &profile.over {
        let box_ = Rect::new(
            frame.x(over.from),
            frame.y(over.top),
            frame.x(over.to),
            frame.y(over.under),
        );
        let mut shapes = vec![outline(box_, PLAIN)];
        let kind = if over.slab { "slab" } else { "joists" };
        if over.slab {
            shapes.push(hatch(box_, 3.0));
        }
        let mut item = mark(kind, shapes);
        let words = letters.lettered(&format!("{} f.f.", over.floor));
        let mut words = format!("{words} {}", print.level(over.top));
        if !over.slab {
            words += ": DECK ON JOISTS";
        }
        let wide = Hand::BODY.wide(&words);
        let left = (box_.x0 + 2.0).min(field.x1 - wide - 1.0);
        let at = Point::new(left, box_.y0 - 1.2);
        item.texts.push(Hand::BODY.line(words, at));
        items.push(item);
    }
    for footing in &profile.footings {
        let x = frame.x(footing.distance);
        // A side that nobody states is left open.
        let (top, bottom) = (
            footing.top.map(|l| frame.y(l)),
            footing.bottom.map(|l| frame.y(l)),
        );
        let (from, to) = (x, x + FOOTING);
        let mut shapes = Vec::new();
        match (top, bottom) {
            (Some(top), Some(bottom)) => {
                let box_ = Rect::new(from, top, to, bottom);
                shapes.extend([outline(box_, PLAIN), hatch(box_, 2.0)]);
            }
            (top, bottom) => {
                let sides = top.into_iter().chain(bottom);
                shapes
                    .extend(sides.map(|y| line(&[Point::new(from, y), Point::new(to, y)], PLAIN)));
            }
        }
        let name = letters.lettered(&footing.name);
        let mut item = mark("footing", shapes);
        let middle = [top, bottom].into_iter().flatten().sum::<f64>()
            / [top, bottom].into_iter().flatten().count().max(1) as f64;
        // Outside of the wall lies the ground.
        let outside = profile
            .grounds
            .iter()
            .any(|g| g.distance == footing.distance);
        let left = match outside {
            true => to + 1.4,
            false => from - Hand::BODY.wide(&name) - 1.4,
        };
        item.texts
            .push(Hand::BODY.line(name, Point::new(left, middle + 1.2)));
        items.push(item);
    }
    let wall = profile.footings.iter().find(|f| f.distance == Length::ZERO);
    let tops = profile.over.first().map(|o| o.top);
    let ground = profile
        .grounds
        .iter()
        .find(|g| g.distance == Length::ZERO)
        .map(|g| g.level);
    let above = [tops, ground]
        .into_iter()
        .flatten()
        .max_by(Length::total_cmp);
    if let (Some(from), Some(to)) = (wall.and_then(|f| f.top.or(f.bottom)), above)
        && to > from
    {
        let face = [frame.at(Length::ZERO, from), frame.at(Length::ZERO, to)];
        items.push(mark("wall", vec![line(&face, PLAIN)]));
    }
    for ground in &profile.grounds {
        let at = frame.at(ground.distance, ground.level);
        // Outside of the wall; over the sewer's far end to both sides.
        let (a, b) = match ground.distance == Length::ZERO {
            true => (at.x - GROUND, at.x),
            false => (at.x - GROUND / 2.0, at.x + GROUND / 2.0),
        };
        let a = a.max(frame.origin.x - 6.0);
        let mut shapes = vec![line(&[Point::new(a, at.y), Point::new(b, at.y)], PLAIN)];
        let mut x = a + 1.0;
        while x + 1.4 <= b {
            shapes.push(line(
                &[Point::new(x + 1.4, at.y), Point::new(x, at.y + 1.4)],
                THIN,
            ));
            x += 2.4;
        }
        let mut item = mark("ground", shapes);
        let words = format!("GRADE {}", print.level(ground.level));
        let wide = Hand::BODY.wide(&words);
        let left = match ground.distance == Length::ZERO {
            true => b - wide - 0.8,
            false => a,
        };
        item.texts
            .push(Hand::BODY.line(words, Point::new(left, at.y - 1.2)));
        items.push(item);
    }
    if let Some(rim) = profile.rim {
        // Where the manhole stands nobody says: its level, over what is drawn of the sewer.
        let (a, y) = (frame.origin.x - 6.0, frame.y(rim));
        let words = format!("RIM OF NEXT MANHOLE UPSTREAM {}", print.level(rim));
        let b = a + Hand::BODY.wide(&words).max(GROUND);
        let mut item = mark(
            "rim",
            vec![line(&[Point::new(a, y), Point::new(b, y)], PLAIN)],
        );
        item.texts
            .push(Hand::BODY.line(words, Point::new(a, y - 1.2)));
        items.push(item);
    }
    items
}
