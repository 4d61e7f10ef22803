//! Level vents that pass just where drains join: on paper such a crossing reads as a joint. They are
//! found once all stands, so that the vents of that floor can be raised a little.

use std::collections::BTreeMap;

use kurbo::{Point, Rect};

use super::assemble::Placement;
use super::block::{PlacedSymbol, Want};
use super::figures::Figures;
use super::grow::vent_at;
use super::heights::Heights;
use crate::network::{Network, System, VentLevel};

/// A vent passes a joint nearer than this, mm: no gap has room between them.
const NEAR: f64 = 1.2;
/// A relief vent that crosses another vent nearer to a drain than this, mm up or down, would cross
/// the drain in the same gap.
const SAME_GAP: f64 = 2.0;
/// So far above it, mm, each has a gap of its own.
const OWN_GAP: f64 = 4.5;
/// Side of a cell of the search grid, mm.
const CELL: f64 = 20.0;

/// What is asked for where level vents pass too near a joint or a bend of other pipes, or where a
/// relief vent, which nothing on its way knows of, passes through a symbol, or crosses a drain just
/// where another vent does.
pub fn wants(
    placement: &Placement,
    net: &Network,
    figures: &Figures,
    heights: &Heights,
) -> Vec<(Want, f64)> {
    let waste = |p: usize| net.graph[placement.pipes[p].piece].system == System::Waste;
    let mut grid: BTreeMap<(i32, i32), Vec<Point>> = BTreeMap::new();
    let drains = (0..placement.pipes.len()).filter(|&p| waste(p));
    for at in drains.flat_map(|p| &placement.pipes[p].path) {
        let at = at.point();
        grid.entry(cell(at)).or_default().push(at);
    }
    let mut higher: BTreeMap<VentLevel, f64> = BTreeMap::new();
    for p in (0..placement.pipes.len()).filter(|&p| !waste(p)) {
        let pipe = &placement.pipes[p];
        let ends = net.graph.edge_endpoints(pipe.piece);
        let levels = ends.into_iter().flat_map(|(a, b)| [a, b]);
        let levels = levels.filter_map(|j| vent_at(net, j).map(|at| at.level));
        let Some(level @ (VentLevel::AboveRim(_) | VentLevel::Relief(_))) = levels.max() else {
            continue;
        };
        let ends = pipe.path.first().into_iter().chain(pipe.path.last());
        let ends: Vec<Point> = ends.map(|s| s.point()).collect();
        let own = |q: &Point| ends.iter().any(|e| (*e - *q).hypot() < NEAR);
        for w in pipe.path.windows(2).filter(|w| w[0].z == w[1].z) {
            let (a, b) = (w[0].point(), w[1].point());
            let mut by = 0.0f64;
            if near(&grid, a, b).any(|q| !own(&q)) {
                by = 1.0;
            }
            if matches!(level, VentLevel::Relief(_)) {
                let others = placement.symbols.iter().filter(|s| !own(&s.at));
                let clear = others.filter_map(|s| over(&corners(figures, s), a, b));
                by = clear.fold(by, f64::max);
                by = by.max(crossed_twice(placement, &waste, p, (a, b)));
            }
            if by > 0.0 {
                let most = higher.entry(level).or_default();
                *most = most.max(by);
            }
        }
    }
    let want = |(level, by)| match level {
        VentLevel::AboveRim(f) => Some((Want::Rim(f), heights.rim(f) + by)),
        VentLevel::Relief(f) => heights.relief_want(f, heights.relief(f) + by),
        _ => None,
    };
    higher.into_iter().filter_map(want).collect()
}

/// How far a relief vent must rise so as not to cross a drain just where another vent does.
fn crossed_twice(
    placement: &Placement,
    waste: &impl Fn(usize) -> bool,
    relief: usize,
    line: (Point, Point),
) -> f64 {
    let stretches = |p: usize| {
        let path = placement.pipes[p].path.windows(2);
        path.map(|w| (w[0].point(), w[1].point()))
    };
    let upright = |(a, b): &(Point, Point)| (a.x - b.x).abs() < 1e-6;
    let all = 0..placement.pipes.len();
    let vents = all.clone().filter(|&p| p != relief && !waste(p));
    let mut by = 0.0f64;
    for (a, b) in vents.flat_map(stretches).filter(upright) {
        let (high, low) = (a.y.min(b.y), a.y.max(b.y));
        let Some(at) = at_x(line, a.x).filter(|y| high < *y && *y < low) else {
            continue;
        };
        let drains = all.clone().filter(|&p| waste(p)).flat_map(stretches);
        let passed = drains.filter_map(|d| at_x(d, a.x));
        let passed = passed.filter(|y| high + NEAR < *y && *y < low - NEAR);
        let above = passed.map(|y| y - at).filter(|d| d.abs() < SAME_GAP);
        by = above.map(|d| OWN_GAP - d).fold(by, f64::max);
    }
    by
}

/// How low on paper a line that is not upright lies at some distance across, if it reaches there.
fn at_x((a, b): (Point, Point), x: f64) -> Option<f64> {
    let inside = a.x.min(b.x) + NEAR < x && x < a.x.max(b.x) - NEAR;
    inside.then(|| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
}

fn corners(figures: &Figures, s: &PlacedSymbol) -> Vec<Point> {
    let symbol = figures.drawn(s.symbol, s.way);
    let hull = symbol.hull.iter();
    hull.map(|p| *p + s.at.to_vec2()).collect()
}

/// How far a line must rise to pass clear over a shape, if it passes through it, mm.
fn over(corners: &[Point], a: Point, b: Point) -> Option<f64> {
    let (a, b) = if a.x < b.x { (a, b) } else { (b, a) };
    // How far each corner lies above the line on paper, where the line passes.
    let beyond = |c: &&Point| a.x - NEAR < c.x && c.x < b.x + NEAR;
    let above = corners.iter().filter(beyond).map(|c| {
        let t = (c.x - a.x) / (b.x - a.x).max(1e-9);
        a.y + (b.y - a.y) * t - c.y
    });
    let (low, high) = above.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| {
        (l.min(d), h.max(d))
    });
    (low < NEAR && high > -NEAR).then_some(high + 2.0 * NEAR)
}

fn cell(p: Point) -> (i32, i32) {
    ((p.x / CELL).floor() as i32, (p.y / CELL).floor() as i32)
}

/// The points of a grid that lie near a line.
fn near(
    grid: &BTreeMap<(i32, i32), Vec<Point>>,
    a: Point,
    b: Point,
) -> impl Iterator<Item = Point> + '_ {
    let round = Rect::from_points(a, b).inflate(NEAR, NEAR);
    let (p, q) = (cell(round.origin()), cell(Point::new(round.x1, round.y1)));
    let cells = (p.0..=q.0).flat_map(move |x| (p.1..=q.1).map(move |y| (x, y)));
    let d = b - a;
    let off = move |c: &Point| {
        let t = ((*c - a).dot(d) / d.hypot2().max(1e-12)).clamp(0.0, 1.0);
        (a + d * t - *c).hypot() < NEAR
    };
    cells
        .filter_map(|c| grid.get(&c))
        .flatten()
        .copied()
        .filter(off)
}
