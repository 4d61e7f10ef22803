//! Where pipes cross on paper, and which of them is behind.

use std::collections::BTreeMap;

use kurbo::{Point, Vec2};

use crate::placement::Placement;

/// A straight stretch of a pipe.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    pipe: usize,
    index: usize,
    a: Point,
    b: Point,
    depth: (f64, f64),
}

/// A gap to leave in a stretch: its middle, as a share of the stretch, and its half length in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Where, from 0 to 1.
    pub at: f64,
    /// Half of its length, mm.
    pub half: f64,
}

const CELL: f64 = 12.0;
/// Clear paper on each side of the pipe in front, mm.
const CLEAR: f64 = 1.0;

/// How many places there are where one pipe passes behind another.
pub fn crossings(placement: &Placement) -> usize {
    find(placement, |_| 0.35).values().map(Vec::len).sum()
}

/// The gaps of every stretch, by pipe and stretch. `width` gives a pipe's line width in mm.
pub fn find(
    placement: &Placement,
    width: impl Fn(usize) -> f64,
) -> BTreeMap<(usize, usize), Vec<Gap>> {
    let stretches = stretches(placement);
    let mut grid: BTreeMap<(i32, i32), Vec<usize>> = BTreeMap::new();
    for (i, s) in stretches.iter().enumerate() {
        for cell in cells(s.a, s.b) {
            grid.entry(cell).or_default().push(i);
        }
    }
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for list in grid.values() {
        for (n, &i) in list.iter().enumerate() {
            for &k in &list[n + 1..] {
                pairs.push((i.min(k), i.max(k)));
            }
        }
    }
    pairs.sort_unstable();
    pairs.dedup();
    let mut gaps: BTreeMap<(usize, usize), Vec<Gap>> = BTreeMap::new();
    for (i, k) in pairs {
        let (s, t) = (&stretches[i], &stretches[k]);
        if s.pipe == t.pipe {
            continue;
        }
        let Some((u, v)) = meet(s, t) else { continue };
        let ds = s.depth.0 + (s.depth.1 - s.depth.0) * u;
        let dt = t.depth.0 + (t.depth.1 - t.depth.0) * v;
        let (behind, at, front) = if ds > dt { (s, u, t) } else { (t, v, s) };
        let sin = unit(s.b - s.a).cross(unit(t.b - t.a)).abs().max(0.2);
        let half = (width(front.pipe) / 2.0 + width(behind.pipe) / 2.0 + CLEAR) / sin;
        gaps.entry((behind.pipe, behind.index))
            .or_default()
            .push(Gap { at, half });
    }
    gaps
}

fn stretches(placement: &Placement) -> Vec<Stretch> {
    let mut all = Vec::new();
    for (pipe, p) in placement.pipes.iter().enumerate() {
        for (index, w) in p.path.windows(2).enumerate() {
            all.push(Stretch {
                pipe,
                index,
                a: w[0].point(),
                b: w[1].point(),
                depth: (w[0].depth(), w[1].depth()),
            });
        }
    }
    all
}

fn unit(v: Vec2) -> Vec2 {
    let l = v.hypot();
    if l > 0.0 { v * (1.0 / l) } else { v }
}

/// Cells that a line passes, walked in steps of half a cell.
fn cells(a: Point, b: Point) -> Vec<(i32, i32)> {
    let steps = ((b - a).hypot() / (CELL / 2.0)).ceil().max(1.0) as usize;
    let mut out: Vec<(i32, i32)> = Vec::new();
    for i in 0..=steps {
        let p = a.lerp(b, i as f64 / steps as f64);
        let (x, y) = ((p.x / CELL).floor() as i32, (p.y / CELL).floor() as i32);
        // A line between two samples can only cut a corner of a neighbouring cell.
        for c in [(x, y), (x + 1, y), (x, y + 1), (x - 1, y), (x, y - 1)] {
            out.push(c);
        }
    }
    out.sort_unstable();
    out.dedup();
    out
}

/// Shares of both stretches at which they properly cross.
fn meet(s: &Stretch, t: &Stretch) -> Option<(f64, f64)> {
    let (r, q) = (s.b - s.a, t.b - t.a);
    let den = r.cross(q);
    if den.abs() < 1e-9 * r.hypot() * q.hypot() || den == 0.0 {
        return None;
    }
    let w = t.a - s.a;
    let (u, v) = (w.cross(q) / den, w.cross(r) / den);
    let (eu, ev) = (0.05 / r.hypot(), 0.05 / q.hypot());
    (u > eu && u < 1.0 - eu && v > ev && v < 1.0 - ev).then_some((u, v))
}
