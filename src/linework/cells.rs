//! Square cells of the paper, and the lines that pass each.

use kurbo::{Point, Rect};

/// Side of a cell, mm: a little more than a common stretch of pipe.
const CELL: f64 = 12.0;
/// At most so many cells each way; a larger drawing has larger cells.
const MOST: f64 = 512.0;

/// For each cell the lines that pass it, one cell's after another's.
pub(super) struct Cells {
    /// Where each cell's lines begin in the list; one more for the end.
    from: Vec<usize>,
    lines: Vec<usize>,
}

impl Cells {
    /// Sorts lines into the cells that they pass.
    pub(super) fn of(lines: &[(Point, Point)]) -> Cells {
        let all = lines
            .iter()
            .map(|(a, b)| Rect::from_points(*a, *b))
            .reduce(|a, b| a.union(b))
            .unwrap_or_default();
        let side = (all.width().max(all.height()) / MOST).max(CELL);
        let grid = Grid {
            left: all.x0,
            top: all.y0,
            side,
            across: (all.width() / side) as usize + 1,
            down: (all.height() / side) as usize + 1,
        };
        // Counted first, then laid down: two passes are cheaper than a list for each cell.
        let mut from = vec![0usize; grid.across * grid.down + 1];
        for (a, b) in lines {
            grid.passed(*a, *b, |cell| from[cell + 1] += 1);
        }
        for cell in 1..from.len() {
            from[cell] += from[cell - 1];
        }
        let mut next = from.clone();
        let mut sorted = vec![0usize; from.last().copied().unwrap_or(0)];
        for (i, (a, b)) in lines.iter().enumerate() {
            grid.passed(*a, *b, |cell| {
                sorted[next[cell]] = i;
                next[cell] += 1;
            });
        }
        Cells {
            from,
            lines: sorted,
        }
    }

    /// Tells the lines of each cell.
    pub(super) fn each(&self, mut tell: impl FnMut(&[usize])) {
        for ends in self.from.windows(2) {
            tell(&self.lines[ends[0]..ends[1]]);
        }
    }
}

struct Grid {
    left: f64,
    top: f64,
    side: f64,
    across: usize,
    down: usize,
}

impl Grid {
    /// Tells every cell that a line passes, and perhaps one that it only touches: row by row,
    /// from where the line enters the row to where it leaves it.
    fn passed(&self, a: Point, b: Point, mut tell: impl FnMut(usize)) {
        // Room for what rounding may add.
        const NEAR: f64 = 0.01;
        let (high, low) = if a.y <= b.y { (a, b) } else { (b, a) };
        let row = |y: f64| self.cell(y - self.top, self.down);
        for y in row(high.y - NEAR)..=row(low.y + NEAR) {
            let edge = |n: usize| self.top + n as f64 * self.side;
            let at = |edge: f64| {
                let fall = low.y - high.y;
                let share = if fall > 0.0 {
                    ((edge - high.y) / fall).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                high.x + (low.x - high.x) * share
            };
            let (enters, leaves) = match low.y - high.y > NEAR {
                true => (at(edge(y) - NEAR), at(edge(y + 1) + NEAR)),
                false => (high.x, low.x),
            };
            let (x0, x1) = (enters.min(leaves) - NEAR, enters.max(leaves) + NEAR);
            let column = |x: f64| self.cell(x - self.left, self.across);
            for x in column(x0)..=column(x1) {
                tell(y * self.across + x);
            }
        }
    }

    fn cell(&self, along: f64, count: usize) -> usize {
        // What lies beyond the edge by a hair counts with the outermost cell.
        ((along / self.side).max(0.0) as usize).min(count - 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_that_cross_share_a_cell() {
        let mut seed = 7u64;
        let mut draw = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 40) as f64 / 16_777_216.0
        };
        let lines: Vec<(Point, Point)> = (0..300)
            .map(|i| {
                let a = Point::new(draw() * 400.0, draw() * 200.0);
                let reach = [5.0, 40.0, 300.0][i % 3];
                let way = [(0.0, 1.0), (0.866, 0.5), (0.866, -0.5), (1.0, 0.0)][i % 4];
                (a, a + kurbo::Vec2::from(way) * (draw() - 0.5) * reach)
            })
            .collect();
        let mut shared = std::collections::BTreeSet::new();
        Cells::of(&lines).each(|list| {
            for (n, i) in list.iter().enumerate() {
                shared.extend(list[n + 1..].iter().map(|k| (*i, *k)));
            }
        });
        let mut found = 0;
        for (i, (a, b)) in lines.iter().enumerate() {
            for (k, (c, d)) in lines.iter().enumerate().skip(i + 1) {
                let (r, q, w) = (*b - *a, *d - *c, *c - *a);
                let den = r.cross(q);
                let (u, v) = (w.cross(q) / den, w.cross(r) / den);
                if (0.0..=1.0).contains(&u) && (0.0..=1.0).contains(&v) {
                    assert!(shared.contains(&(i, k)), "{i} {k}");
                    found += 1;
                }
            }
        }
        assert!(found > 150, "{found}");
        Cells::of(&[]).each(|list| assert!(list.is_empty()));
    }
}
