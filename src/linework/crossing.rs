//! Where pipes cross on paper, and which of them is behind.

use std::collections::BTreeMap;

use kurbo::{Point, Rect, Vec2};

use super::cells::Cells;
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
    let lines: Vec<(Point, Point)> = stretches.iter().map(|s| (s.a, s.b)).collect();
    let boxes: Vec<Rect> = stretches.iter().map(|s| near(s.a, s.b)).collect();
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    Cells::of(&lines).each(|list| {
        for (n, &i) in list.iter().enumerate() {
            for &k in &list[n + 1..] {
                // Most that share a cell do not even come near.
                if boxes[i].overlaps(boxes[k]) && stretches[i].pipe != stretches[k].pipe {
                    pairs.push((i.min(k), i.max(k)));
                }
            }
        }
    });
    pairs.sort_unstable();
    pairs.dedup();
    let mut gaps: BTreeMap<(usize, usize), Vec<Gap>> = BTreeMap::new();
    for (i, k) in pairs {
        let (s, t) = (&stretches[i], &stretches[k]);
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

/// Where a stretch of so many mm is broken, from and to as shares of it: gaps that meet are one, or
/// the line would be drawn back over the pipe in front.
pub fn breaks(gaps: &[Gap], length: f64) -> Vec<(f64, f64)> {
    let ends = |g: &Gap| {
        let half = g.half / length;
        ((g.at - half).max(0.0), (g.at + half).min(1.0))
    };
    let mut all: Vec<(f64, f64)> = gaps.iter().map(ends).collect();
    all.sort_by(|x, y| x.0.total_cmp(&y.0));
    all.dedup_by(|next, last| {
        let meet = next.0 <= last.1;
        if meet {
            last.1 = last.1.max(next.1);
        }
        meet
    });
    all
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

/// The box round a stretch, with a little room for what rounding may add.
fn near(a: Point, b: Point) -> Rect {
    Rect::from_points(a, b).inflate(0.01, 0.01)
}

fn unit(v: Vec2) -> Vec2 {
    let l = v.hypot();
    if l > 0.0 { v * (1.0 / l) } else { v }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Behind two pipes that pass at one place a pipe has one gap, as long as the longer: with one
    /// after the other, it would be drawn over both.
    #[test]
    fn gaps_that_meet_are_one() {
        let gap = |at, half| Gap { at, half };
        let all = [
            gap(0.5, 2.0),
            gap(0.5, 1.0),
            gap(0.125, 1.0),
            gap(0.5625, 2.0),
        ];
        assert_eq!(
            breaks(&all, 64.0),
            [(0.109375, 0.140625), (0.46875, 0.59375)]
        );
    }
}
