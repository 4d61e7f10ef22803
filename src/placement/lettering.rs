//! Places for lettering: along a pipe, and beside a symbol or a short pipe.

use kurbo::{Point, Rect, Vec2};

use super::block::Flush;
use super::outline::Outline;
use crate::captions::Caption;
use crate::projection::Way;
use crate::sheets::Slant;

/// Clear paper between a pipe's centre line and lettering set along it, mm.
const BESIDE_PIPE: f64 = 1.15;
/// A label's box stands so far off the place that it hangs on, each way, mm.
const STAND_OFF: f64 = 2.1;
/// A label stands no farther than this from what it names, mm (the contract says 4).
const REACH: f64 = 3.4;

/// The direction of lettering that runs along a way, read from the left or from below.
pub fn slant_of(way: Way) -> Slant {
    let u = way.paper();
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    let u = if u.x < -1e-9 || (near(u.x, 0.0) && u.y > 0.0) {
        -u
    } else {
        u
    };
    for s in [
        Slant::Level,
        Slant::Up30,
        Slant::Down30,
        Slant::Up60,
        Slant::Down60,
        Slant::Up90,
    ] {
        let (c, sn) = s.cos_sin();
        if near(c, u.x) && near(sn, u.y) {
            return s;
        }
    }
    Slant::Level
}

/// A label set along a way: where its first baseline starts, and what it covers, for a label that
/// takes `[0, width]` of the way from the origin, on the left (`true`) or right side of it.
pub fn along(caption: &Caption, way: Way, left: bool) -> (Point, Slant, Outline) {
    let u = way.paper();
    let slant = slant_of(way);
    let (c, s) = slant.cos_sin();
    let read = Vec2::new(c, s);
    let up = Vec2::new(s, -c);
    let forward = read.dot(u) > 0.0;
    let (w, h) = (caption.width(), caption.height());
    let n = Vec2::new(u.y, -u.x);
    let (low, high) = if left {
        (BESIDE_PIPE, BESIDE_PIPE + h)
    } else {
        (-BESIDE_PIPE - h, -BESIDE_PIPE)
    };
    let outline = Outline::slanted(Point::ORIGIN, u, w, low, high);
    // The reader's lower edge of the box, at the reader's left end.
    let bottom = if up.dot(n) > 0.0 { low } else { high };
    let start = if forward { 0.0 } else { w };
    let base_up = caption.sink() + caption.pitch() * (caption.lines.len().max(1) - 1) as f64;
    let at = Point::ORIGIN + u * start + n * bottom + up * base_up;
    (at, slant, outline)
}

/// What a label beside something must stand near to.
pub struct Host<'a> {
    /// Pipes that it names.
    pub lines: &'a [(Point, Point)],
    /// Hull of the symbol that it names.
    pub hull: &'a [Point],
}

/// Places for a level label beside its host, best first: left end of the first baseline, what it
/// covers, and a cost. `avoid` gives what it must not touch within a box.
pub fn beside(
    caption: &Caption,
    host: &Host<'_>,
    avoid: impl Fn(Rect, &mut Vec<Outline>),
    most: usize,
) -> Vec<(Point, Flush, Outline, f64)> {
    let (w, h) = (caption.width(), caption.height());
    let mut marks: Vec<Point> = host.hull.to_vec();
    for (a, b) in host.lines {
        marks.extend([*a, a.midpoint(*b), *b]);
    }
    let centre = mean(&marks);
    let mut tries: Vec<(f64, Rect, Flush)> = Vec::with_capacity(marks.len() * ANCHORS.len());
    for m in &marks {
        for (fx, fy) in ANCHORS {
            // The box's anchor stands off the mark by a little, on the anchor's own side.
            let off = Vec2::new(1.0 - 2.0 * fx, 1.0 - 2.0 * fy) * STAND_OFF;
            let x0 = m.x + off.x - fx * w;
            let y0 = m.y + off.y - fy * h;
            let ink = Rect::new(x0, y0, x0 + w, y0 + h);
            let flush = match fx {
                f if f < 0.25 => Flush::Left,
                f if f > 0.75 => Flush::Right,
                _ => Flush::Middle,
            };
            tries.push(((ink.center() - centre).hypot(), ink, flush));
        }
    }
    tries.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Only what lies round the host can be in the way.
    let region = tries
        .iter()
        .fold(Rect::from_center_size(centre, (1.0, 1.0)), |r, t| {
            r.union(t.1)
        });
    let region = region.inflate(1.0, 1.0);
    let mut taken = Vec::new();
    avoid(region, &mut taken);
    let mut kept: Vec<(Point, Flush, Outline, f64)> = Vec::new();
    for (cost, ink, flush) in tries {
        if kept.len() == most {
            break;
        }
        let at = Point::new(ink.x0, ink.y0 + caption.rise());
        if kept.iter().any(|k| (k.0 - at).hypot() <= 5.0) {
            continue;
        }
        let outline = Outline::rect(ink);
        if let Some(i) = taken.iter().position(|o| o.meets(&outline)) {
            // What is in the way here is likely to be in the way of the next place too.
            taken.swap(0, i);
            continue;
        }
        // Last, for it costs most: the nearest of its lines must stand near enough.
        let stands_near = |(i, w): (usize, &f64)| {
            let top = at.y + caption.pitch() * i as f64;
            let x = ink.x0 + indent(caption, i, flush);
            let line = Rect::new(x, top - caption.rise(), x + w, top + caption.sink());
            gap(line, host) <= REACH
        };
        if !caption.widths.iter().enumerate().any(stands_near) {
            continue;
        }
        kept.push((at, flush, outline, cost));
    }
    kept
}

/// How far a line of a label stands in from the label's left edge, mm.
pub fn indent(caption: &Caption, line: usize, flush: Flush) -> f64 {
    let spare = caption.width() - caption.widths.get(line).copied().unwrap_or(0.0);
    match flush {
        Flush::Left => 0.0,
        Flush::Middle => spare / 2.0,
        Flush::Right => spare,
    }
}

const ANCHORS: [(f64, f64); 8] = [
    (0.0, 0.0),
    (0.5, 0.0),
    (1.0, 0.0),
    (0.0, 0.5),
    (1.0, 0.5),
    (0.0, 1.0),
    (0.5, 1.0),
    (1.0, 1.0),
];

fn mean(points: &[Point]) -> Point {
    let n = points.len().max(1) as f64;
    let sum = points.iter().fold(Vec2::ZERO, |s, p| s + p.to_vec2());
    (sum * (1.0 / n)).to_point()
}

/// Clear distance between an upright box and its host.
fn gap(ink: Rect, host: &Host<'_>) -> f64 {
    let hull_edges =
        (0..host.hull.len()).map(|i| (host.hull[i], host.hull[(i + 1) % host.hull.len()]));
    let lines = host.lines.iter().copied();
    // A host of pipes is measured to its pipes, else to the symbol.
    if host.lines.is_empty() {
        hull_edges
            .map(|(a, b)| box_to_line(ink, a, b))
            .fold(f64::INFINITY, f64::min)
    } else {
        lines
            .map(|(a, b)| box_to_line(ink, a, b))
            .fold(f64::INFINITY, f64::min)
    }
}

/// Clear distance between an upright box and a straight line; nought where they meet.
fn box_to_line(r: Rect, a: Point, b: Point) -> f64 {
    let to_box = |p: Point| {
        let dx = (r.x0 - p.x).max(p.x - r.x1).max(0.0);
        let dy = (r.y0 - p.y).max(p.y - r.y1).max(0.0);
        dx * dx + dy * dy
    };
    let d = b - a;
    let to_line = |p: Point| {
        let t = ((p - a).dot(d) / d.hypot2().max(1e-12)).clamp(0.0, 1.0);
        // The nearest place on the line may lie inside the box.
        to_box(a + d * t).min((a + d * t - p).hypot2())
    };
    let corners = [(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)];
    let corners = corners.into_iter().map(|c| to_line(Point::from(c)));
    corners
        .chain([to_box(a), to_box(b)])
        .fold(f64::INFINITY, f64::min)
        .sqrt()
}
