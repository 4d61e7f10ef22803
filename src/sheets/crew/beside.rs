//! Columns of a list in the free paper of its drawing's field, where the strip is full.

use kurbo::{Rect, Vec2};

use super::entry::{Entry, height, split};
use super::{APART, BELOW_HEAD, OVER, PAD};
use crate::sheets::Scene;

/// Clear paper between a column and another, mm.
const GAP: f64 = 4.0;
/// No column is lower, mm.
const LEAST: f64 = 24.0;
/// Widths that are tried, as parts of the widest.
const WIDTHS: [f64; 4] = [1.0, 0.84, 0.72, 0.66];

/// A list beside its drawing.
#[derive(Default)]
pub(super) struct Beside {
    /// How far the drawing moves to make room.
    pub by: Vec2,
    /// Columns: their boxes, and what stands in them.
    pub columns: Vec<(Rect, Vec<Entry>)>,
    /// What found no room.
    pub left: Vec<Entry>,
}

/// Sets entries into columns, moving the drawing within its field where that makes room for more of
/// them. `entries` makes them for a width of their words; the narrowest column is only as narrow as it
/// must be.
pub(super) fn beside(scene: &Scene, entries: impl Fn(f64) -> Vec<Entry>, width: f64) -> Beside {
    let mut best: Option<Beside> = None;
    for part in WIDTHS {
        let width = width * part;
        let entries = entries(width - 2.0 * PAD);
        for by in moves(scene) {
            let made = columns(scene, by, &entries, width);
            let better = best.as_ref().is_none_or(|b| {
                let (new, old) = (made.left.len(), b.left.len());
                new < old || (new == old && made.columns.len() < b.columns.len())
            });
            if better {
                best = Some(made);
            }
        }
    }
    best.unwrap_or_default()
}

/// Where the drawing may move to: it stays, or goes to an edge or a corner of its field.
fn moves(scene: &Scene) -> Vec<Vec2> {
    let m = &scene.margins;
    let least = |depths: &[f64]| depths.iter().copied().fold(f64::INFINITY, f64::min);
    let (up, down) = (least(&m.above), least(&m.below));
    let high = scene.field.height();
    let empty = |d: &&f64| **d >= high - 1e-6;
    let left = m.above.iter().take_while(empty).count() as f64 * m.strip;
    let right = m.above.iter().rev().take_while(empty).count() as f64 * m.strip;
    let mut all = Vec::new();
    for y in [0.0, -up, down] {
        for x in [0.0, -left, right] {
            let by = Vec2::new(x, y);
            if y.is_finite() && !all.contains(&by) {
                all.push(by);
            }
        }
    }
    all
}

/// A place for a column: its left edge, and its free box.
struct Place {
    at: Rect,
    low: bool,
}

/// Fills the deepest free places first, then sets the list into them from the left, those at the top
/// before those at the foot.
fn columns(scene: &Scene, by: Vec2, entries: &[Entry], width: f64) -> Beside {
    let mut depths = Depths::of(scene, by);
    let mut places: Vec<Place> = Vec::new();
    loop {
        let (columns, left) = filled(&mut places, entries);
        let more = (!left.is_empty()).then(|| depths.deepest(width)).flatten();
        match more {
            Some(place) => places.push(place),
            None => return Beside { by, columns, left },
        }
    }
}

/// A column: its box, and what stands in it.
type Filled = (Rect, Vec<Entry>);

/// The entries in their places, and those for which there is no place. The head of a column stands on
/// its upper edge.
fn filled(places: &mut [Place], entries: &[Entry]) -> (Vec<Filled>, Vec<Entry>) {
    places.sort_by(|a, b| {
        (a.low, a.at.x0)
            .partial_cmp(&(b.low, b.at.x0))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let mut rest = entries.to_vec();
    let mut columns = Vec::new();
    for place in places.iter() {
        let (here, later) = split(
            rest,
            place.at.height() - 2.0 * PAD - OVER - BELOW_HEAD + APART,
        );
        rest = later;
        if here.is_empty() {
            continue;
        }
        let high = height(&here) + 2.0 * PAD + BELOW_HEAD - APART;
        let at = match place.low {
            true => Rect::new(place.at.x0, place.at.y1 - high, place.at.x1, place.at.y1),
            false => Rect::new(
                place.at.x0,
                place.at.y0 + OVER,
                place.at.x1,
                place.at.y0 + OVER + high,
            ),
        };
        columns.push((at, here));
    }
    (columns, rest)
}

/// How deep a field is free from its edges, once its drawing has moved.
struct Depths {
    field: Rect,
    strip: f64,
    above: Vec<f64>,
    below: Vec<f64>,
}

impl Depths {
    fn of(scene: &Scene, by: Vec2) -> Depths {
        let m = &scene.margins;
        let high = scene.field.height();
        let shift = (by.x / m.strip).round() as isize;
        let moved = |depths: &[f64], dy: f64| -> Vec<f64> {
            (0..depths.len())
                .map(|i| {
                    let from = i.checked_add_signed(-shift).and_then(|i| depths.get(i));
                    match from {
                        Some(d) if *d < high - 1e-6 => (d + dy).max(0.0),
                        _ => high,
                    }
                })
                .collect()
        };
        Depths {
            field: scene.field,
            strip: m.strip,
            above: moved(&m.above, by.y),
            below: moved(&m.below, -by.y),
        }
    }

    /// The deepest box of a width that hangs from the upper edge or stands on the lower one; it is
    /// taken.
    fn deepest(&mut self, width: f64) -> Option<Place> {
        let n = (width / self.strip).ceil() as usize;
        let mut best: Option<(f64, usize, bool)> = None;
        let count = self.above.len();
        // From the strip leftwards: the list goes on as near to it as it can.
        for start in (0..(count + 1).saturating_sub(n)).rev() {
            for (low, depths) in [(false, &self.above), (true, &self.below)] {
                let free = depths[start..start + n]
                    .iter()
                    .copied()
                    .fold(f64::INFINITY, f64::min);
                if free > LEAST && best.is_none_or(|(f, ..)| free > f + 1e-6) {
                    best = Some((free, start, low));
                }
            }
        }
        let (free, start, low) = best?;
        let x0 = self.field.x0 + start as f64 * self.strip;
        let x0 = x0.min(self.field.x1 - width);
        let (y0, y1) = (self.field.y0, self.field.y1);
        let at = match low {
            true => Rect::new(x0, y1 - free, x0 + width, y1),
            false => Rect::new(x0, y0, x0 + width, y0 + free),
        };
        let gap = (GAP / self.strip).ceil() as usize;
        let taken = start.saturating_sub(gap)..(start + n + gap).min(count);
        for i in taken {
            // What stands across the strip from it keeps clear of it.
            let high = self.field.height();
            let (own, other) = match low {
                true => (&mut self.below[i], &mut self.above[i]),
                false => (&mut self.above[i], &mut self.below[i]),
            };
            *own = 0.0;
            *other = other.min(high - free - GAP).max(0.0);
        }
        Some(Place { at, low })
    }
}
