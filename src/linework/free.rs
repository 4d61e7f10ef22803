//! Free boxes of a field: room for schedules, legend and notes.

use kurbo::{Rect, Shape as _};

use crate::assets;
use crate::sheets::{Anchor, Item, Text};

/// Side of a cell of the search, mm.
const CELL: f64 = 4.0;
/// Clear paper kept round every item, mm.
const CLEAR: f64 = 3.0;
/// Boxes smaller than this each way are of no use, mm.
const LEAST: f64 = 40.0;
/// At most so many boxes.
const MOST: usize = 6;

/// The largest free boxes, one after the other, none overlapping another.
pub fn rects(items: &[Item], field: Rect) -> Vec<Rect> {
    let (nx, ny) = (
        (field.width() / CELL) as usize,
        (field.height() / CELL) as usize,
    );
    if nx == 0 || ny == 0 {
        return Vec::new();
    }
    let mut taken = vec![false; nx * ny];
    for b in items.iter().flat_map(boxes) {
        fill(&mut taken, nx, ny, field, b.inflate(CLEAR, CLEAR));
    }
    let mut found = Vec::new();
    while found.len() < MOST {
        let Some(r) = largest(&taken, nx, ny) else {
            break;
        };
        let (x0, y0, x1, y1) = r;
        let rect = Rect::new(
            field.x0 + x0 as f64 * CELL,
            field.y0 + y0 as f64 * CELL,
            field.x0 + x1 as f64 * CELL,
            field.y0 + y1 as f64 * CELL,
        );
        if rect.width() < LEAST || rect.height() < LEAST {
            break;
        }
        for y in y0..y1 {
            taken[y * nx + x0..y * nx + x1].fill(true);
        }
        found.push(rect);
    }
    found
}

fn fill(taken: &mut [bool], nx: usize, ny: usize, field: Rect, b: Rect) {
    let cell = |v: f64, n: usize| (v / CELL).floor().clamp(0.0, n as f64) as usize;
    let (x0, x1) = (cell(b.x0 - field.x0, nx), cell(b.x1 - field.x0 + CELL, nx));
    let (y0, y1) = (cell(b.y0 - field.y0, ny), cell(b.y1 - field.y0 + CELL, ny));
    for y in y0..y1 {
        taken[y * nx + x0..y * nx + x1].fill(true);
    }
}

/// Boxes that an item covers: its texts, and its paths cut into short stretches, so that a long
/// slanted pipe does not take the whole box round it.
fn boxes(item: &Item) -> Vec<Rect> {
    let mut out: Vec<Rect> = item.texts.iter().map(text_box).collect();
    for s in &item.shapes {
        for segment in s.path.segments() {
            let length = {
                use kurbo::ParamCurveArclen;
                segment.arclen(0.1)
            };
            let n = (length / CELL).ceil().max(1.0) as usize;
            for i in 0..n {
                use kurbo::ParamCurve;
                let part = segment.subsegment(i as f64 / n as f64..(i + 1) as f64 / n as f64);
                out.push(part.bounding_box());
            }
        }
    }
    out
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
    let at = t.at - read * start;
    let up = kurbo::Vec2::new(s, -c) * (t.em * 0.8);
    let down = up * -0.3;
    let a = Rect::from_points(at + up, at + down);
    a.union(Rect::from_points(at + read * w + up, at + read * w + down))
}

/// The largest box of free cells: columns' heights and a stack, row by row.
fn largest(taken: &[bool], nx: usize, ny: usize) -> Option<(usize, usize, usize, usize)> {
    let mut height = vec![0usize; nx];
    let mut best: Option<(f64, (usize, usize, usize, usize))> = None;
    for y in 0..ny {
        for x in 0..nx {
            height[x] = if taken[y * nx + x] { 0 } else { height[x] + 1 };
        }
        let mut stack: Vec<(usize, usize)> = Vec::new();
        let ended = height.iter().copied().chain(std::iter::once(0));
        for (x, h) in ended.enumerate() {
            let mut start = x;
            while let Some(&(sx, sh)) = stack.last() {
                if sh < h {
                    break;
                }
                stack.pop();
                start = sx;
                let (w, hh) = ((x - sx) as f64, sh as f64);
                // Long thin strips are of little use for a table.
                let worth = w * hh * (w.min(hh) / w.max(hh).max(1.0)).max(0.3);
                if sh > 0 && best.is_none_or(|b| worth > b.0) {
                    best = Some((worth, (sx, y + 1 - sh, x, y + 1)));
                }
            }
            stack.push((start, h));
        }
    }
    best.map(|b| b.1)
}
