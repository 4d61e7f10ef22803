//! Which candidates cannot both stand, found with a uniform grid of the paper.

use kurbo::Rect;

use super::Labels;

/// For each candidate those of other labels that it touches, in order.
#[derive(Clone, Debug, Default)]
pub struct Conflicts {
    /// Where each candidate's begin; one more for the end.
    from: Vec<u32>,
    with: Vec<u32>,
}

/// At most so many cells for each candidate, however small and scattered they are.
const CELLS: f64 = 4.0;

impl Conflicts {
    /// Candidates by the upright boxes round them; `meets` is asked of two whose boxes overlap.
    pub fn find(labels: &Labels, boxes: &[Rect], meets: impl Fn(usize, usize) -> bool) -> Self {
        let cells = Cells::of(boxes);
        let mut pairs: Vec<(u32, u32)> = Vec::new();
        let mut count = vec![0u32; boxes.len() + 1];
        for (cell, list) in cells.each() {
            for (n, &a) in list.iter().enumerate() {
                for &b in &list[n + 1..] {
                    let (i, j) = (a as usize, b as usize);
                    if labels.label(i) == labels.label(j) || !overlap(boxes[i], boxes[j]) {
                        continue;
                    }
                    // A pair that shares several cells counts in the first of them.
                    if cells.first_of(boxes[i], boxes[j]) == cell && meets(i, j) {
                        pairs.push((a, b));
                        count[i + 1] += 1;
                        count[j + 1] += 1;
                    }
                }
            }
        }
        for i in 1..count.len() {
            count[i] += count[i - 1];
        }
        let mut next = count.clone();
        let mut with = vec![0u32; pairs.len() * 2];
        for (a, b) in pairs {
            for (x, y) in [(a, b), (b, a)] {
                let at = &mut next[x as usize];
                with[*at as usize] = y;
                *at += 1;
            }
        }
        for w in count.windows(2) {
            with[w[0] as usize..w[1] as usize].sort_unstable();
        }
        Conflicts { from: count, with }
    }
    /// What a candidate touches.
    pub fn of(&self, candidate: usize) -> &[u32] {
        &self.with[self.from[candidate] as usize..self.from[candidate + 1] as usize]
    }
    /// Whether two candidates touch.
    pub fn touch(&self, a: usize, b: usize) -> bool {
        self.of(a).binary_search(&(b as u32)).is_ok()
    }
}

/// Whether two boxes share paper; boxes that only meet at an edge do not.
fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

/// Boxes in the cells that they lie in, one cell's after another's.
struct Cells {
    all: Rect,
    wide: f64,
    high: f64,
    across: usize,
    down: usize,
    from: Vec<u32>,
    boxes: Vec<u32>,
}

impl Cells {
    fn of(boxes: &[Rect]) -> Cells {
        let all = boxes.iter().copied().reduce(|a, b| a.union(b));
        let all = all.unwrap_or_default();
        let n = boxes.len().max(1) as f64;
        // A cell of about the size of a box: each box lies in few, and each holds few.
        let mean = |of: fn(&Rect) -> f64| boxes.iter().map(of).sum::<f64>() / n;
        let (mut wide, mut high) = (mean(Rect::width).max(1e-6), mean(Rect::height).max(1e-6));
        let count = (all.width() / wide).max(1.0) * (all.height() / high).max(1.0);
        let grow = (count / (n * CELLS)).sqrt().max(1.0);
        (wide, high) = (wide * grow, high * grow);
        let mut cells = Cells {
            all,
            wide,
            high,
            across: (all.width() / wide) as usize + 1,
            down: (all.height() / high) as usize + 1,
            from: Vec::new(),
            boxes: Vec::new(),
        };
        let mut from = vec![0u32; cells.across * cells.down + 1];
        for b in boxes {
            cells.passed(*b, |cell| from[cell + 1] += 1);
        }
        for i in 1..from.len() {
            from[i] += from[i - 1];
        }
        let mut next = from.clone();
        let mut sorted = vec![0u32; from.last().copied().unwrap_or(0) as usize];
        for (i, b) in boxes.iter().enumerate() {
            cells.passed(*b, |cell| {
                sorted[next[cell] as usize] = i as u32;
                next[cell] += 1;
            });
        }
        cells.from = from;
        cells.boxes = sorted;
        cells
    }
    fn column(&self, x: f64) -> usize {
        (((x - self.all.x0) / self.wide).max(0.0) as usize).min(self.across - 1)
    }
    fn row(&self, y: f64) -> usize {
        (((y - self.all.y0) / self.high).max(0.0) as usize).min(self.down - 1)
    }
    fn passed(&self, b: Rect, mut tell: impl FnMut(usize)) {
        for y in self.row(b.y0)..=self.row(b.y1) {
            for x in self.column(b.x0)..=self.column(b.x1) {
                tell(y * self.across + x);
            }
        }
    }
    /// The first cell that two boxes share.
    fn first_of(&self, a: Rect, b: Rect) -> usize {
        self.row(a.y0.max(b.y0)) * self.across + self.column(a.x0.max(b.x0))
    }
    fn each(&self) -> impl Iterator<Item = (usize, &[u32])> {
        let lists = self.from.windows(2).enumerate();
        lists.map(|(cell, w)| (cell, &self.boxes[w[0] as usize..w[1] as usize]))
    }
}
