//! Sets blocks into rectangles: whole ones into the free boxes of a drawing, and everything that
//! is left over into the columns of a sheet of tables.

use kurbo::{Point, Rect};

use super::Item;
use super::arrange::{Arranged, Piece, enlarged};
use super::block::{Block, Widths};
use crate::at_once;

/// Clear paper between blocks above each other, mm.
pub(super) const APART: f64 = 7.0;
/// Clear paper between blocks side by side, mm: more than between two columns of a table, or
/// they read as one table.
pub(super) const BESIDE: f64 = 11.0;
/// Beside another column a table has at least this part of the width that it would like.
const ROOMY: f64 = 0.88;
/// A broken table shows at least so many rows, unless it has fewer.
const FEW: usize = 4;
/// No column is narrower, mm.
const NARROW: f64 = 40.0;

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
            let r = apart(r.intersect(field), field);
            if r.x1 > r.x0 && r.y1 > r.y0 {
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

    /// Takes out what stands in columns.
    pub fn take(&mut self, arranged: &Arranged<'_>, column: Rect) {
        let down = arranged.strip_used();
        let strip = Rect::new(column.x0, column.y0, column.x1, column.y0 + down);
        let strip = (down > 0.0).then_some(strip);
        for used in arranged.used().into_iter().chain(strip) {
            let used = used.inflate(BESIDE, APART);
            for space in &mut self.spaces {
                space.rect = clear_of(space.rect, used);
            }
        }
        self.spaces.retain(|s| useful(s.rect));
    }

    /// Sets a whole block where it leaves the least room unused; none if it fits nowhere.
    pub fn whole(&mut self, block: &Block, id: &str) -> Option<Vec<Item>> {
        let mut best: Option<(f64, usize, Widths, f64)> = None;
        for (i, space) in self.spaces.iter().enumerate() {
            let Some(at) = block.widths(space.rect.width()) else {
                continue;
            };
            if at.total < block.fair() - 1e-6 {
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
        let mut best: Option<(usize, usize, Widths, f64)> = None;
        for (i, space) in self.spaces.iter().enumerate() {
            let Some(at) = block.widths(space.rect.width()) else {
                continue;
            };
            if at.total < block.fair() - 1e-6 {
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
            Rect::new(r.x0, y, x - BESIDE, y + height)
        } else {
            Rect::new(x + width + BESIDE, y, r.x1, y + height)
        };
        let beyond = if space.low {
            Rect::new(r.x0, r.y0, r.x1, y - APART)
        } else {
            Rect::new(r.x0, y + height + APART, r.x1, r.y1)
        };
        let used = Rect::new(x, y, x + width, y + height).inflate(BESIDE, APART);
        for other in &mut self.spaces {
            other.rect = clear_of(other.rect, used);
        }
        self.spaces.retain(|s| useful(s.rect));
        for rect in [beside, beyond] {
            if useful(rect) {
                self.spaces.push(Space { rect, ..space });
            }
        }
        Point::new(x, y)
    }
}

/// Whether anything could be set in a box.
fn useful(r: Rect) -> bool {
    r.x1 - r.x0 > 30.0 && r.y1 - r.y0 > 15.0
}

/// The largest part of a free box that keeps clear of a used one: free boxes may adjoin or share
/// paper, and what is set in one may come close to another.
fn clear_of(r: Rect, used: Rect) -> Rect {
    let both = r.intersect(used);
    if both.width() <= 1e-6 || both.height() <= 1e-6 {
        return r;
    }
    let left = Rect::new(r.x0, r.y0, used.x0.max(r.x0), r.y1);
    let right = Rect::new(used.x1.min(r.x1), r.y0, r.x1, r.y1);
    let above = Rect::new(r.x0, r.y0, r.x1, used.y0.max(r.y0));
    let below = Rect::new(r.x0, used.y1.min(r.y1), r.x1, r.y1);
    [right, above, below]
        .into_iter()
        .fold(left, |a, b| if b.area() > a.area() { b } else { a })
}

/// A free box drawn in on the sides where another may adjoin it.
fn apart(r: Rect, field: Rect) -> Rect {
    let by = |side: f64, edge: f64, apart: f64| {
        if (side - edge).abs() > 0.5 {
            apart / 2.0
        } else {
            0.0
        }
    };
    Rect::new(
        r.x0 + by(r.x0, field.x0, BESIDE),
        r.y0 + by(r.y0, field.y0, APART),
        r.x1 - by(r.x1, field.x1, BESIDE),
        r.y1 - by(r.y1, field.y1, APART),
    )
}

/// Sets blocks into the columns of sheets of tables; gives the items of each sheet. `id` makes an
/// id from the sheet's index, a block's name and the row that it starts at; without it the items
/// are blank, one to a sheet.
///
/// Gives the size of the lettering too, as a part of the least: they are lettered as large, of the sizes
/// given, as takes no more sheets. Columns of the last sheet are only as high as they must be for the same
/// number of sheets, so that long tables stand side by side over the whole width rather than down
/// one side of an empty sheet; those of the sheets before it are filled.
pub(super) fn columns(
    rest: &[Piece<'_>],
    field: Rect,
    larger: &[f64],
    id: Option<impl Fn(usize, &str, usize) -> String + Sync>,
) -> (Vec<Vec<Item>>, f64) {
    /// Beyond so many sheets there is little to win, and trying takes time.
    const FEW_SHEETS: usize = 3;
    /// Beyond so many, one is not looked for that might be saved.
    const MANY_SHEETS: usize = 12;
    // Only the layout that is chosen is set.
    let count = |field: &Field, beside| columns_of(rest, *field, beside).len();
    // What is lettered larger has so much the smaller field, before it is drawn larger.
    let smaller = |by: f64| {
        let size = (field.width() / by, field.height() / by);
        Field::whole(Rect::from_origin_size(Point::ORIGIN, size))
    };
    // The order in which blocks are read is kept, unless a sheet is saved.
    let plain = count(&smaller(1.0), false);
    let saved = (2..=MANY_SHEETS)
        .contains(&plain)
        .then(|| count(&smaller(1.0), true));
    let beside = saved.is_some_and(|n| n < plain);
    let whole = saved.filter(|_| beside).unwrap_or(plain);
    let sheets = |field: &Field| count(field, beside);
    let few = (1..=FEW_SHEETS).contains(&whole);
    let larger = larger.iter().copied().filter(|by| few && *by > 1.0);
    let by = larger.into_iter().find(|by| sheets(&smaller(*by)) <= whole);
    let by = by.unwrap_or(1.0);
    let last = whole.saturating_sub(1);
    let lower = |part: u32| smaller(by).lower(last, f64::from(part) / 20.0);
    // The lowest columns, in twentieths of the field, found by halving.
    let (mut short, mut enough) = (5, 20);
    while few && enough - short > 1 {
        let half = (short + enough) / 2;
        if sheets(&lower(half)) <= whole {
            enough = half;
        } else {
            short = half;
        }
    }
    let made = columns_of(rest, lower(enough), beside);
    let Some(id) = id else {
        let blank = |_| vec![Item::default()];
        return (made.into_iter().map(blank).collect(), by);
    };
    let to = field.origin() - Point::ORIGIN;
    let made: Vec<(usize, Vec<Part<'_>>)> = made.into_iter().enumerate().collect();
    let set = |(sheet, parts): &(usize, Vec<Part<'_>>)| {
        let items = parts.iter().flat_map(|p| p.set(&id, *sheet));
        enlarged(items.collect(), by, to)
    };
    (at_once::each(&made, set), by)
}

/// Fills sheets: which rows stand where on each. `beside` lets what finds no column of its own stand
/// whole where columns left room, on an earlier sheet too.
fn columns_of<'a>(rest: &[Piece<'a>], field: Field, beside: bool) -> Vec<Vec<Part<'a>>> {
    let mut pages = Pages {
        field: field.of(0),
        fields: field,
        sheets: Vec::new(),
        column: None,
    };
    for &Piece { block, mut from } in rest {
        while from < block.len() {
            match pages.here(block, from) {
                Some(to) => from = to,
                None if pages.fresh() => from = pages.squeezed(block, from),
                None if beside && pages.ends(block) && pages.back(block, from) => {
                    from = block.len();
                }
                None => pages.next(),
            }
        }
    }
    pages.sheets.retain(|s| !s.is_empty());
    pages.sheets
}

/// The room of each sheet.
#[derive(Clone, Copy)]
struct Field {
    whole: Rect,
    /// From this sheet on only so high.
    lower: (usize, f64),
}

impl Field {
    /// All sheets alike.
    fn whole(whole: Rect) -> Field {
        let lower = (0, whole.height());
        Field { whole, lower }
    }
    /// From a sheet on only a part as high.
    fn lower(self, from: usize, part: f64) -> Field {
        let lower = (from, self.whole.height() * part);
        Field { lower, ..self }
    }
    /// Of a sheet.
    fn of(&self, sheet: usize) -> Rect {
        let Rect { x0, y0, x1, y1 } = self.whole;
        let (from, height) = self.lower;
        Rect::new(x0, y0, x1, if sheet < from { y1 } else { y0 + height })
    }
}

/// Rows of a block at their place.
struct Part<'a> {
    block: &'a Block,
    at: Widths,
    rows: (usize, usize),
    corner: Point,
}

impl Part<'_> {
    /// The paper that it takes.
    fn rect(&self) -> Rect {
        let (from, to) = self.rows;
        let size = (self.at.total, self.block.span(&self.at, from, to));
        Rect::from_origin_size(self.corner, size)
    }

    fn set(&self, id: impl Fn(usize, &str, usize) -> String, sheet: usize) -> Vec<Item> {
        let id = id(sheet, self.block.name, self.rows.0);
        self.block.set(&self.at, self.rows, self.corner, id)
    }
}

/// Sheets of tables being filled, column by column.
struct Pages<'a> {
    /// Of the open sheet.
    field: Rect,
    fields: Field,
    sheets: Vec<Vec<Part<'a>>>,
    column: Option<Column>,
}

/// An open column: its left edge, the next free height, and its width so far.
#[derive(Clone, Copy)]
struct Column {
    x: f64,
    y: f64,
    wide: f64,
}

impl<'a> Pages<'a> {
    /// Sets rows from `from` on into the open column and gives the row that it came to; none if
    /// too few of them fit or they would be squeezed.
    fn here(&mut self, block: &'a Block, from: usize) -> Option<usize> {
        let c = self.column?;
        let empty = c.y <= self.field.y0;
        let top = if empty { c.y } else { c.y + APART };
        let room = self.field.x1 - c.x;
        let mut at = block.widths(room)?;
        if block.take(&at, from, self.field.y1 - top).0 < block.len() {
            // It goes on beside: all its parts share the width that is there.
            let least = ROOMY * block.wish() + BESIDE;
            let parts = ((room + BESIDE) / least).floor().max(1.0);
            let each = (room - BESIDE * (parts - 1.0)) / parts;
            at = block.widths(each).unwrap_or(at);
        }
        let roomy = ROOMY * block.wish().min(self.field.width());
        let least = if self.fresh() { block.fair() } else { roomy };
        if at.total < least - 1e-6 {
            return None;
        }
        let room = self.field.y1 - top;
        let (mut to, _) = block.take(&at, from, room);
        // A row or two on the next column would look lost.
        let left = block.len() - to;
        if left > 0 && left < FEW && to > from + FEW {
            to -= FEW - left;
        }
        let few = (block.len() - from).min(if empty { 1 } else { FEW });
        if to - from < few {
            return None;
        }
        self.put(block, &at, (from, to), Column { y: top, ..c });
        Some(to)
    }

    /// Sets rows across a fresh sheet whose paper is small for them: words break.
    fn squeezed(&mut self, block: &'a Block, from: usize) -> usize {
        let at = block.squeezed(self.field.width());
        let (to, _) = block.take(&at, from, self.field.height());
        let to = to.max(from + 1);
        let c = Column {
            x: self.field.x0,
            y: self.field.y0,
            wide: 0.0,
        };
        self.put(block, &at, (from, to), c);
        to
    }

    fn put(&mut self, block: &'a Block, at: &Widths, (from, to): (usize, usize), c: Column) {
        let part = Part {
            block,
            at: at.clone(),
            rows: (from, to),
            corner: Point::new(c.x, c.y),
        };
        if let Some(last) = self.sheets.last_mut() {
            last.push(part);
        }
        let y = c.y + block.span(at, from, to);
        self.column = Some(Column {
            x: c.x,
            y,
            wide: c.wide.max(at.total),
        });
    }

    /// Whether the open sheet is empty.
    fn fresh(&self) -> bool {
        self.column.is_some() && self.sheets.last().is_some_and(Vec::is_empty)
    }

    /// Where the next column begins.
    fn next_x(&self) -> f64 {
        self.column.map_or(f64::INFINITY, |c| c.x + c.wide + BESIDE)
    }

    /// Whether a block cannot stand in the next column of the sheet.
    fn ends(&self, block: &Block) -> bool {
        let room = self.field.x1 - self.next_x();
        block.widths(room).is_none_or(|at| at.total < roomy(block))
    }

    /// Sets the rest of a block whole where the columns of a sheet left room; of one that began
    /// already, on the open sheet only. Gives whether there was room.
    fn back(&mut self, block: &'a Block, from: usize) -> bool {
        let open = self.sheets.len().saturating_sub(1);
        let first = if from == 0 { 0 } else { open };
        let found = (first..=open).find_map(|sheet| {
            let parts = self.sheets.get(sheet)?;
            let taken: Vec<Rect> = parts.iter().map(Part::rect).collect();
            let (at, corner) = left_free(block, from, &taken, self.fields.of(sheet))?;
            Some((sheet, at, corner))
        });
        let Some((sheet, at, corner)) = found else {
            return false;
        };
        if let Some(parts) = self.sheets.get_mut(sheet) {
            parts.push(Part {
                block,
                at,
                rows: (from, block.len()),
                corner,
            });
        }
        if sheet == open {
            // What follows must find its room as this did.
            self.column = Some(Column {
                x: self.field.x1,
                y: self.field.y1,
                wide: 0.0,
            });
        }
        true
    }

    /// Opens the next column, or the next sheet.
    fn next(&mut self) {
        let x = self.next_x();
        let x = if x + NARROW < self.field.x1 {
            x
        } else {
            self.field = self.fields.of(self.sheets.len());
            self.sheets.push(Vec::new());
            self.field.x0
        };
        self.column = Some(Column {
            x,
            y: self.field.y0,
            wide: 0.0,
        });
    }
}

/// What a table should at least have of its width beside another column.
fn roomy(block: &Block) -> f64 {
    ROOMY * block.wish() - 1e-6
}

/// The first place on a sheet, from the top of its left edge on, where the rest of a block stands
/// clear of what is there.
fn left_free(block: &Block, from: usize, taken: &[Rect], field: Rect) -> Option<(Widths, Point)> {
    let mut lefts = vec![field.x0];
    lefts.extend(taken.iter().map(|r| r.x1 + BESIDE));
    let mut tops = vec![field.y0];
    tops.extend(taken.iter().map(|r| r.y1 + APART));
    let mut rights = vec![field.x1];
    rights.extend(taken.iter().map(|r| r.x0 - BESIDE));
    lefts.sort_unstable_by(f64::total_cmp);
    tops.sort_unstable_by(f64::total_cmp);
    // Rather wide than broken.
    rights.sort_unstable_by(|a, b| b.total_cmp(a));
    let clear = |r: Rect| {
        let around = r.inflate(BESIDE - 1e-6, APART - 1e-6);
        let over = |t: &Rect| around.intersect(*t).area() > 0.0;
        !taken.iter().any(over)
    };
    for &x in &lefts {
        for &right in rights.iter().filter(|r| **r - x >= roomy(block)) {
            let Some(at) = block.widths(right - x) else {
                continue;
            };
            let size = (at.total, block.span(&at, from, block.len()));
            let fits = |y: &&f64| {
                let own = Rect::from_origin_size((x, **y), size);
                own.y1 <= field.y1 + 1e-6 && own.x1 <= field.x1 + 1e-6 && clear(own)
            };
            if at.total >= roomy(block)
                && let Some(y) = tops.iter().find(fits)
            {
                return Some((at, Point::new(x, *y)));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::block::{Cell, Manner, Row};
    use super::*;

    fn table(wide: usize, rows: usize) -> Block {
        let row = |i: usize| Row {
            cells: vec![Cell::words(&"X".repeat(wide)), Cell::words(&i.to_string())],
            strong: false,
            key: None,
            onward: false,
        };
        let manner = Manner {
            ruled: true,
            most: f64::INFINITY,
        };
        let head = ["WHAT", "NO"].map(str::to_owned);
        let rows = (0..rows).map(row).collect();
        Block::new("table", "A TABLE", (&head, &[]), rows, manner)
    }

    /// What stands beside narrower columns loses no row, touches nothing and saves its sheet.
    #[test]
    fn what_is_left_beside_a_column_is_used() {
        let field = Rect::new(0.0, 0.0, 260.0, 200.0);
        // Narrow over wide: the column is as wide as the wide one, and beside the narrow one is room.
        let blocks = [table(20, 20), table(100, 12), table(30, 6), table(25, 5)];
        let rest: Vec<Piece<'_>> = (blocks.iter())
            .map(|block| Piece { block, from: 0 })
            .collect();
        let plain = columns_of(&rest, Field::whole(field), false);
        let beside = columns_of(&rest, Field::whole(field), true);
        assert!(beside.len() < plain.len(), "{} sheets", beside.len());
        for block in &blocks {
            let of_block = |p: &&Part<'_>| std::ptr::eq(p.block, block);
            let parts = beside.iter().flatten().filter(of_block);
            let rows: Vec<usize> = parts.flat_map(|p| p.rows.0..p.rows.1).collect();
            assert_eq!(rows, (0..block.len()).collect::<Vec<_>>());
        }
        for sheet in &beside {
            for (i, part) in sheet.iter().enumerate() {
                let own = part.rect();
                assert!(field.contains_rect(own), "{own:?}");
                let others = sheet[i + 1..].iter().map(Part::rect);
                let clear = |o: Rect| own.inflate(6.0, 6.0).intersect(o).area() <= 0.0;
                assert!(others.into_iter().all(clear), "{own:?}");
            }
        }
    }
}
