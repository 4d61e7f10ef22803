//! Free paper of a field: room for schedules, legend and notes.

use kurbo::{ParamCurve, ParamCurveArclen, PathSeg, Point, Rect, Shape as _};

use super::largest::Largest;
use crate::assets;
use crate::sheets::{Anchor, Free, Item, Margins, Text};

/// Side of a cell of the search, mm.
const CELL: f64 = 4.0;
/// Clear paper kept round every item, mm.
const CLEAR: f64 = 3.0;
/// Boxes smaller than this each way are of no use, mm.
const LEAST: f64 = 40.0;
/// At most so many boxes.
const MOST: usize = 6;
/// How exactly a curve's length is measured, mm.
const LENGTH: f64 = 0.1;

/// How far the field is free from its edges, and its largest free boxes, one after the other, none
/// overlapping another.
pub fn paper(items: &[Item], field: Rect) -> (Margins, Free) {
    let cells = |v: f64| (v / CELL).ceil().max(0.0) as usize;
    let (nx, ny) = (cells(field.width()), cells(field.height()));
    if nx == 0 || ny == 0 {
        return (Margins::none(field), Vec::new().into());
    }
    let mut paper = Paper {
        field,
        nx,
        ny,
        taken: vec![false; nx * ny],
    };
    for item in items {
        paper.take(item);
    }
    (paper.margins(), Free::found_by(move || paper.boxes()))
}

/// The cells of a field.
struct Paper {
    field: Rect,
    nx: usize,
    ny: usize,
    taken: Vec<bool>,
}

impl Paper {
    /// Columns and rows that a box takes, with clear paper round it.
    fn cells(&self, b: Rect) -> [usize; 4] {
        let (field, b) = (self.field, b.inflate(CLEAR, CLEAR));
        let cell = |v: f64, n: usize| (v / CELL).floor().clamp(0.0, n as f64) as usize;
        [
            cell(b.x0 - field.x0, self.nx),
            cell(b.x1 - field.x0 + CELL, self.nx),
            cell(b.y0 - field.y0, self.ny),
            cell(b.y1 - field.y0 + CELL, self.ny),
        ]
    }

    fn margins(&self) -> Margins {
        let high = self.field.height();
        let taken = |x: usize, y: usize| self.taken[y * self.nx + x];
        let deep = |cells: Option<usize>| cells.map_or(high, |n| (n as f64 * CELL).min(high));
        let column = 0..self.nx;
        // The last row of cells may stand out below the field.
        let over = self.ny as f64 * CELL - high;
        Margins {
            strip: CELL,
            above: (column.clone())
                .map(|x| deep((0..self.ny).position(|y| taken(x, y))))
                .collect(),
            below: column
                .map(|x| {
                    let free = (0..self.ny).rev().position(|y| taken(x, y));
                    free.map_or(high, |n| (n as f64 * CELL - over).clamp(0.0, high))
                })
                .collect(),
        }
    }

    /// The largest free boxes, one after the other.
    fn boxes(self) -> Vec<Rect> {
        let field = self.field;
        let mut search = Largest::of(self.taken, self.nx);
        let mut found = Vec::new();
        while found.len() < MOST {
            let Some(r) = search.find() else {
                break;
            };
            let (x0, y0, x1, y1) = r;
            let rect = Rect::new(
                field.x0 + x0 as f64 * CELL,
                field.y0 + y0 as f64 * CELL,
                field.x0 + x1 as f64 * CELL,
                field.y0 + y1 as f64 * CELL,
            )
            .intersect(field);
            if rect.width() < LEAST || rect.height() < LEAST {
                break;
            }
            search.take(r);
            found.push(rect);
        }
        found
    }

    fn fill(&mut self, [x0, x1, y0, y1]: [usize; 4]) {
        for y in y0..y1 {
            self.taken[y * self.nx + x0..y * self.nx + x1].fill(true);
        }
    }

    /// Takes what an item covers: its texts, and its paths cut into short stretches, so that a
    /// long slanted pipe does not take the whole box round it.
    fn take(&mut self, item: &Item) {
        for text in &item.texts {
            self.fill(self.cells(text_box(text)));
        }
        for segment in item.shapes.iter().flat_map(|s| s.path.segments()) {
            // Most of a drawing are curves of symbols, no longer than a cell: the box of their
            // ends and that of their handles mostly take the same cells, and so does the curve.
            if let PathSeg::Cubic(c) = segment
                && (c.p1 - c.p0).hypot() + (c.p2 - c.p1).hypot() + (c.p3 - c.p2).hypot()
                    <= CELL - LENGTH
            {
                let ends = Rect::from_points(c.p0, c.p3);
                let least = self.cells(ends);
                if least == self.cells(ends.union_pt(c.p1).union_pt(c.p2)) {
                    self.fill(least);
                    continue;
                }
            }
            let n = (segment.arclen(LENGTH) / CELL).ceil().max(1.0) as usize;
            for i in 0..n {
                let part = segment.subsegment(i as f64 / n as f64..(i + 1) as f64 / n as f64);
                self.fill(self.cells(part.bounding_box()));
            }
        }
    }
}

fn text_box(t: &Text) -> Rect {
    let w = assets::width(&t.text, t.weight) * t.em;
    let (c, s) = t.slant.cos_sin();
    let read = kurbo::Vec2::new(c, s);
    let start = match t.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => w / 2.0,
        Anchor::End => w,
    };
    let at: Point = t.at - read * start;
    let up = kurbo::Vec2::new(s, -c) * (t.em * 0.8);
    let down = up * -0.3;
    let a = Rect::from_points(at + up, at + down);
    a.union(Rect::from_points(at + read * w + up, at + read * w + down))
}
