//! Finds a place for the tag of each hole: beside it, else farther off on a leader.

use kurbo::{Line, Point, Rect, Vec2};

use crate::sheets::Anchor;

/// Clear paper between a tag's ink and another's, mm.
const CLEAR: f64 = 0.6;
/// Farther than this a tag has a leader, mm.
const NEAR: f64 = 3.0;
/// The corners of a hole's box are not the hole: a leader goes on to this part of the way.
const WITHIN: f64 = 0.72;
/// The same where a tag names several holes.
const SEVERAL: f64 = 0.4;
/// A tag without a leader is nearer to its own hole than to any other hole or tag by this, mm.
const NEARER: f64 = 0.8;
/// A leader is no shorter, mm: a shorter one is not seen.
const LEAST_LEADER: f64 = 1.6;
/// What it costs a tag on a leader to stand nearer to another hole than to its own, mm away.
const ASTRAY: f64 = 12.0;
/// How far from its hole a tag is tried, mm.
const AWAY: [f64; 10] = [0.8, 2.0, 3.0, 5.0, 7.5, 10.5, 14.0, 18.0, 24.0, 32.0];
/// Which way: right first, as it is read; the parts of a step that go right and down.
const WAYS: [(f64, f64); 12] = [
    (1.0, 0.0),
    (-1.0, 0.0),
    (1.0, -1.0),
    (1.0, 1.0),
    (-1.0, -1.0),
    (-1.0, 1.0),
    (0.0, -1.0),
    (0.0, 1.0),
    (1.0, -0.5),
    (1.0, 0.5),
    (-1.0, -0.5),
    (-1.0, 0.5),
];

/// What stands on the plan.
#[derive(Default)]
pub(super) struct Ground {
    /// What no tag may touch.
    pub taken: Vec<Rect>,
    /// Lines that a tag had better not stand on, each with what that costs.
    pub lines: Vec<(Line, f64)>,
    /// The tags' own paper.
    pub paper: Rect,
    /// The tags that have their place.
    pub tags: Vec<Rect>,
}

/// A tag that has no place yet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tag {
    /// The box of its hole, or of its holes.
    pub hole: Rect,
    /// Its own width and height, mm.
    pub size: (f64, f64),
    /// Whether it names several holes, whose box is not all theirs.
    pub several: bool,
}

/// A tag at its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    /// Its box.
    pub rect: Rect,
    /// Which side of it is next to the hole: its lines start or end there.
    pub anchor: Anchor,
    /// From the hole's edge to it.
    pub leader: Option<Line>,
}

/// Places of tags, each given by the box of its hole and its own size; none where there is no room
/// for one. The most crowded are placed first.
pub(super) fn place(ground: &mut Ground, tags: &[Tag]) -> Vec<Option<Placed>> {
    /// Holes nearer than this crowd each other, mm.
    const CROWD: f64 = 18.0;
    let near = |i: usize| {
        let at = tags[i].hole.center();
        let others = tags
            .iter()
            .filter(|t| (t.hole.center() - at).hypot() < CROWD);
        others.count()
    };
    let mut order: Vec<(usize, usize)> = (0..tags.len()).map(|i| (near(i), i)).collect();
    order.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut placed = vec![None; tags.len()];
    let mut leaders: Vec<Line> = Vec::new();
    for (_, i) in order {
        let found = best(ground, &leaders, tags, i);
        if let Some(p) = &found {
            ground.taken.push(p.rect);
            ground.tags.push(p.rect);
            leaders.extend(p.leader);
        }
        placed[i] = found;
    }
    placed
}

fn best(ground: &Ground, leaders: &[Line], tags: &[Tag], i: usize) -> Option<Placed> {
    let tag = tags[i];
    let mut best: Option<(f64, Placed)> = None;
    for away in AWAY {
        for (k, way) in WAYS.iter().enumerate() {
            let Some((cost, placed)) = try_at(ground, leaders, tags, (i, tag), (away, *way)) else {
                continue;
            };
            let cost = cost + away + k as f64 * 0.05;
            if best.as_ref().is_none_or(|b| cost < b.0 - 1e-9) {
                best = Some((cost, placed));
            }
        }
    }
    best.map(|b| b.1)
}

fn try_at(
    ground: &Ground,
    leaders: &[Line],
    tags: &[Tag],
    (i, tag): (usize, Tag),
    (away, way): (f64, (f64, f64)),
) -> Option<(f64, Placed)> {
    let Tag {
        hole,
        size: (wide, high),
        several,
    } = tag;
    let within = if several { SEVERAL } else { WITHIN };
    let c = hole.center();
    let side = |w: f64, half: f64, own: f64| match w {
        w if w.abs() < 0.1 => 0.0,
        w => w * (half + away) + w.signum() * own / 2.0,
    };
    let middle = c + Vec2::new(
        side(way.0, hole.width() / 2.0, wide),
        side(way.1, hole.height() / 2.0, high),
    );
    let rect = Rect::from_center_size(middle, (wide, high));
    let inside =
        ground.paper.contains(rect.origin()) && ground.paper.contains(Point::new(rect.x1, rect.y1));
    let wanted = rect.inflate(CLEAR, CLEAR);
    let clear = inside
        && ground.taken.iter().all(|t| !meet(*t, wanted))
        && tags.iter().all(|t| !meet(t.hole, wanted))
        && leaders.iter().all(|l| !crosses(*l, wanted));
    if !clear {
        return None;
    }
    let to = Point::new(c.x.clamp(rect.x0, rect.x1), c.y.clamp(rect.y0, rect.y1));
    let full = to - c;
    // How much of the way lies within the box of the hole.
    let part = |half: f64, way: f64| half / way.abs().max(1e-9);
    let inner = part(hole.width() / 2.0, full.x).min(part(hole.height() / 2.0, full.y));
    // Whose it is must be plain: without a leader by what it stands next to.
    let own = gap(rect, hole);
    let others = tags.iter().enumerate().filter(|(j, _)| *j != i);
    let other = others.map(|(_, t)| gap(rect, t.hole));
    let astray = other.fold(f64::MAX, f64::min) < own + NEARER;
    let stacked = ground.tags.iter().any(|t| gap(rect, *t) < own + NEARER);
    let long = full.hypot() * (1.0 - inner * within);
    let led = long > NEAR || astray || stacked;
    if led && long < LEAST_LEADER + 0.6 {
        return None;
    }
    let leader = led.then(|| {
        // It ends on the hole and starts just off the words.
        let from = c + full * (inner * within).min(1.0);
        Line::new(to - full * (0.6 / full.hypot().max(1e-9)), from)
    });
    if let Some(l) = leader {
        let others = tags.iter().enumerate().filter(|(j, _)| *j != i);
        let blocked = ground.taken.iter().any(|t| crosses(l, *t))
            || others.map(|(_, t)| t.hole).any(|t| crosses(l, t))
            || leaders.iter().any(|other| cross(l, *other));
        if blocked {
            return None;
        }
    }
    let on = ground
        .lines
        .iter()
        .filter(|(l, _)| crosses(*l, rect.inflate(0.3, 0.3)));
    let cost = on.map(|(_, c)| c).sum::<f64>() + if astray { ASTRAY } else { 0.0 };
    let anchor = match c.x {
        x if x > rect.x1 => Anchor::End,
        x if x < rect.x0 => Anchor::Start,
        _ => Anchor::Middle,
    };
    let placed = Placed {
        rect,
        anchor,
        leader,
    };
    Some((cost, placed))
}

/// Clear paper between two boxes; nothing where they meet.
fn gap(a: Rect, b: Rect) -> f64 {
    let x = (a.x0 - b.x1).max(b.x0 - a.x1).max(0.0);
    let y = (a.y0 - b.y1).max(b.y0 - a.y1).max(0.0);
    x.hypot(y)
}

fn meet(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

/// Whether two lines cross: each has the other's ends on both its sides.
fn cross(a: Line, b: Line) -> bool {
    let side = |l: Line, p: Point| (l.p1 - l.p0).cross(p - l.p0);
    let apart = |l: Line, m: Line| side(l, m.p0) * side(l, m.p1) <= 0.0;
    apart(a, b) && apart(b, a)
}

/// Whether any of a line lies in a box.
fn crosses(line: Line, r: Rect) -> bool {
    let (mut t0, mut t1) = (0.0f64, 1.0f64);
    let d = line.p1 - line.p0;
    for (p, q) in [
        (-d.x, line.p0.x - r.x0),
        (d.x, r.x1 - line.p0.x),
        (-d.y, line.p0.y - r.y0),
        (d.y, r.y1 - line.p0.y),
    ] {
        if p.abs() < 1e-12 {
            if q < 0.0 {
                return false;
            }
        } else if p < 0.0 {
            t0 = t0.max(q / p);
        } else {
            t1 = t1.min(q / p);
        }
    }
    t0 < t1
}

/// Places as near as can be to those wanted, each at least a pitch after the one before, within a
/// stretch; none if they have no room there. What is wanted goes up.
pub(super) fn spread(wanted: &[f64], pitch: f64, (low, high): (f64, f64)) -> Option<Vec<f64>> {
    if pitch * wanted.len().saturating_sub(1) as f64 > high - low {
        return None;
    }
    // Groups that touch: their first place and how many there are.
    let mut groups: Vec<(f64, usize, f64)> = Vec::new();
    for &w in wanted {
        groups.push((w, 1, w));
        loop {
            let n = groups.len();
            if n < 2 {
                break;
            }
            let ((a, an, asum), (b, bn, bsum)) = (groups[n - 2], groups[n - 1]);
            if a + pitch * an as f64 <= b + 1e-9 {
                break;
            }
            // Together they stand where their middles want to be.
            let shift = pitch * an as f64 * bn as f64;
            let sum = asum + bsum - shift;
            let count = an + bn;
            groups.truncate(n - 2);
            groups.push((sum / count as f64, count, sum));
        }
    }
    let mut places = Vec::with_capacity(wanted.len());
    for (first, count, _) in groups {
        places.extend((0..count).map(|k| first + pitch * k as f64));
    }
    let mut least = low;
    for p in &mut places {
        *p = p.max(least);
        least = *p + pitch;
    }
    let mut most = high;
    for p in places.iter_mut().rev() {
        *p = p.min(most);
        most = *p - pitch;
    }
    Some(places)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_spread_round_where_they_want_to_be() {
        let spread = |w: &[f64]| spread(w, 4.0, (0.0, 100.0));
        assert_eq!(spread(&[10.0, 30.0]), Some(vec![10.0, 30.0]));
        assert_eq!(spread(&[50.0, 50.0]), Some(vec![48.0, 52.0]));
        assert_eq!(spread(&[1.0, 1.0]), Some(vec![0.0, 4.0]));
        assert_eq!(spread(&[99.0, 100.0]), Some(vec![96.0, 100.0]));
        assert_eq!(super::spread(&[0.0; 30], 4.0, (0.0, 100.0)), None);
    }

    /// Seven holes 7 mm apart have tags twice as wide: each without a leader is nearer to its own hole
    /// than to any other.
    #[test]
    fn a_tag_stands_at_its_own_hole() {
        let mut ground = Ground {
            paper: Rect::new(0.0, 0.0, 100.0, 100.0),
            ..Ground::default()
        };
        let tags: Vec<Tag> = (0..7)
            .map(|i| Tag {
                hole: Rect::from_center_size((30.0 + 7.0 * f64::from(i), 50.0), (4.2, 4.2)),
                size: (14.0, 3.0),
                several: false,
            })
            .collect();
        let placed = place(&mut ground, &tags);
        for (i, p) in placed.iter().enumerate() {
            let p = p.expect("a place");
            let own = gap(p.rect, tags[i].hole);
            let nearer = |j: usize| j != i && gap(p.rect, tags[j].hole) <= own;
            assert!(p.leader.is_some() || !(0..7).any(nearer), "{i}: {p:?}");
        }
    }

    #[test]
    fn tags_keep_clear_of_each_other() {
        let mut ground = Ground {
            paper: Rect::new(0.0, 0.0, 100.0, 100.0),
            ..Ground::default()
        };
        let hole = |x: f64| Rect::from_center_size((x, 50.0), (3.0, 3.0));
        let tags: Vec<Tag> = (0..6)
            .map(|i| Tag {
                hole: hole(20.0 + 10.0 * f64::from(i)),
                size: (14.0, 3.0),
                several: false,
            })
            .collect();
        let placed: Vec<Rect> = place(&mut ground, &tags)
            .into_iter()
            .map(|p| p.expect("a place").rect)
            .collect();
        for (i, a) in placed.iter().enumerate() {
            assert!(placed[..i].iter().all(|b| !meet(*a, b.inflate(0.5, 0.5))));
        }
    }
}
