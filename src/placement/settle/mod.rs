//! The last look at the lettering: a label that still touches something, where a bare vent passes
//! it, say, is moved along or beside what it names, or out on a leader; all that look for a place
//! are placed together (`labeller`). What finds none becomes a keyed note. A long run is lettered
//! again. Nothing is dropped, and nothing else is moved.

mod again;
mod cells;
mod forms;
mod keyed;
mod loose;
mod marks;
mod named;
mod once;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use kurbo::{Point, Rect, Vec2};

use self::cells::{Cells, Owner, line};
use self::forms::Form;
use self::named::World;
use super::assemble::Placement;
use super::block::{Flush, PlacedLabel};
use super::figures::Figures;
use super::lettering;
use super::outline::{Cover, Outline};
use crate::assets;
use crate::captions::{Caption, Captions, lettered_run};
use crate::linework;
use crate::network::{JointKind, Network, PieceIx};
use crate::sheets::Slant;

/// Pipes are drawn no wider than this, mm.
const LINE: f64 = 0.7;

/// Moves labels that touch something, sets those that found no place while the drawing grew,
/// and letters long runs again. Labels that are moved keep within a box, if one is given.
pub fn settle(
    placement: &mut Placement,
    net: &Network,
    captions: &Captions,
    figures: &Figures,
    within: Option<Rect>,
) {
    let mut cells = covered(placement, captions, figures);
    cells.within = within;
    let pieces: BTreeMap<usize, PieceIx> = captions.pieces.iter().map(|(p, c)| (*c, *p)).collect();
    let world = World {
        net,
        captions,
        figures,
        pieces: &pieces,
        at_joints: match captions.numbers_joints {
            // A stack's name stands beside the stack, with the number of its foot.
            true => (captions.joints.iter())
                .filter(|(j, _)| net.graph[**j].kind != JointKind::StackBase)
                .map(|(j, c)| (*c, *j))
                .collect(),
            false => BTreeMap::new(),
        },
        by_piece: (placement.pipes.iter().enumerate())
            .map(|(i, p)| (p.piece, i))
            .collect(),
        pipes: pipes_by_name(placement, net),
        symbols: symbols_by_name(placement, figures),
        gaps: linework::gaps(placement, |_| LINE),
    };
    if captions.numbers_joints {
        once::keep(placement, &world);
    }
    // What found no place yet keeps nothing else from its own.
    let stood = placement.labels.len();
    set_missing(placement, &world);
    for (i, l) in placement.labels.iter().enumerate().take(stood) {
        for o in covers(&captions.all[l.caption], l.at, l.slant, l.flush) {
            cells.add(o, Owner::Label(i));
        }
    }
    loose::place(placement, &world, &mut cells, stood);
    for i in 0..placement.marks.len() {
        marks::settle(placement, captions, &mut cells, i);
    }
    again::letter(placement, &world, &mut cells);
    for l in &placement.labels {
        for o in covers(&captions.all[l.caption], l.at, l.slant, l.flush) {
            placement.bounds = placement.bounds.union(o.bounds());
        }
    }
    for key in &placement.keyed {
        let (words, l) = (
            keyed::words(captions, key.label.caption, placement.keyed.len()),
            &key.label,
        );
        for o in covers(&words, l.at, l.slant, l.flush) {
            placement.bounds = placement.bounds.union(o.bounds());
        }
    }
}

/// Takes the paper of a label in a form.
fn take(form: &Form, label: usize, cells: &mut Cells) {
    for o in &form.covers {
        cells.add(o.clone(), Owner::Label(label));
    }
    if let Some((a, b)) = form.leader {
        cells.add(line(a, b, 0.1), Owner::Leader(label));
    }
}

/// All that covers paper but the labels.
fn covered(placement: &Placement, captions: &Captions, figures: &Figures) -> Cells {
    let mut cells = Cells::default();
    for p in &placement.pipes {
        for w in p.path.windows(2) {
            cells.add(line(w[0].point(), w[1].point(), 0.45), Owner::Pipe(p.piece));
        }
    }
    // The wedge of a hatched 45° run stands on the left of its path.
    for p in &placement.pipes {
        for (w, _) in p.path.windows(2).zip(&p.hatched).filter(|(_, h)| **h) {
            let (a, b) = (w[0].point(), w[1].point());
            let u = (b - a) * (1.0 / (b - a).hypot().max(1e-9));
            let n = Vec2::new(-u.y, u.x);
            let corners = vec![a + n * 0.6, b + n * 0.6, b + n * 3.4, a + n * 3.4];
            cells.add(Outline::new(corners, Cover::Solid), Owner::Mark);
        }
    }
    for (i, m) in placement.marks.iter().enumerate() {
        cells.add(marks::floor_piece(m), Owner::Mark);
        if let Some(caption) = marks::words(m, captions) {
            for o in covers(caption, m.text_at, m.slant, Flush::Left) {
                cells.add(o, Owner::Floor(i));
            }
        }
    }
    for (i, s) in placement.symbols.iter().enumerate() {
        let drawn = figures.drawn(s.symbol, s.way);
        let hull: Vec<Point> = drawn.hull.iter().map(|p| *p + s.at.to_vec2()).collect();
        cells.add(Outline::new(hull, Cover::Solid), Owner::Symbol(i));
    }
    cells
}

/// The placed pipes by id and by lettered run.
fn pipes_by_name(placement: &Placement, net: &Network) -> BTreeMap<String, Vec<usize>> {
    let mut pipes: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (i, p) in placement.pipes.iter().enumerate() {
        let run = lettered_run(net, p.piece);
        let id = net.graph[p.piece].id.clone();
        if run != id {
            pipes.entry(id).or_default().push(i);
        }
        pipes.entry(run).or_default().push(i);
    }
    pipes
}

/// The placed symbols by id.
fn symbols_by_name(placement: &Placement, figures: &Figures) -> BTreeMap<String, Vec<usize>> {
    let mut symbols: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (i, s) in placement.symbols.iter().enumerate() {
        let id = figures.all[s.symbol].id.clone();
        symbols.entry(id).or_default().push(i);
    }
    symbols
}

/// Sets the captions that found no place while the drawing grew on what they name: nothing is
/// dropped.
fn set_missing(placement: &mut Placement, world: &World<'_>) {
    let (net, captions) = (world.net, world.captions);
    let set: BTreeSet<usize> = placement.labels.iter().map(|l| l.caption).collect();
    let size = |c: usize| {
        let words = captions.all[c].lines.join(" ");
        words.split(" ·").next().map(str::to_owned)
    };
    let here = standing(placement, world);
    for caption in here.into_iter().filter(|c| !set.contains(c)) {
        // But the short pieces of a stack between branches of one floor, whose size the stack
        // says elsewhere: beside them the words would be read as the next piece's.
        let names = &captions.all[caption].names;
        let piece = world.pieces.get(&caption);
        let of_stack = piece.is_some_and(|p| net.is_stack(net.graph[*p].run));
        let said = |c: &usize| captions.all[*c].names == *names && size(*c) == size(caption);
        if of_stack && set.iter().any(said) {
            continue;
        }
        let mut label = PlacedLabel {
            caption,
            at: Point::ORIGIN,
            slant: Slant::Level,
            flush: Flush::Left,
            leader: None,
        };
        let named = world.named(placement, &label);
        // A room's name stands toward the far end of its branch.
        let far = captions.rooms.iter().find(|(_, c)| **c == caption);
        let far = far.and_then(|(p, _)| placement.pipes.get(*world.by_piece.get(p)?));
        if let Some(end) = far.and_then(|p| p.path.first()) {
            label.at = end.point();
            placement.labels.push(label);
            continue;
        }
        let first = named.stretches.first();
        let on_pipe = first.map(|(a, b)| a.point().midpoint(b.point()));
        if let Some(at) = on_pipe.or(named.hull.first().copied()) {
            label.at = at;
            placement.labels.push(label);
        }
    }
}

/// The captions of what stands in a placement.
fn standing(placement: &Placement, world: &World<'_>) -> BTreeSet<usize> {
    let World {
        net,
        captions,
        figures,
        ..
    } = *world;
    let pieces = placement.pipes.iter().map(|p| &p.piece);
    let pieces = pieces.filter_map(|p| captions.pieces.get(p));
    let ends = placement.pipes.iter().map(|p| &p.piece);
    let rooms = ends.filter_map(|p| captions.rooms.get(p)).copied();
    let ends = placement.pipes.iter().filter_map(|p| net.to(p.piece));
    let vents = ends.filter(|j| matches!(net.graph[*j].kind, JointKind::VentJoint(_)));
    let joints = placement.joints.iter().copied().chain(vents);
    let joints = joints.filter_map(|j| captions.joints.get(&j));
    let symbols = placement.symbols.iter();
    let symbols = symbols.filter_map(|s| figures.caption(s.symbol, captions));
    pieces
        .chain(joints)
        .copied()
        .chain(symbols)
        .chain(rooms)
        .collect()
}

/// What the lines of a label cover, with a little clear paper.
pub fn covers(caption: &Caption, at: Point, slant: Slant, flush: Flush) -> Vec<Outline> {
    const CLEAR: f64 = 0.3;
    let (over, under) = (caption.rise() + CLEAR, caption.sink() + CLEAR);
    lines(caption, (at, slant, flush), (CLEAR, over), |_| under)
}

/// The ink of a label's lines, with no clear paper: what reaches under a line's foot counts only
/// where a letter does.
fn ink(caption: &Caption, at: Point, slant: Slant, flush: Flush) -> Vec<Outline> {
    let over = caption.em * assets::CAP;
    let sinks = |i: usize| caption.lines.get(i).is_some_and(|l| l.contains(SINKING));
    let under = |i| if sinks(i) { caption.sink() } else { 0.0 };
    lines(caption, (at, slant, flush), (0.0, over), under)
}

/// Letters that reach under the foot of their line.
const SINKING: [char; 11] = ['@', '/', ',', ';', '(', 'g', 'j', 'p', 'q', 'y', 'Q'];

/// The lines of a label, so much longer at both ends and so high over the foot of each, and so deep
/// under it.
fn lines(
    caption: &Caption,
    (at, slant, flush): (Point, Slant, Flush),
    (aside, over): (f64, f64),
    under: impl Fn(usize) -> f64,
) -> Vec<Outline> {
    let (c, s) = slant.cos_sin();
    let (read, down) = (Vec2::new(c, s), Vec2::new(-s, c));
    caption
        .widths
        .iter()
        .enumerate()
        .map(|(i, w)| {
            let base = at
                + down * (caption.pitch() * i as f64)
                + read * lettering::indent(caption, i, flush);
            let (l, r) = (-aside, w + aside);
            let (t, b) = (-over, under(i));
            let p = |x: f64, y: f64| base + read * x + down * y;
            Outline::new(vec![p(l, t), p(r, t), p(r, b), p(l, b)], Cover::Solid)
        })
        .collect()
}
