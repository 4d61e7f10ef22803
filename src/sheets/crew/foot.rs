//! The foot of the strip: project, number and count.

use kurbo::{Point, Rect, Vec2};

use super::{NUMBER, PAD, PITCH, STRONG, WORDS};
use crate::sheets::lettering::{HEAVY, Hand, capitals, rule};
use crate::sheets::title_block::compass;
use crate::sheets::{Anchor, Grey, Inputs, Item};
use crate::symbols;

/// The project's lines at the strip's foot.
fn project(set: &Inputs<'_>, width: f64) -> Vec<(String, Hand)> {
    let t = &set.job.title;
    let mut lines: Vec<(String, Hand)> = (STRONG.wrap(&capitals(&t.title), width).into_iter())
        .map(|l| (l, STRONG))
        .collect();
    let issue: Vec<String> = [
        t.number.clone(),
        t.revision.as_ref().map(|r| format!("Rev {r}")),
        t.date.clone(),
    ]
    .into_iter()
    .flatten()
    .collect();
    if !issue.is_empty() {
        let words = capitals(&issue.join(" · "));
        lines.extend(WORDS.wrap(&words, width).into_iter().map(|l| (l, WORDS)));
    }
    lines
}

/// How high the foot is, mm.
pub(super) fn foot_height(set: &Inputs<'_>, width: f64) -> f64 {
    project(set, width).len() as f64 * PITCH + NUMBER.cap + 3.0 * PAD
}

/// Radius of the ring round the north arrow, and how high its middle stands over the strip's lower
/// edge, mm.
const RING: f64 = 5.0;
const RING_UP: f64 = 8.4;
/// How far it stands from the strip's left edge, as a part of the strip's width.
const RING_AT: f64 = 0.55;

/// Project, number and count at the strip's foot; between them north, where a drawing has it.
pub(super) fn foot(
    item: &mut Item,
    set: &Inputs<'_>,
    strip: Rect,
    number: &str,
    (i, count): (usize, usize),
    north: Option<(f64, f64)>,
) {
    if let Some((x, y)) = north {
        let centre = Point::new(strip.x0 + strip.width() * RING_AT, strip.y1 - RING_UP);
        let ring = symbols::level_circle(centre, RING);
        compass(item, ring, centre, Vec2::new(x, y), (RING, STRONG));
    }
    let width = strip.width() - 2.0 * PAD;
    let top = strip.y1 - foot_height(set, width);
    item.shapes
        .push(rule((strip.x0, top), (strip.x1, top), HEAVY, Grey::BLACK));
    let mut y = top + PAD;
    for (line, hand) in project(set, width) {
        item.texts.push(hand.line(
            line,
            Point::new(strip.x0 + PAD, y + hand.cap),
            Anchor::Start,
        ));
        y += PITCH;
    }
    let base = strip.y1 - PAD;
    item.texts
        .push(NUMBER.line(number, Point::new(strip.x0 + PAD, base), Anchor::Start));
    item.texts.push(STRONG.line(
        format!("{} OF {count}", i + 1),
        Point::new(strip.x1 - PAD, base),
        Anchor::End,
    ));
}
