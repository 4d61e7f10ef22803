//! Sets panels into columns along the edges of a drawing's field, and into the title strip's own
//! column: as a drafter does, who lines tables up rather than dropping each into the nearest hole.
//!
//! Columns hang from the upper edge or stand on the lower one; what stands in a column shares its
//! left edge and, where it bears it, its width, with equal gaps. A column starts at the field's
//! corner, beside another column, or in line with one across the field; only if none of these has
//! room does it stand elsewhere along the edge.

use std::cell::Cell;

use kurbo::{Affine, Point, Rect, Vec2};

use super::block::{Block, Size, Widths};
use super::fill::{APART, BESIDE};
use super::{Item, Margins};

/// A panel is drawn out to its column's width by no more than this.
const STRETCH: f64 = 1.5;
/// What is to be set: rows of a block from one on.
#[derive(Clone, Copy)]
pub(super) struct Piece<'a> {
    pub block: &'a Block,
    pub from: usize,
}

/// Where a column starts.
#[derive(Clone, Copy, PartialEq)]
enum Edge {
    Top,
    Bottom,
    /// The title strip's own column.
    Strip,
}

struct Column {
    edge: Edge,
    x0: f64,
    x1: f64,
    /// Height used so far, gaps between panels included.
    used: f64,
    /// Indexes of what stands in it, in order.
    held: Vec<usize>,
}

/// Panels in columns.
pub(super) struct Arranged<'a> {
    pieces: Vec<Piece<'a>>,
    field: Rect,
    strip: Rect,
    columns: Vec<Column>,
    /// Size of the lettering, as a part of the least.
    pub by: f64,
    /// Indexes of what found no place.
    pub left: Vec<usize>,
    /// The lower, the more orderly.
    pub cost: f64,
}

/// Where panels may stand.
#[derive(Clone, Copy)]
pub(super) struct Ground<'a> {
    pub field: Rect,
    pub margins: &'a Margins,
    /// The title strip's column.
    pub strip: Rect,
    /// Upper part of the strip's column that is used already, mm.
    pub used: f64,
}

/// Sets pieces, at the least lettering or larger: as large as leaves no more of them without a
/// place. Several orders are tried, and the most orderly result is kept.
pub(super) fn arrange<'a>(
    ground: &Ground<'_>,
    pieces: &[Piece<'a>],
    sizes: &[f64],
) -> Arranged<'a> {
    let least = best(ground, pieces, 1.0, usize::MAX);
    let least = least.unwrap_or_else(|| Arranged::none(ground, pieces, 1.0));
    for by in sizes.iter().copied().filter(|by| *by > 1.0) {
        let larger = best(ground, pieces, by, least.left.len());
        let serves = |m: &Arranged<'_>| m.left == least.left && m.loose() <= least.loose();
        if let Some(larger) = larger.filter(serves) {
            return larger;
        }
    }
    least
}

/// The most orderly of some orders, the first of equals; none if each leaves more than so many
/// pieces without a place. An order that is known to be no better is not gone through to its end.
fn best<'a>(
    ground: &Ground<'_>,
    pieces: &[Piece<'a>],
    by: f64,
    most_left: usize,
) -> Option<Arranged<'a>> {
    let sizes: Vec<Vec<Size>> = pieces.iter().map(|p| sizes(ground, *p, by)).collect();
    let natural = |i: usize| sizes[i].first().map_or((0.0, 0.0), |s| (s.wide, s.high));
    let given: Vec<usize> = (0..pieces.len()).collect();
    let sorted = |key: fn((f64, f64)) -> f64| {
        let mut order = given.clone();
        order.sort_by(|a, b| key(natural(*b)).total_cmp(&key(natural(*a))));
        order
    };
    let orders = [
        given.clone(),
        sorted(|s| s.0 * s.1),
        sorted(|s| s.1),
        sorted(|s| s.0),
    ];
    let mut best: Option<Arranged<'a>> = None;
    for (k, order) in orders.iter().enumerate() {
        if orders[..k].contains(order) {
            continue;
        }
        // What is left and what it costs only ever grow.
        let hopeless = |m: &Arranged<'_>| {
            let no_better = |b: &Arranged<'_>| {
                let more = m.left.len().cmp(&b.left.len());
                more.is_gt() || (more.is_eq() && m.cost >= b.cost - 1e-6)
            };
            m.left.len() > most_left || best.as_ref().is_some_and(no_better)
        };
        let mut made = Arranged::none(ground, pieces, by);
        let whole = order.iter().all(|&i| {
            made.add(ground, i, &sizes[i]);
            !hopeless(&made)
        });
        if whole {
            made.left.sort_unstable();
            best = Some(made);
        }
    }
    best
}

/// The widths that are tried; none if it is higher than the paper at any.
fn sizes(ground: &Ground<'_>, piece: Piece<'_>, by: f64) -> Vec<Size> {
    let block = piece.block;
    // A long table is not measured to find that it is too long.
    let rows = block.len().saturating_sub(piece.from) as f64;
    if rows * Block::LEAST_ROW * by > ground.field.height() {
        return Vec::new();
    }
    let larger = block.sizes(piece.from).into_iter().map(|s| Size {
        wide: s.wide * by,
        high: s.high * by,
    });
    larger.filter(|s| s.high <= ground.field.height()).collect()
}

/// A place for a piece.
struct Place {
    cost: f64,
    /// The column that it goes into, if it is there already.
    column: Option<usize>,
    edge: Edge,
    x0: f64,
    x1: f64,
    used: f64,
}

impl<'a> Arranged<'a> {
    /// Nothing has a place yet.
    fn none(ground: &Ground<'_>, pieces: &[Piece<'a>], by: f64) -> Self {
        Arranged {
            pieces: pieces.to_vec(),
            field: ground.field,
            strip: ground.strip,
            columns: vec![Column {
                edge: Edge::Strip,
                x0: ground.strip.x0,
                x1: ground.strip.x1,
                used: ground.used,
                held: Vec::new(),
            }],
            by,
            left: Vec::new(),
            cost: 0.0,
        }
    }

    fn gap(&self) -> f64 {
        APART * self.by.max(1.0)
    }

    fn add(&mut self, ground: &Ground<'_>, i: usize, sizes: &[Size]) {
        let mut best: Option<Place> = None;
        let least = Cell::new(f64::INFINITY);
        // Whether a place has room is asked only of one that would be the best.
        let mut offer = |place: Place| {
            if place.cost < least.get() - 1e-9 && self.clear(ground, &place) {
                least.set(place.cost);
                best = Some(place);
            }
        };
        for size in sizes {
            // Squeezing is the last that is tried.
            let squeezed = sizes.first().map_or(0.0, |s| s.wide - size.wide) * 0.6;
            let columns = 0..self.columns.len();
            for place in columns.filter_map(|c| self.joining(c, *size, squeezed)) {
                offer(place);
            }
            let starts = self.starts(*size);
            for edge in [Edge::Top, Edge::Bottom] {
                for (x0, cost) in &starts {
                    offer(new_column(edge, *x0, *size, cost + squeezed));
                }
            }
        }
        let loose = least.get() > LOOSE;
        let edges = [Edge::Top, Edge::Bottom].into_iter().filter(|_| loose);
        for (edge, size) in edges.filter_map(|edge| Some((edge, sizes.first()?))) {
            let mut k = 0;
            while k < ground.margins.above.len() {
                let x0 = self.field.x0 + ground.margins.strip * k as f64;
                // Of the places along an edge, the one nearest to its ends.
                let off = (x0 - self.field.x0).min(self.field.x1 - x0 - size.wide);
                let place = new_column(edge, x0, *size, LOOSE + off * 0.1);
                k += 1;
                if place.cost < least.get() - 1e-9 {
                    // All places up to a strip that is too shallow would reach over it.
                    match self.shallow(ground, &place) {
                        Some(strip) => k = k.max(strip + 1),
                        None => offer(place),
                    }
                }
            }
        }
        let Some(place) = best else {
            self.left.push(i);
            return;
        };
        self.cost += place.cost;
        match place.column.and_then(|c| self.columns.get_mut(c)) {
            Some(column) => {
                column.x1 = place.x1;
                column.used = place.used;
                column.held.push(i);
            }
            None => self.columns.push(Column {
                edge: place.edge,
                x0: place.x0,
                x1: place.x1,
                used: place.used,
                held: vec![i],
            }),
        }
    }

    /// Where a column may start in line with something, and what that costs.
    fn starts(&self, size: Size) -> Vec<(f64, f64)> {
        let mut all = vec![(self.field.x0, 40.0), (self.field.x1 - size.wide, 55.0)];
        for c in self.columns.iter().filter(|c| c.edge != Edge::Strip) {
            all.push((c.x1 + BESIDE, 70.0));
            all.push((c.x0 - BESIDE - size.wide, 70.0));
            all.push((c.x0, 75.0));
        }
        all
    }

    fn joining(&self, c: usize, size: Size, squeezed: f64) -> Option<Place> {
        let column = self.columns.get(c)?;
        let wide = column.x1 - column.x0;
        let gap = if column.used > 0.0 { self.gap() } else { 0.0 };
        let x1 = if column.edge == Edge::Strip {
            column.x1
        } else {
            column.x1.max(column.x0 + size.wide)
        };
        (size.wide <= x1 - column.x0 + 1e-6).then_some(Place {
            // Panels of one width make a column.
            cost: (wide - size.wide).abs() * 0.25 + squeezed,
            column: Some(c),
            edge: column.edge,
            x0: column.x0,
            x1,
            used: column.used + gap + size.high,
        })
    }

    /// Whether a column has room at a place, clear of the drawing and of other columns.
    fn clear(&self, ground: &Ground<'_>, place: &Place) -> bool {
        let Place {
            edge,
            x0,
            x1,
            used: high,
            column: own,
            ..
        } = *place;
        if edge == Edge::Strip {
            return high <= self.strip.height() + 1e-6;
        }
        let field = self.field;
        if x0 < field.x0 - 1e-6 || x1 > field.x1 + 1e-6 || high > field.height() {
            return false;
        }
        if self.shallow(ground, place).is_some() {
            return false;
        }
        let here = upright(field, edge, (x0, x1), high).inflate(BESIDE - 1e-6, APART - 1e-6);
        let others = self.columns.iter().enumerate();
        others
            .filter(|(i, c)| Some(*i) != own && c.edge != Edge::Strip)
            .map(|(_, c)| upright(field, c.edge, (c.x0, c.x1), c.used))
            .all(|other| {
                let both = other.intersect(here);
                both.width() <= 1e-6 || both.height() <= 1e-6
            })
    }

    /// The last strip of the edge at a place that is less deep than the place is high; where there
    /// are no strips, the last of all.
    fn shallow(&self, ground: &Ground<'_>, place: &Place) -> Option<usize> {
        let margins = ground.margins;
        let strips = match place.edge {
            Edge::Top => &margins.above,
            _ => &margins.below,
        };
        let index = |x: f64| ((x - self.field.x0) / margins.strip).max(0.0);
        let first = (index(place.x0) + 1e-6).floor() as usize;
        let last = (index(place.x1) - 1e-6).ceil() as usize;
        let Some(deep) = strips.get(first..last.min(strips.len()).max(first)) else {
            return Some(strips.len());
        };
        let shallow = |d: &f64| *d < place.used - 1e-6;
        deep.iter().rposition(shallow).map(|i| first + i)
    }

    /// How many columns stand in line with nothing.
    fn loose(&self) -> usize {
        (self.cost / LOOSE) as usize
    }

    /// Boxes of the field that are used.
    pub fn used(&self) -> Vec<Rect> {
        let columns = self.columns.iter().filter(|c| c.edge != Edge::Strip);
        columns
            .map(|c| upright(self.field, c.edge, (c.x0, c.x1), c.used))
            .collect()
    }

    /// How far down the strip's column is used.
    pub fn strip_used(&self) -> f64 {
        let strip = self.columns.iter().find(|c| c.edge == Edge::Strip);
        strip.map_or(0.0, |c| c.used)
    }

    /// The panels; `from` is how far down the strip's column was used before.
    pub fn set(&self, from: f64, id: &dyn Fn(&Block, usize) -> String) -> Vec<Item> {
        let mut items = Vec::new();
        for column in &self.columns {
            let wide = column.x1 - column.x0;
            let all: Vec<(Piece<'_>, Widths, f64)> = column
                .held
                .iter()
                .filter_map(|i| self.pieces.get(*i))
                .map(|p| {
                    let at = self.widths_of(*p, wide);
                    let high = p.block.span(&at, p.from, p.block.len()) * self.by;
                    (*p, at, high)
                })
                .collect();
            let gaps = self.gap() * all.len().saturating_sub(1) as f64;
            let whole: f64 = all.iter().map(|a| a.2).sum::<f64>() + gaps;
            let mut y = match column.edge {
                Edge::Top => self.field.y0,
                Edge::Bottom => self.field.y1 - whole,
                Edge::Strip if from > 0.0 => self.strip.y0 + from + self.gap(),
                Edge::Strip => self.strip.y0,
            };
            for (p, at, high) in all {
                let id = id(p.block, p.from);
                let set = p.block.set(&at, (p.from, p.block.len()), Point::ZERO, id);
                items.extend(enlarged(set, self.by, Vec2::new(column.x0, y)));
                y += high + self.gap();
            }
        }
        items
    }

    /// A panel's widths in a column: its column's, if it bears that.
    fn widths_of(&self, p: Piece<'_>, wide: f64) -> Widths {
        let room = wide / self.by;
        let most = p.block.wish() * STRETCH;
        if room <= most {
            p.block.stretched(room)
        } else {
            let own = p.block.widths(room);
            own.unwrap_or_else(|| p.block.squeezed(room))
        }
    }
}

fn new_column(edge: Edge, x0: f64, size: Size, cost: f64) -> Place {
    Place {
        cost,
        column: None,
        edge,
        x0,
        x1: x0 + size.wide,
        used: size.high,
    }
}

/// What a column costs that stands in line with nothing.
const LOOSE: f64 = 400.0;

fn upright(field: Rect, edge: Edge, (x0, x1): (f64, f64), high: f64) -> Rect {
    match edge {
        Edge::Bottom => Rect::new(x0, field.y1 - high, x1, field.y1),
        _ => Rect::new(x0, field.y0, x1, field.y0 + high),
    }
}

/// Panels set at the least lettering, drawn larger and moved; line weights stay.
pub(super) fn enlarged(mut items: Vec<Item>, by: f64, to: Vec2) -> Vec<Item> {
    let place = Affine::translate(to) * Affine::scale(by);
    for item in &mut items {
        for shape in &mut item.shapes {
            shape.path.apply_affine(place);
        }
        for text in &mut item.texts {
            text.at = place * text.at;
            text.em *= by;
        }
    }
    items
}
