//! Level vents that pass just where drains join: on paper such a crossing reads as a joint. They are
//! found once all stands, so that `plan` can raise the vents of that floor a little.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::{Point, Rect};

use super::assemble::Placement;
use super::grow::vent_at;
use crate::job::FloorIx;
use crate::network::{Network, System, VentLevel};

/// A vent passes a joint nearer than this, mm: no gap has room between them.
const NEAR: f64 = 1.2;
/// Side of a cell of the search grid, mm.
const CELL: f64 = 20.0;

/// The floors above whose rims some level vent passes too near a joint or a bend of other pipes.
pub fn floors(placement: &Placement, net: &Network) -> BTreeSet<FloorIx> {
    let waste = |p: usize| net.graph[placement.pipes[p].piece].system == System::Waste;
    let mut grid: BTreeMap<(i32, i32), Vec<Point>> = BTreeMap::new();
    let drains = (0..placement.pipes.len()).filter(|&p| waste(p));
    for at in drains.flat_map(|p| &placement.pipes[p].path) {
        let at = at.point();
        grid.entry(cell(at)).or_default().push(at);
    }
    let mut floors = BTreeSet::new();
    for p in (0..placement.pipes.len()).filter(|&p| !waste(p)) {
        let pipe = &placement.pipes[p];
        let ends = net.graph.edge_endpoints(pipe.piece);
        let levels = ends.into_iter().flat_map(|(a, b)| [a, b]);
        let levels = levels.filter_map(|j| vent_at(net, j).map(|at| at.level));
        let Some(VentLevel::AboveRim(floor)) = levels.max() else {
            continue;
        };
        let ends = pipe.path.first().into_iter().chain(pipe.path.last());
        let ends: Vec<Point> = ends.map(|s| s.point()).collect();
        for w in pipe.path.windows(2) {
            let (a, b) = (w[0].point(), w[1].point());
            let own = |q: &Point| ends.iter().any(|e| (*e - *q).hypot() < NEAR);
            if w[0].z == w[1].z && near(&grid, a, b).any(|q| !own(&q)) {
                floors.insert(floor);
            }
        }
    }
    floors
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
