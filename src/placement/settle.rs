//! The last look at the lettering: a label that still touches something, where a bare vent passes
//! it, say, is moved along or beside what it names, then out on a leader, then to a keyed note.
//! Nothing is dropped, and nothing else is moved.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::{Point, Rect, Vec2};

use super::assemble::{PlacedPipe, Placement};
use super::block::{Flush, PlacedLabel};
use super::figures::Figures;
use super::lettering;
use super::outline::{Cover, Outline};
use crate::captions::{Caption, Captions, lettered_run};
use crate::network::{Network, PieceIx};
use crate::projection::{Space, Way};
use crate::sheets::Slant;

/// Side of a cell of the search grid, mm.
const CELL: f64 = 15.0;
/// Longest leader, mm.
const LONGEST_LEADER: f64 = 60.0;

/// What a stretch of paper is covered by.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Owner {
    Pipe(PieceIx),
    Symbol(usize),
    Label(usize),
    Mark,
    /// Words of a floor's mark.
    Floor(usize),
    Leader(usize),
}

struct Cells {
    shapes: Vec<(Outline, Owner)>,
    grid: BTreeMap<(i32, i32), Vec<usize>>,
}

impl Cells {
    fn add(&mut self, outline: Outline, owner: Owner) {
        let index = self.shapes.len();
        for cell in cells(outline.bounds()) {
            self.grid.entry(cell).or_default().push(index);
        }
        self.shapes.push((outline, owner));
    }
    fn free(&self, outline: &Outline, skip: impl Fn(Owner) -> bool) -> bool {
        for cell in cells(outline.bounds()) {
            for &i in self.grid.get(&cell).map_or(&[][..], Vec::as_slice) {
                let (o, owner) = &self.shapes[i];
                if !skip(*owner) && o.meets(outline) {
                    return false;
                }
            }
        }
        true
    }
}

fn cells(r: Rect) -> impl Iterator<Item = (i32, i32)> {
    let (x0, x1) = ((r.x0 / CELL).floor() as i32, (r.x1 / CELL).floor() as i32);
    let (y0, y1) = ((r.y0 / CELL).floor() as i32, (r.y1 / CELL).floor() as i32);
    (x0..=x1).flat_map(move |x| (y0..=y1).map(move |y| (x, y)))
}

/// A label in one form: where it starts, its slant, what each of its lines covers, its leader.
struct Form {
    at: Point,
    slant: Slant,
    flush: Flush,
    covers: Vec<Outline>,
    leader: Option<(Point, Point)>,
}

/// Moves every label that touches something. `bounds` is the paper that leaders may reach into.
pub fn settle(placement: &mut Placement, net: &Network, captions: &Captions, figures: &Figures) {
    let mut cells = Cells {
        shapes: Vec::new(),
        grid: BTreeMap::new(),
    };
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
    for m in &placement.marks {
        let half = super::grow::MARK_HALF;
        let (x, y) = (
            crate::projection::COS30 * half,
            crate::projection::SIN30 * half,
        );
        let corners = [(-x, 0.0), (0.0, -y), (x, 0.0), (0.0, y)];
        let corners = corners.map(|c| m.at + Vec2::from(c)).to_vec();
        cells.add(Outline::new(corners, Cover::Solid), Owner::Mark);
    }
    for (i, s) in placement.symbols.iter().enumerate() {
        let hull: Vec<Point> = figures
            .drawn(s.symbol, s.way)
            .hull
            .iter()
            .map(|p| *p + s.at.to_vec2())
            .collect();
        cells.add(Outline::new(hull, Cover::Solid), Owner::Symbol(i));
    }
    for (i, m) in placement.marks.iter().enumerate() {
        let index = m
            .floor
            .map_or(captions.floors.len().saturating_sub(1), |f| f.0);
        if let Some(caption) = captions.floors.get(index) {
            for o in covers(caption, m.text_at, m.slant, Flush::Left) {
                cells.add(o, Owner::Floor(i));
            }
        }
    }
    let pieces: BTreeMap<usize, PieceIx> = captions.pieces.iter().map(|(p, c)| (*c, *p)).collect();
    let mut pipes: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (i, p) in placement.pipes.iter().enumerate() {
        let run = lettered_run(net, p.piece);
        let id = net.graph[p.piece].id.clone();
        if run != id {
            pipes.entry(id).or_default().push(i);
        }
        pipes.entry(run).or_default().push(i);
    }
    let mut symbols: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (i, s) in placement.symbols.iter().enumerate() {
        symbols
            .entry(figures.all[s.symbol].id.clone())
            .or_default()
            .push(i);
    }
    let by_piece = placement
        .pipes
        .iter()
        .enumerate()
        .map(|(i, p)| (p.piece, i))
        .collect();
    let world = World {
        net,
        captions,
        figures,
        pieces: &pieces,
        by_piece,
        pipes,
        symbols,
    };
    // A caption that found no place while the drawing grew is set now: nothing is dropped.
    let set: BTreeSet<usize> = placement.labels.iter().map(|l| l.caption).collect();
    let size = |c: usize| {
        captions.all[c]
            .lines
            .join(" ")
            .split(" ·")
            .next()
            .map(str::to_owned)
    };
    let here = standing(placement, captions, figures);
    for caption in here.into_iter().filter(|c| !set.contains(c)) {
        // But the short pieces of a stack between branches of one floor, whose size the stack
        // says elsewhere: beside them the words would be read as the next piece's.
        let names = &captions.all[caption].names;
        let of_stack = pieces
            .get(&caption)
            .is_some_and(|p| net.is_stack(net.graph[*p].run));
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
        let on_pipe = named
            .stretches
            .first()
            .map(|(a, b)| a.point().midpoint(b.point()));
        if let Some(at) = on_pipe.or(named.hull.first().copied()) {
            label.at = at;
            placement.labels.push(label);
        }
    }
    for (i, l) in placement.labels.iter().enumerate() {
        for o in covers(&captions.all[l.caption], l.at, l.slant, l.flush) {
            cells.add(o, Owner::Label(i));
        }
    }
    for i in 0..placement.labels.len() {
        let label = placement.labels[i].clone();
        let own = covers(
            &captions.all[label.caption],
            label.at,
            label.slant,
            label.flush,
        );
        let skip = |o: Owner| o == Owner::Label(i);
        let touched = own.iter().any(|o| !cells.free(o, skip));
        let near = world.near(placement, &label, &own);
        if !touched && near {
            continue;
        }
        let Some(form) = world.place(placement, &cells, i, &label) else {
            continue;
        };
        // What it covered is free again; what it covers now is taken.
        for (o, owner) in &mut cells.shapes {
            if *owner == Owner::Label(i) {
                *o = Outline::new(vec![Point::new(1e9, 1e9); 3], Cover::Solid);
            }
        }
        for o in &form.covers {
            cells.add(o.clone(), Owner::Label(i));
        }
        if let Some((a, b)) = form.leader {
            cells.add(line(a, b, 0.1), Owner::Leader(i));
        }
        placement.labels[i] = PlacedLabel {
            caption: label.caption,
            at: form.at,
            slant: form.slant,
            flush: form.flush,
            leader: form.leader,
        };
    }
    for i in 0..placement.marks.len() {
        settle_mark(placement, captions, &mut cells, i);
    }
    for l in &placement.labels {
        for o in covers(&captions.all[l.caption], l.at, l.slant, l.flush) {
            placement.bounds = placement.bounds.union(o.bounds());
        }
    }
}

/// The captions of what stands in a placement.
fn standing(placement: &Placement, captions: &Captions, figures: &Figures) -> BTreeSet<usize> {
    let pieces = placement.pipes.iter().map(|p| &p.piece);
    let pieces = pieces.filter_map(|p| captions.pieces.get(p));
    let joints = placement.joints.iter();
    let joints = joints.filter_map(|j| captions.joints.get(j));
    let symbols = placement.symbols.iter();
    let symbols = symbols.filter_map(|s| figures.caption(s.symbol, captions));
    pieces.chain(joints).copied().chain(symbols).collect()
}

/// Moves the words of a floor's mark that touch something to another place beside the mark.
fn settle_mark(placement: &mut Placement, captions: &Captions, cells: &mut Cells, i: usize) {
    let m = placement.marks[i].clone();
    let index = m
        .floor
        .map_or(captions.floors.len().saturating_sub(1), |f| f.0);
    let Some(caption) = captions.floors.get(index) else {
        return;
    };
    let skip = |o: Owner| o == Owner::Floor(i);
    let free = |at: Point, slant: Slant, cells: &Cells| {
        covers(caption, at, slant, Flush::Left)
            .iter()
            .all(|o| cells.free(o, skip))
    };
    if free(m.text_at, m.slant, cells) {
        return;
    }
    let (w, h) = (caption.width(), caption.height());
    let mut tries: Vec<(f64, f64)> = Vec::new();
    for out in [5.6, 9.0, 13.0] {
        for up in [0.4, -h - 0.6, h * 0.5, -h * 1.5, -h * 0.5, h, -h * 2.0] {
            tries.push((out, -h - up));
            tries.push((-out - w, -h - up));
        }
    }
    for (x, y) in tries {
        let at = m.at + Vec2::new(x, y + caption.rise());
        if free(at, Slant::Level, cells) {
            for (o, owner) in &mut cells.shapes {
                if *owner == Owner::Floor(i) {
                    *o = Outline::new(vec![Point::new(1e9, 1e9); 3], Cover::Solid);
                }
            }
            for o in covers(caption, at, Slant::Level, Flush::Left) {
                placement.bounds = placement.bounds.union(o.bounds());
                cells.add(o, Owner::Floor(i));
            }
            placement.marks[i].text_at = at;
            placement.marks[i].slant = Slant::Level;
            return;
        }
    }
}

struct World<'a> {
    net: &'a Network,
    captions: &'a Captions,
    figures: &'a Figures,
    pieces: &'a BTreeMap<usize, PieceIx>,
    /// Placed pipe of each piece.
    by_piece: BTreeMap<PieceIx, usize>,
    /// Placed pipes by id and by lettered run.
    pipes: BTreeMap<String, Vec<usize>>,
    /// Placed symbols by id.
    symbols: BTreeMap<String, Vec<usize>>,
}

/// What a label names: stretches of pipe, and the hull of a symbol.
struct Named {
    stretches: Vec<(Space, Space)>,
    hull: Vec<Point>,
}

impl World<'_> {
    fn named(&self, placement: &Placement, label: &PlacedLabel) -> Named {
        let caption = &self.captions.all[label.caption];
        // Words that stand by a symbol stay there, and do not wander along its pipes.
        let symbols = self
            .symbols
            .get(&caption.names)
            .map_or(&[][..], Vec::as_slice);
        let is_own = |i: &&usize| {
            let figure = placement.symbols[**i].symbol;
            self.figures.caption(figure, self.captions) == Some(label.caption)
        };
        if let Some(&i) = symbols.iter().find(is_own) {
            return self.symbol_named(placement, i);
        }
        let own = self
            .pieces
            .get(&label.caption)
            .and_then(|p| self.by_piece.get(p));
        let named = self.pipes.get(&caption.names);
        let pipes: &[usize] = match own {
            Some(i) => std::slice::from_ref(i),
            None => named.map_or(&[], Vec::as_slice),
        };
        let mut stretches = Vec::new();
        for &i in pipes {
            stretches.extend(placement.pipes[i].path.windows(2).map(|w| (w[0], w[1])));
        }
        let mut hull = Vec::new();
        if stretches.is_empty() {
            for &i in self
                .symbols
                .get(&caption.names)
                .map_or(&[][..], Vec::as_slice)
            {
                let s = &placement.symbols[i];
                let drawn = self.figures.drawn(s.symbol, s.way);
                hull.extend(drawn.hull.iter().map(|p| *p + s.at.to_vec2()));
            }
        }
        Named { stretches, hull }
    }

    /// The pipe that ends at a fixture; any other symbol itself.
    fn symbol_named(&self, placement: &Placement, i: usize) -> Named {
        let s = &placement.symbols[i];
        let figure = &self.figures.all[s.symbol];
        let ends = |p: &&PlacedPipe| {
            figure.stands.is_trap_of(self.net) && self.net.from(p.piece) == Some(figure.joint)
        };
        let arm = placement.pipes.iter().find(ends);
        let last = arm.and_then(|p| p.path.windows(2).last());
        let drawn = self.figures.drawn(s.symbol, s.way);
        let hull = drawn.hull.iter().map(|p| *p + s.at.to_vec2());
        Named {
            stretches: last.map(|w| (w[0], w[1])).into_iter().collect(),
            hull: hull.filter(|_| last.is_none()).collect(),
        }
    }

    /// Whether a label stands near enough to what it names to need no leader.
    fn near(&self, placement: &Placement, label: &PlacedLabel, own: &[Outline]) -> bool {
        let named = self.named(placement, label);
        let lines: Vec<(Point, Point)> = named
            .stretches
            .iter()
            .map(|(a, b)| (a.point(), b.point()))
            .collect();
        own.iter().any(|o| {
            let mut all = lines
                .iter()
                .map(|(a, b)| distance(o, *a, *b))
                .collect::<Vec<_>>();
            for i in 0..named.hull.len() {
                all.push(distance(
                    o,
                    named.hull[i],
                    named.hull[(i + 1) % named.hull.len()],
                ));
            }
            all.into_iter().any(|d| d < 3.6)
        })
    }

    fn place(
        &self,
        placement: &Placement,
        cells: &Cells,
        i: usize,
        label: &PlacedLabel,
    ) -> Option<Form> {
        let caption = &self.captions.all[label.caption];
        let named = self.named(placement, label);
        let skip = |o: Owner| o == Owner::Label(i);
        let mut forms = Vec::new();
        if caption.lines.len() == 1 {
            for (a, b) in &named.stretches {
                self.along(caption, *a, *b, &mut forms);
            }
        }
        let lines: Vec<(Point, Point)> = named
            .stretches
            .iter()
            .map(|(a, b)| (a.point(), b.point()))
            .collect();
        for (a, b) in split(&lines) {
            let host = lettering::Host {
                lines: &[(a, b)],
                hull: &[],
            };
            for (at, flush, _, _) in lettering::beside(caption, &host, |_, _| {}, 24) {
                forms.push(Form {
                    at,
                    slant: Slant::Level,
                    flush,
                    covers: covers(caption, at, Slant::Level, flush),
                    leader: None,
                });
            }
        }
        if !named.hull.is_empty() {
            let host = lettering::Host {
                lines: &[],
                hull: &named.hull,
            };
            for (at, flush, _, _) in lettering::beside(caption, &host, |_, _| {}, 40) {
                forms.push(Form {
                    at,
                    slant: Slant::Level,
                    flush,
                    covers: covers(caption, at, Slant::Level, flush),
                    leader: None,
                });
            }
        }
        // Nearest to where it stood first.
        forms.sort_by(|x, y| {
            (x.at - label.at)
                .hypot()
                .total_cmp(&(y.at - label.at).hypot())
        });
        if let Some(k) = forms
            .iter()
            .position(|f| f.covers.iter().all(|o| cells.free(o, skip)))
        {
            return Some(forms.swap_remove(k));
        }
        self.on_leader(caption, &named, cells, i)
    }

    /// Forms along one stretch, both sides, in steps.
    fn along(&self, caption: &Caption, a: Space, b: Space, forms: &mut Vec<Form>) {
        let (pa, pb) = (a.point(), b.point());
        let length = (pb - pa).hypot();
        let Some(way) = way_between(a, b) else { return };
        let room = length - caption.width();
        if room < -2.0 {
            return;
        }
        let steps = (room.max(0.0) / 2.0).floor() as usize;
        for k in 0..=steps {
            for left in [true, false] {
                let (start, slant, _) = lettering::along(caption, way, left);
                let at = start
                    + (pa.to_vec2() + way.paper() * (k as f64 * 2.0 + room.clamp(0.0, 1.0) * 0.5));
                forms.push(Form {
                    at,
                    slant,
                    flush: Flush::Left,
                    covers: covers(caption, at, slant, Flush::Left),
                    leader: None,
                });
            }
        }
    }

    /// A level label at the end of a short leader.
    fn on_leader(&self, caption: &Caption, named: &Named, cells: &Cells, i: usize) -> Option<Form> {
        let skip = |o: Owner| o == Owner::Label(i);
        let mut ends: Vec<Point> = Vec::new();
        for (a, b) in &named.stretches {
            for t in [0.5, 0.25, 0.75, 0.1, 0.9, 0.4, 0.6] {
                ends.push(a.point().lerp(b.point(), t));
            }
        }
        if !named.hull.is_empty() {
            ends.extend(named.hull.iter().copied());
        }
        let (w, h) = (caption.width(), caption.height());
        let mut radius = 6.0;
        while radius <= LONGEST_LEADER {
            for end in &ends {
                for d in COMPASS {
                    let elbow = *end + Vec2::new(d.0, d.1) * radius;
                    // The label hangs on the leader's far end by the side that faces it.
                    let x0 = if d.0 < 0.0 {
                        elbow.x - w - 0.8
                    } else {
                        elbow.x + 0.8
                    };
                    let y0 = elbow.y - h / 2.0;
                    let at = Point::new(x0, y0 + caption.rise());
                    let flush = if d.0 < 0.0 { Flush::Right } else { Flush::Left };
                    let own = covers(caption, at, Slant::Level, flush);
                    let leader = line(elbow, end.lerp(elbow, 0.8 / radius), 0.12);
                    let names = |o: Owner| match o {
                        Owner::Pipe(p) => named_pipe(self, caption, p),
                        Owner::Symbol(_) => !named.hull.is_empty(),
                        _ => o == Owner::Label(i),
                    };
                    if own.iter().all(|o| cells.free(o, skip)) && cells.free(&leader, names) {
                        return Some(Form {
                            at,
                            slant: Slant::Level,
                            flush,
                            covers: own,
                            leader: Some((elbow, *end)),
                        });
                    }
                }
            }
            radius += 3.0;
        }
        None
    }
}

fn named_pipe(world: &World<'_>, caption: &Caption, piece: PieceIx) -> bool {
    lettered_run(world.net, piece) == caption.names || world.net.graph[piece].id == caption.names
}

/// Directions of leaders: those that read best first, then those between.
const COMPASS: [(f64, f64); 24] = [
    (0.866, -0.5),
    (-0.866, -0.5),
    (0.866, 0.5),
    (-0.866, 0.5),
    (0.5, -0.866),
    (-0.5, -0.866),
    (0.5, 0.866),
    (-0.5, 0.866),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.02, -1.0),
    (0.02, 1.0),
    (0.966, -0.259),
    (-0.966, -0.259),
    (0.966, 0.259),
    (-0.966, 0.259),
    (0.707, -0.707),
    (-0.707, -0.707),
    (0.707, 0.707),
    (-0.707, 0.707),
    (0.259, -0.966),
    (-0.259, -0.966),
    (0.259, 0.966),
    (-0.259, 0.966),
];

/// Long stretches in parts, so that places are tried all along them.
fn split(lines: &[(Point, Point)]) -> Vec<(Point, Point)> {
    let mut out = Vec::new();
    for (a, b) in lines {
        let n = (((*b - *a).hypot() / 12.0).ceil().max(1.0) as usize).min(12);
        for i in 0..n {
            out.push((
                a.lerp(*b, i as f64 / n as f64),
                a.lerp(*b, (i + 1) as f64 / n as f64),
            ));
        }
    }
    out
}

/// The way from one place to another, if pipes can run so.
fn way_between(a: Space, b: Space) -> Option<Way> {
    let d = b - a;
    let sign = |v: f64| {
        if v > 1e-6 {
            1
        } else if v < -1e-6 {
            -1
        } else {
            0
        }
    };
    Way::of_signs(sign(d.x), sign(d.y), sign(d.z))
}

/// What the lines of a label cover, with a little clear paper.
pub fn covers(caption: &Caption, at: Point, slant: Slant, flush: Flush) -> Vec<Outline> {
    const CLEAR: f64 = 0.3;
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
            let (l, r) = (-CLEAR, w + CLEAR);
            let (t, b) = (-caption.rise() - CLEAR, caption.sink() + CLEAR);
            let p = |x: f64, y: f64| base + read * x + down * y;
            Outline::new(vec![p(l, t), p(r, t), p(r, b), p(l, b)], Cover::Solid)
        })
        .collect()
}

/// A line of some half width.
fn line(a: Point, b: Point, half: f64) -> Outline {
    let u = (b - a) * (1.0 / (b - a).hypot().max(1e-9));
    let n = Vec2::new(-u.y, u.x) * half;
    Outline::new(vec![a - n, b - n, b + n, a + n], Cover::Solid)
}

/// Distance of a convex outline from a straight line; nought where they meet.
fn distance(o: &Outline, a: Point, b: Point) -> f64 {
    if o.meets(&Outline::new(vec![a, b], Cover::Solid)) {
        return 0.0;
    }
    // Clear of each other, the nearest two places are a corner of one and a side of the other.
    let mut least = f64::INFINITY;
    let next = o.corners().cycle().skip(1);
    for (q, r) in o.corners().zip(next) {
        least = least
            .min(from_line(q, a, b))
            .min(from_line(a, q, r))
            .min(from_line(b, q, r));
    }
    least.sqrt()
}

/// Square of the distance of a point from a straight line.
fn from_line(p: Point, a: Point, b: Point) -> f64 {
    let d = b - a;
    let t = ((p - a).dot(d) / d.hypot2().max(1e-12)).clamp(0.0, 1.0);
    (a + d * t - p).hypot2()
}
