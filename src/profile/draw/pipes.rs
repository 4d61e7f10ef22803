//! The pipes as two lines, and their words.

use kurbo::{BezPath, Circle, Point, Rect, Shape as _};

use super::super::model::{Pipe, Profile};
use super::frame::Frame;
use super::ink::{HEAVY, Hand, PLAIN, THIN, line, mark};
use crate::captions;
use crate::network::State;
use crate::sheets::{Anchor, Grey, Item, Role, Shape, Slant};
use crate::units::{Length, Printer, number};

/// Width of a pipe that stands upright, mm at the least.
const UPRIGHT: f64 = 0.8;
/// From one row of words to the next, mm.
const ROW: f64 = 5.0;
/// Radius of the dot at a leader's foot, mm.
const DOT: f64 = 0.6;
/// Where along its words a leader begins, as a part of them.
static SIDES: [f64; 5] = [0.5, 0.25, 0.75, 0.04, 0.96];
/// Rows of words over the section that are tried.
const ROWS: usize = 12;

/// The pipes, then their words with leaders.
pub(super) fn items(
    profile: &Profile,
    frame: &Frame,
    print: Printer,
    drawn: &[Item],
    field: Rect,
) -> (Vec<Item>, Vec<Item>) {
    let mut items = Vec::new();
    let mut before: Option<Point> = None;
    for pipe in &profile.pipes {
        let bottom: Vec<Point> = pipe
            .points
            .iter()
            .map(|p| frame.at(p.distance, p.invert))
            .collect();
        items.push(top(pipe, frame, &bottom));
        // From its upper end down, as its joints are named; where it steps up the step is its own.
        let mut path = BezPath::new();
        for (i, p) in bottom.iter().rev().enumerate() {
            match i {
                0 => path.move_to(*p),
                _ => path.line_to(*p),
            }
        }
        if let (Some(before), Some(own)) = (before, bottom.first())
            && (before - *own).hypot() > 0.01
        {
            path.line_to(before);
        }
        before = bottom.last().copied();
        items.push(item(pipe, path, print));
    }
    let labels = labels(profile, frame, print, drawn, field);
    (items, labels)
}

/// The upper line. Where a pipe rises the two lines go up side by side.
fn top(pipe: &Pipe, frame: &Frame, bottom: &[Point]) -> Item {
    let high = pipe.high.mm() * frame.scales.up.ratio;
    let wide = ((pipe.high + pipe.wall).mm() * frame.scales.across.ratio).max(UPRIGHT);
    let upright = |a: &Point, b: &Point| (a.x - b.x).abs() < 1e-6 && (a.y - b.y).abs() > 1e-6;
    let risen = bottom.windows(2).any(|w| upright(&w[0], &w[1]));
    let shift = if risen { wide } else { 0.0 };
    let points: Vec<Point> = bottom
        .iter()
        .map(|p| Point::new(p.x - shift, p.y - high))
        .collect();
    mark("top of pipe", vec![line(&points, PLAIN)])
}

fn item(pipe: &Pipe, path: BezPath, print: Printer) -> Item {
    let width = match pipe.state {
        State::Existing => PLAIN,
        _ => HEAVY,
    };
    let [from, to] = pipe.joints.clone();
    let mut data = vec![
        ("run", pipe.run.clone()),
        ("system", "waste".to_owned()),
        ("from", from),
        ("to", to),
        ("state", pipe.state.word().to_owned()),
        ("size", print.size_plain(pipe.size)),
    ];
    data.extend(pipe.fall.map(|f| ("fall", print.fall_plain(f))));
    data.extend(pipe.length.map(|l| ("length", number(l.mm(), 1, false))));
    if let (Some(low), Some(high)) = (pipe.points.first(), pipe.points.last()) {
        let levels = [high, low].map(|p| number(p.invert.mm(), 1, false));
        data.push(("invert", levels.join(" ")));
    }
    Item {
        role: Role::Pipe,
        id: pipe.id.clone(),
        data,
        title: Some(format!("{}, {}", pipe.id, print.size(pipe.size))),
        shapes: vec![Shape {
            path,
            ..line(&[], width)
        }],
        texts: Vec::new(),
    }
}

/// What one label says of pipes that follow each other alike.
struct Stretch<'a> {
    pipes: Vec<&'a Pipe>,
    words: String,
}

fn stretches<'a>(profile: &'a Profile, print: Printer) -> Vec<Stretch<'a>> {
    let fall = |p: &Pipe| p.fall.map(|f| print.fall_plain(f));
    let alike = |a: &Pipe, b: &Pipe| {
        a.run == b.run && a.size == b.size && fall(a) == fall(b) && a.state == b.state
    };
    let all = profile.pipes.chunk_by(alike);
    all.filter_map(|some| {
        let first = some.first()?;
        let length = some.iter().map(|p| p.length).sum::<Option<Length>>();
        let size = print.size(first.size);
        let mut words = match first.fall {
            Some(fall) => format!("{size} @ {}", print.fall(fall)),
            None => format!("{size} UP"),
        };
        words.extend(length.map(|l| format!(" · {}", print.length(l))));
        if first.run != profile.run {
            words = format!("{words} SEWER");
        }
        Some(Stretch {
            words: captions::marked(&words, first.state),
            pipes: some.iter().collect(),
        })
    })
    .collect()
}

/// The words of each stretch over all that stands over it, each with a leader down to its pipe.
fn labels(
    profile: &Profile,
    frame: &Frame,
    print: Printer,
    drawn: &[Item],
    field: Rect,
) -> Vec<Item> {
    let taken: Vec<Rect> = drawn.iter().flat_map(words_of).collect();
    let sky = Sky::of(profile, frame, drawn);
    let along = stretches(profile, print);
    let mut narrow: Vec<&Stretch<'_>> = along.iter().collect();
    // What has the least choice chooses first.
    narrow.sort_by(|a, b| span(a, frame).2.total_cmp(&span(b, frame).2));
    let up: Vec<&Stretch<'_>> = along.iter().collect();
    let down: Vec<&Stretch<'_>> = along.iter().rev().collect();
    // Which order leaves room for all depends on how they lie. Words that end at their leaders leave
    // those farther up the drain a way past them, a row higher each.
    let tries: [(&[&Stretch<'_>], &'static [f64]); 4] = [
        (&narrow, &SIDES),
        (&up, &SIDES),
        (&down, &SIDES),
        (&up, &[0.96]),
    ];
    let tried = tries.map(|(order, sides)| placed(order, sides, frame, &sky, (&taken, field)));
    let best = tried.into_iter().min_by_key(|(_, crowded)| *crowded);
    best.map(|(items, _)| items).unwrap_or_default()
}

/// The labels of stretches that choose their places in this order, and how many found none that is
/// free.
fn placed(
    order: &[&Stretch<'_>],
    sides: &'static [f64],
    frame: &Frame,
    sky: &Sky,
    (taken, field): (&[Rect], Rect),
) -> (Vec<Item>, usize) {
    let hand = Hand::STRONG;
    let mut taken = taken.to_vec();
    let mut leaders: Vec<(f64, f64, f64)> = Vec::new();
    let mut items = Vec::new();
    let mut crowded = 0;
    for stretch in order {
        let wide = hand.wide(&stretch.words);
        let mut places = candidates((stretch, sides), frame, sky, (wide, field));
        let room = |at: Point| hand.room(&stretch.words, at).inflate(1.0, 0.6);
        let apart = |(at, _): &(Point, Point)| {
            let room = room(*at);
            let clear = |r: &Rect| r.intersect(room).area() <= 0.0;
            let through = |(x, top, end): &(f64, f64, f64)| {
                room.x0 < *x && *x < room.x1 && *top < room.y1 && room.y0 < *end
            };
            taken.iter().all(clear) && !leaders.iter().any(through)
        };
        let clear = |(at, foot): &(Point, Point)| {
            let line = Rect::new(foot.x - 0.6, room(*at).y1, foot.x + 0.6, foot.y);
            taken.iter().all(|r| r.intersect(line).area() <= 0.0)
        };
        let found = places.clone().find(|p| apart(p) && clear(p));
        crowded += usize::from(found.is_none());
        // Where words of the floor stand over all of a stretch, its leader passes behind them.
        let found = found.or_else(|| places.clone().find(apart));
        let Some((at, foot)) = found.or_else(|| places.next()) else {
            continue;
        };
        let room = hand.room(&stretch.words, at);
        let Some(pipe) = nearest(stretch, frame, foot.x) else {
            continue;
        };
        items.push(Item {
            role: Role::Leader,
            data: vec![("for", pipe.id.clone())],
            shapes: behind((Point::new(foot.x, room.y1 + 0.3), foot), &taken),
            ..Item::default()
        });
        // A dot where it ends: a plain line down to a pipe reads as a riser.
        items.push(mark(
            "foot",
            vec![Shape {
                path: Circle::new(foot, DOT).to_path(0.01),
                fill: Some(Grey::BLACK),
                ..line(&[], THIN)
            }],
        ));
        items.push(Item {
            role: Role::Label,
            data: vec![("for", pipe.id.clone())],
            texts: vec![hand.set(stretch.words.clone(), at, Anchor::Start, Slant::Level)],
            ..Item::default()
        });
        taken.push(room);
        leaders.push((foot.x, room.y1, foot.y));
    }
    (items, crowded)
}

/// A leader down to its foot, broken where words stand in its way.
fn behind((top, foot): (Point, Point), taken: &[Rect]) -> Vec<Shape> {
    /// Clear paper above and below the words, mm.
    const CLEAR: f64 = 0.5;
    let in_way = taken.iter().filter(|r| {
        let across = r.x0 - CLEAR < top.x && top.x < r.x1 + CLEAR;
        across && top.y < r.y0 && r.y1 < foot.y
    });
    let mut gaps: Vec<(f64, f64)> = in_way.map(|r| (r.y0 - CLEAR, r.y1 + CLEAR)).collect();
    gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut shapes = Vec::new();
    let mut from = top.y;
    for (a, b) in gaps.into_iter().chain([(foot.y, foot.y)]) {
        if a > from {
            shapes.push(line(&[Point::new(top.x, from), Point::new(top.x, a)], THIN));
        }
        from = from.max(b);
    }
    shapes
}

/// The boxes of an item's words.
fn words_of(item: &Item) -> Vec<Rect> {
    let level = item.texts.iter().filter(|t| t.slant == Slant::Level);
    let room = |t: &crate::sheets::Text| {
        let wide = crate::assets::room(&t.text, t.weight) * t.em;
        let left = match t.anchor {
            Anchor::Start => t.at.x,
            Anchor::Middle => t.at.x - wide / 2.0,
            Anchor::End => t.at.x - wide,
        };
        Rect::new(left, t.at.y - t.em * 0.76, left + wide, t.at.y + t.em * 0.2)
    };
    level.map(room).collect()
}

/// Places for the words of a stretch: where they begin, and where their leader meets the pipe. The
/// lowest row first, in each the middle of the stretch first.
fn candidates<'a>(
    (stretch, sides): (&'a Stretch<'_>, &'static [f64]),
    frame: &'a Frame,
    sky: &'a Sky,
    (wide, field): (f64, Rect),
) -> impl Iterator<Item = (Point, Point)> + Clone + 'a {
    static ALONG: [f64; 9] = [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9, 0.0, 1.0];
    let (low, high, _) = span(stretch, frame);
    let each = move |row| {
        ALONG
            .iter()
            .flat_map(move |t| sides.iter().map(move |s| (row, t, s)))
    };
    let places = (0..ROWS).flat_map(each);
    places.filter_map(move |(row, along, side)| {
        let x = low + (high - low) * along;
        let left = (x - wide * side)
            .max(field.x0 + 1.0)
            .min(field.x1 - wide - 1.0);
        let y = sky.over(left - 1.0, left + wide + 1.0)? - 2.8 - row as f64 * ROW;
        let level = at(stretch, frame, x)?;
        let inside = left + 0.8 <= x && x <= left + wide - 0.8 && y - 15.0 > field.y0;
        inside.then_some((Point::new(left, y), Point::new(x, level)))
    })
}

/// From where to where a stretch goes on paper, and how wide that is.
fn span(stretch: &Stretch<'_>, frame: &Frame) -> (f64, f64, f64) {
    let ends = stretch.pipes.iter().flat_map(|p| p.points.iter());
    let xs = ends.map(|p| frame.x(p.distance));
    let (low, high) = xs.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    (low, high, high - low)
}

/// The upper edge of all that is drawn.
struct Sky {
    boxes: Vec<Rect>,
    tops: Vec<[Point; 2]>,
}

impl Sky {
    fn of(profile: &Profile, frame: &Frame, drawn: &[Item]) -> Sky {
        let stands = |i: &&Item| {
            let kind = i.data.iter().find(|(k, _)| *k == "kind");
            kind.is_some_and(|(_, kind)| !matches!(kind.as_str(), "axis" | "title"))
        };
        let boxes = drawn.iter().filter(stands).flat_map(|item| {
            let shapes = item.shapes.iter().map(|s| s.path.bounding_box());
            shapes.chain(words_of(item)).collect::<Vec<_>>()
        });
        let top = |p: &Pipe| {
            let points: Vec<Point> = (p.points.iter())
                .map(|q| frame.at(q.distance, q.invert + p.high))
                .collect();
            points.windows(2).map(|w| [w[0], w[1]]).collect::<Vec<_>>()
        };
        Sky {
            boxes: boxes.collect(),
            tops: profile.pipes.iter().flat_map(top).collect(),
        }
    }

    /// The highest of it between two places; none where nothing stands.
    fn over(&self, from: f64, to: f64) -> Option<f64> {
        let boxes = self.boxes.iter().filter(|b| b.x0 < to && from < b.x1);
        let tops = self
            .tops
            .iter()
            .filter(|[a, b]| a.x < to && from < b.x || a.x == b.x && from < a.x && a.x < to);
        let clipped = tops.map(|[a, b]| match b.x - a.x {
            d if d < 1e-6 => a.y.min(b.y),
            d => {
                let at = |x: f64| a.y + (b.y - a.y) * (x.clamp(a.x, b.x) - a.x) / d;
                at(from).min(at(to))
            }
        });
        boxes.map(|b| b.y0).chain(clipped).min_by(f64::total_cmp)
    }
}

/// The pipe of a stretch at a place on paper.
fn nearest<'a>(stretch: &Stretch<'a>, frame: &Frame, x: f64) -> Option<&'a Pipe> {
    let over = |p: &&&Pipe| {
        let xs = p.points.iter().map(|q| frame.x(q.distance));
        let (a, b) = xs.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
        a - 1e-6 <= x && x <= b + 1e-6
    };
    stretch
        .pipes
        .iter()
        .find(over)
        .or(stretch.pipes.first())
        .copied()
}

/// The invert of a stretch at a place on paper, on paper.
fn at(stretch: &Stretch<'_>, frame: &Frame, x: f64) -> Option<f64> {
    let pipe = nearest(stretch, frame, x)?;
    let points: Vec<Point> = pipe
        .points
        .iter()
        .map(|p| frame.at(p.distance, p.invert))
        .collect();
    let leg = points
        .windows(2)
        .find(|w| w[0].x - 1e-6 <= x && x <= w[1].x + 1e-6)?;
    let (a, b) = (leg[0], leg[1]);
    Some(match b.x - a.x {
        // Upright: its middle.
        d if d < 1e-6 => (a.y + b.y) / 2.0,
        d => a.y + (b.y - a.y) * (x - a.x) / d,
    })
}
