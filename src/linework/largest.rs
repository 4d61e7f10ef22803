//! The largest box of free cells of a grid, again and again, as boxes are taken.

/// First and last column and row of a box; the last ones are not in it.
pub(super) type Box4 = (usize, usize, usize, usize);

/// Worths that differ by less than this share may be the same but for rounding.
const SAME: f64 = 1e-12;

/// A grid, and what is known of the boxes that end in each of its rows.
pub(super) struct Largest {
    taken: Vec<bool>,
    nx: usize,
    /// How many free cells there are above each cell, itself among them.
    heights: Vec<u32>,
    /// The most that a box which ends in a row is worth.
    most: Vec<f64>,
    /// Rows from here down have changed since they were looked at.
    changed: usize,
}

impl Largest {
    /// A grid of so many columns.
    pub(super) fn of(taken: Vec<bool>, nx: usize) -> Largest {
        Largest {
            heights: vec![0; taken.len()],
            most: vec![0.0; taken.len() / nx.max(1)],
            taken,
            nx,
            changed: 0,
        }
    }

    /// Takes the cells of a box.
    pub(super) fn take(&mut self, (x0, y0, x1, y1): Box4) {
        for y in y0..y1 {
            self.taken[y * self.nx + x0..y * self.nx + x1].fill(true);
        }
        self.changed = self.changed.min(y0);
    }

    /// The box that is worth most: of equals the first, by the row in which it ends.
    ///
    /// First the most that any row has to offer, which is soon found; only the rows that offer
    /// it are then gone through box by box.
    pub(super) fn find(&mut self) -> Option<Box4> {
        let mut stack = Vec::new();
        for y in self.changed..self.most.len() {
            self.grow(y);
            let row = &self.heights[y * self.nx..(y + 1) * self.nx];
            self.most[y] = most(row, &mut stack);
        }
        self.changed = self.most.len();
        let most = self.most.iter().copied().fold(0.0, f64::max);
        let mut best: Option<(f64, Box4)> = None;
        for y in (0..self.most.len()).filter(|y| self.most[*y] >= most * (1.0 - SAME)) {
            let row = &self.heights[y * self.nx..(y + 1) * self.nx];
            every(row, &mut stack, |x0, x1, high| {
                let worth = worth(x1 - x0, high);
                if best.is_none_or(|b| worth > b.0) {
                    best = Some((worth, (x0, y + 1 - high, x1, y + 1)));
                }
            });
        }
        best.map(|b| b.1)
    }

    fn grow(&mut self, y: usize) {
        let (above, row) = self.heights.split_at_mut(y * self.nx);
        let above = above.get(above.len().wrapping_sub(self.nx)..);
        let taken = &self.taken[y * self.nx..(y + 1) * self.nx];
        for (x, (height, taken)) in row.iter_mut().zip(taken).enumerate() {
            let over = above.and_then(|a| a.get(x)).copied().unwrap_or(0);
            *height = if *taken { 0 } else { over + 1 };
        }
    }
}

/// What a box is worth: long thin strips are of little use for a table.
fn worth(wide: usize, high: usize) -> f64 {
    let (w, h) = (wide as f64, high as f64);
    w * h * (w.min(h) / w.max(h).max(1.0)).max(0.3)
}

/// The most that a box which ends in a row of these heights is worth, to a few last bits: only
/// boxes that cannot be made wider are tried.
fn most(row: &[u32], stack: &mut Vec<(usize, usize)>) -> f64 {
    let mut best = 0.0f64;
    let mut last = 0;
    stack.clear();
    let row = row.iter().map(|h| *h as usize);
    for (x, h) in row.chain(std::iter::once(0)).enumerate() {
        if h == last {
            continue;
        }
        last = h;
        let mut start = x;
        while let Some(&(sx, sh)) = stack.last() {
            if sh < h {
                break;
            }
            stack.pop();
            start = sx;
            best = best.max(worth(x - sx, sh));
        }
        if h > 0 {
            stack.push((start, h));
        }
    }
    best
}

/// Tells every box that ends in a row of these heights, as wide as it is from its first column
/// to each column where it might end.
fn every(row: &[u32], stack: &mut Vec<(usize, usize)>, mut tell: impl FnMut(usize, usize, usize)) {
    stack.clear();
    let row = row.iter().map(|h| *h as usize);
    for (x, h) in row.chain(std::iter::once(0)).enumerate() {
        let mut start = x;
        while let Some(&(sx, sh)) = stack.last() {
            if sh < h {
                break;
            }
            stack.pop();
            start = sx;
            if sh > 0 {
                tell(sx, x, sh);
            }
        }
        stack.push((start, h));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All boxes of all rows, one after the other.
    fn plainly(taken: &[bool], nx: usize) -> Option<Box4> {
        let mut heights = vec![0u32; nx];
        let mut best: Option<(f64, Box4)> = None;
        for (y, row) in taken.chunks(nx).enumerate() {
            for (height, taken) in heights.iter_mut().zip(row) {
                *height = if *taken { 0 } else { *height + 1 };
            }
            every(&heights, &mut Vec::new(), |x0, x1, high| {
                let worth = worth(x1 - x0, high);
                if best.is_none_or(|b| worth > b.0) {
                    best = Some((worth, (x0, y + 1 - high, x1, y + 1)));
                }
            });
        }
        best.map(|b| b.1)
    }

    #[test]
    fn finds_the_same_as_trying_every_box() {
        let mut seed = 3u64;
        let mut draw = |n: usize| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) as usize % n
        };
        for round in 0..60 {
            let (nx, ny) = (1 + draw(90), 1 + draw(60));
            let mut taken = vec![false; nx * ny];
            for _ in 0..draw(if round % 3 == 0 { 4 } else { 200 }) {
                let at = draw(taken.len());
                taken[at] = true;
            }
            let mut search = Largest::of(taken.clone(), nx);
            for _ in 0..8 {
                let wanted = plainly(&taken, nx);
                let found = search.find();
                assert_eq!(found, wanted, "{nx} by {ny}");
                let Some((x0, y0, x1, y1)) = found else { break };
                for y in y0..y1 {
                    taken[y * nx + x0..y * nx + x1].fill(true);
                }
                search.take((x0, y0, x1, y1));
            }
        }
    }
}
