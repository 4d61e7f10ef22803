//! The marks of floors, and another place for their words where they touch something.

use kurbo::{Point, Vec2};

use super::cells::{Cells, Owner};
use super::covers;
use crate::captions::{Caption, Captions};
use crate::placement::assemble::Placement;
use crate::placement::block::{Flush, PlacedMark};
use crate::placement::grow::MARK_HALF;
use crate::placement::outline::{Cover, Outline};
use crate::projection::{COS30, SIN30};
use crate::sheets::Slant;

/// The words of a mark; the last are the roof's.
pub(super) fn words<'a>(mark: &PlacedMark, captions: &'a Captions) -> Option<&'a Caption> {
    let roof = captions.floors.len().saturating_sub(1);
    let words = captions.floors.get(mark.floor.map_or(roof, |f| f.0));
    words.map(std::sync::Arc::as_ref)
}

/// The piece of floor that is drawn round the stack.
pub(super) fn floor_piece(mark: &PlacedMark) -> Outline {
    let (x, y) = (COS30 * MARK_HALF, SIN30 * MARK_HALF);
    let corners = [(-x, 0.0), (0.0, -y), (x, 0.0), (0.0, y)];
    let corners = corners.map(|c| mark.at + Vec2::from(c)).to_vec();
    Outline::new(corners, Cover::Solid)
}

/// Moves the words of a floor's mark that touch something to another place beside the mark.
pub(super) fn settle(placement: &mut Placement, captions: &Captions, cells: &mut Cells, i: usize) {
    let m = placement.marks[i].clone();
    let Some(caption) = words(&m, captions) else {
        return;
    };
    let skip = |o: Owner| o == Owner::Floor(i);
    let free = |at: Point, slant: Slant, cells: &Cells| {
        covers(caption, at, slant, Flush::Left)
            .iter()
            .all(|o| cells.free(o, skip))
    };
    if free(m.text_at, m.slant, cells) {
        return;
    }
    let (w, h) = (caption.width(), caption.height());
    let mut tries: Vec<(f64, f64)> = Vec::new();
    for out in [5.6, 9.0, 13.0] {
        for up in [0.4, -h - 0.6, h * 0.5, -h * 1.5, -h * 0.5, h, -h * 2.0] {
            tries.push((out, -h - up));
            tries.push((-out - w, -h - up));
        }
    }
    for (x, y) in tries {
        let at = m.at + Vec2::new(x, y + caption.rise());
        if free(at, Slant::Level, cells) {
            cells.clear(skip);
            for o in covers(caption, at, Slant::Level, Flush::Left) {
                placement.bounds = placement.bounds.union(o.bounds());
                cells.add(o, Owner::Floor(i));
            }
            placement.marks[i].text_at = at;
            placement.marks[i].slant = Slant::Level;
            return;
        }
    }
}
