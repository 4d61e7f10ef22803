//! Sets blocks into rectangles: whole ones into the free boxes of a drawing, and everything that
//! is left over into the columns of a sheet of tables.

use kurbo::{Point, Rect};

use super::Item;
use super::block::Block;

/// Clear paper between blocks, mm.
const APART: f64 = 7.0;
/// A block may give way to this part of the width that it would like.
const SQUEEZE: f64 = 0.62;

/// Room for blocks; each rectangle keeps to the side of the sheet that it is nearest to.
#[derive(Clone, Debug, Default)]
pub(super) struct Room {
    spaces: Vec<Space>,
}

#[derive(Clone, Copy, Debug)]
struct Space {
    rect: Rect,
    right: bool,
    low: bool,
}

impl Room {
    /// The strip's own column first, then the free boxes of the field.
    pub fn new(column: Rect, free: &[Rect], field: Rect) -> Room {
        let mut spaces = vec![Space {
            rect: column,
            right: false,
            low: false,
        }];
        for r in free {
            let r = r.intersect(field);
            if r.width() > 0.0 && r.height() > 0.0 {
                let c = r.center();
                let right = c.x > field.center().x;
                let low = c.y > field.center().y;
                spaces.push(Space {
                    rect: r,
                    right,
                    low,
                });
            }
        }
        Room { spaces }
    }

    /// Sets a whole block where it leaves the least room unused; none if it fits nowhere.
    pub fn whole(&mut self, block: &Block, id: &str) -> Option<Vec<Item>> {
        let mut best: Option<(f64, usize, super::block::Widths, f64)> = None;
        for (i, space) in self.spaces.iter().enumerate() {
            let Some(at) = block.widths(space.rect.width()) else {
                continue;
            };
            if at.total < SQUEEZE * block.wish().min(150.0) {
                continue;
            }
            let height = block.height(&at);
            if height > space.rect.height() {
                continue;
            }
            let waste = space.rect.area() - at.total * height;
            if best.as_ref().is_none_or(|b| waste < b.0) {
                best = Some((waste, i, at, height));
            }
        }
        let (_, i, at, height) = best?;
        let corner = self.cut(i, at.total, height);
        Some(block.set(&at, (0, block.len()), corner, id.to_owned()))
    }

    /// Sets as much of a block as fits, wherever it fits, from a row on; gives the row that it
    /// came to. For notes that must stand on this sheet, and for those that open one.
    pub fn part(&mut self, block: &Block, from: usize, id: &str) -> Option<(Vec<Item>, usize)> {
        let mut best: Option<(usize, usize, super::block::Widths, f64)> = None;
        for (i, space) in self.spaces.iter().enumerate() {
            let Some(at) = block.widths(space.rect.width()) else {
                continue;
            };
            if at.total < SQUEEZE * block.wish().min(150.0) {
                continue;
            }
            let (to, height) = block.take(&at, from, space.rect.height());
            if to > from && height <= space.rect.height() && best.as_ref().is_none_or(|b| to > b.0)
            {
                best = Some((to, i, at, height));
            }
        }
        let (to, i, at, height) = best?;
        let corner = self.cut(i, at.total, height);
        Some((block.set(&at, (from, to), corner, id.to_owned()), to))
    }

    /// Takes a box out of a space, at its outer corner, and puts back what is left of it: beside
    /// the box as high as the box, beyond it as wide as the space.
    fn cut(&mut self, i: usize, width: f64, height: f64) -> Point {
        let space = self.spaces.swap_remove(i);
        let r = space.rect;
        let x = if space.right { r.x1 - width } else { r.x0 };
        let y = if space.low { r.y1 - height } else { r.y0 };
        let beside = if space.right {
            Rect::new(r.x0, y, x - APART, y + height)
        } else {
            Rect::new(x + width + APART, y, r.x1, y + height)
        };
        let beyond = if space.low {
            Rect::new(r.x0, r.y0, r.x1, y - APART)
        } else {
            Rect::new(r.x0, y + height + APART, r.x1, r.y1)
        };
        for rect in [beside, beyond] {
            if rect.x1 - rect.x0 > 30.0 && rect.y1 - rect.y0 > 15.0 {
                self.spaces.push(Space { rect, ..space });
            }
        }
        Point::new(x, y)
    }
}

/// A block and the row that it goes on from.
pub(super) struct Rest<'a> {
    pub block: &'a Block,
    pub from: usize,
}

/// Sets blocks into the columns of sheets of tables; gives the items of each sheet. `id` makes an
/// id from the sheet's index, a block's name and the row that it starts at.
pub(super) fn columns(
    rest: Vec<Rest<'_>>,
    first: Rect,
    id: impl Fn(usize, &str, usize) -> String,
) -> Vec<Vec<Item>> {
    /// A broken table shows at least so many rows, unless it has fewer.
    const FEW: usize = 4;
    let field = first;
    let mut sheets: Vec<Vec<Item>> = Vec::new();
    // The open column: left edge, next free height, width so far.
    let mut column: Option<(f64, f64, f64)> = None;
    for r in rest {
        let mut from = r.from;
        loop {
            if let Some((x, y, wide)) = column {
                let down = if y > field.y0 { y + APART } else { y };
                let at = r.block.widths((field.x1 - x).min(r.block.wish()));
                let fits = at.filter(|at| at.total >= SQUEEZE * r.block.wish().min(200.0));
                // Below a narrower table a wider one would make the column ragged.
                let fits = fits.filter(|at| y <= field.y0 || at.total <= wide * 1.25 + 1.0);
                if let Some(at) = fits {
                    let (to, height) = r.block.take(&at, from, field.y1 - down);
                    let left = r.block.len() - from;
                    let enough = to - from >= left.min(FEW) && height <= field.y1 - down + 1e-6;
                    let alone = y <= field.y0 && to > from;
                    if enough || alone {
                        let sheet = sheets.len().saturating_sub(1);
                        let corner = Point::new(x, down);
                        let items =
                            r.block
                                .set(&at, (from, to), corner, id(sheet, r.block.name, from));
                        if let Some(last) = sheets.last_mut() {
                            last.extend(items);
                        }
                        column = Some((x, down + height, wide.max(at.total)));
                        from = to;
                        if from >= r.block.len() {
                            break;
                        }
                    }
                }
                if y <= field.y0 && column.is_some_and(|c| c.1 <= field.y0) {
                    // An empty column that takes nothing: only a fresh sheet is wider.
                    if x <= field.x0 {
                        // Nor would that be: the paper is small for this table. Words break.
                        let at = r.block.squeezed(field.width());
                        let (to, _) = r.block.take(&at, from, field.height());
                        let to = to.max(from + 1).min(r.block.len());
                        let corner = Point::new(x, y);
                        let sheet = sheets.len().saturating_sub(1);
                        let id = id(sheet, r.block.name, from);
                        if let Some(last) = sheets.last_mut() {
                            last.extend(r.block.set(&at, (from, to), corner, id));
                        }
                        column = None;
                        from = to;
                        if from >= r.block.len() {
                            break;
                        }
                        continue;
                    }
                    column = None;
                    continue;
                }
                let next = column.map_or(field.x0, |c| c.0 + c.2 + APART * 1.4);
                column = (next + 40.0 < field.x1).then_some((next, field.y0, 0.0));
            } else {
                sheets.push(Vec::new());
                column = Some((field.x0, field.y0, 0.0));
            }
        }
    }
    sheets.retain(|s| !s.is_empty());
    sheets
}
