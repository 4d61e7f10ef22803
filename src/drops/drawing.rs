//! A plan of each floor with its holes, to scale.

use std::collections::BTreeMap;

use kurbo::{BezPath, Circle, Line, Point, Rect, Shape as _};

use super::labels::{Ground, Placed, Tag, place, spread};
use super::tables::{at, holes, others};
use super::{Axis, Drops, Hole, Joists, Level, RefLine};
use crate::assets;
use crate::placement::Scale;
use crate::sheets::{
    Anchor, DrawingKind, Grey, Inputs, Item, Role, Say, ScaledDrawing, Shape, Slant, Stroke, Table,
    Text, Weight, layout, with_room_for_tables,
};
use crate::units::{Length, Printer};

/// Capital height of all lettering, mm.
const CAP: f64 = 2.5;
/// From one line of lettering to the next, mm.
const PITCH: f64 = 4.1;
/// No hole is drawn smaller, mm.
const LEAST_RADIUS: f64 = 1.2;
/// A crosshair reaches so far beyond its circle, mm.
const HAIR: f64 = 0.9;
/// Room beside the plan on the left and above it: names of lines, numbers of joists; mm.
const BEFORE: f64 = 17.0;
/// Clear paper round the outermost holes, mm.
const ROUND: f64 = 9.0;
/// From the plan to the figures of its ordinates, mm.
const JOG: f64 = 6.0;
/// Colour of thin lines: no paler than mid-grey.
const SOFT: Grey = Grey(110);
/// No plan is drawn larger: half an inch to the foot, or 1:20.
const LARGEST: f64 = 1.0 / 20.0;
/// For its table's sake a plan is drawn smaller by no more than this.
const SMALLER: f64 = 2.0;
/// More joists than this are not drawn one by one.
const MOST_JOISTS: usize = 400;

/// Names of the tables beside the first drawings: ids of panels stand once in a set. Holes of
/// further drawings stand together in one table.
const BESIDE: [&str; 12] = [
    "holes-1", "holes-2", "holes-3", "holes-4", "holes-5", "holes-6", "holes-7", "holes-8",
    "holes-9", "holes-10", "holes-11", "holes-12",
];

/// Levels whose holes are the same, one above the other, the lowest first.
pub fn alike(drops: &Drops) -> Vec<Vec<Level>> {
    let mut groups: Vec<Vec<Level>> = Vec::new();
    for level in drops.levels() {
        let same = groups
            .last()
            .and_then(|g| g.first())
            .is_some_and(|first| same(drops, *first, level));
        match groups.last_mut().filter(|_| same) {
            Some(group) => group.push(level),
            None => groups.push(vec![level]),
        }
    }
    groups
}

fn same(drops: &Drops, a: Level, b: Level) -> bool {
    if (a == Level::Roof) != (b == Level::Roof) {
        return false;
    }
    let (a, b) = (at(drops, a), at(drops, b));
    a.len() == b.len()
        && a.iter().zip(&b).all(|(a, b)| {
            short(&a.tag) == short(&b.tag)
                && a.at == b.at
                && a.bored == b.bored
                && a.member == b.member
                && a.joists == b.joists
        })
}

/// A tag without the floor that a copy's name ends in: it is the sheet's.
fn short(tag: &str) -> String {
    let Some((own, place)) = tag.split_once('@') else {
        return tag.to_owned();
    };
    let (place, part) = match place.split_once('.') {
        Some((place, part)) => (place, format!(".{part}")),
        None => (place, String::new()),
    };
    let place = place.rsplit_once('-').map_or(place, |p| p.0);
    format!("{own}@{place}{part}")
}

/// The plans, each with its table, and the tables that belong to none.
pub fn drawings(set: &Inputs<'_>, drops: &Drops, say: &Say) -> (Vec<ScaledDrawing>, Vec<Table>) {
    let mut plans = Vec::new();
    let mut rest: Vec<&Hole> = Vec::new();
    for group in alike(drops) {
        let Some(&level) = group.first() else {
            continue;
        };
        let all = at(drops, level);
        let title = called(drops, &group);
        let name = BESIDE.get(plans.len()).copied();
        let table = name.map(|n| {
            let shorter: Vec<Hole> = all.iter().map(|h| named(h, group.len())).collect();
            let some: Vec<&Hole> = shorter.iter().collect();
            holes(drops, &some, (n, format!("Holes, {title}"), false), say)
        });
        let here: Vec<&Hole> = all.iter().copied().filter(|h| h.at.is_ok()).collect();
        let plan = Plan::of(set, drops, &here, group.len() > 1);
        let drawn = plan.and_then(|plan| {
            // A smaller scale is no use where tags find no room at it.
            let first = plan.scales().next().map(|s| plan.untagged(s));
            let serves = |s: &Scale| Some(plan.untagged(*s)) <= first;
            let made = plan.scales().filter(serves).map(|scale| ScaledDrawing {
                title: format!("DROPS: {}", title.to_uppercase()),
                shows: format!("{} holes", here.len()),
                kind: DrawingKind::Plan,
                scale,
                items: plan.items(scale),
                north: Some((0.0, -1.0)),
                tables: table.iter().cloned().collect(),
            });
            with_room_for_tables(set, made)
        });
        match drawn {
            Some(drawing) => {
                if drawing.tables.is_empty() {
                    rest.extend(&all);
                }
                plans.push(drawing);
            }
            None => rest.extend(&all),
        }
    }
    let mut tables = Vec::new();
    if !rest.is_empty() {
        let title = match plans.is_empty() {
            true => "Holes",
            false => "Other holes",
        };
        tables.push(holes(drops, &rest, ("holes", title.to_owned(), true), say));
    }
    tables.extend(others(drops, say));
    (plans, tables)
}

/// A hole as a sheet of several floors names it.
fn named(hole: &Hole, floors: usize) -> Hole {
    let mut hole = hole.clone();
    if floors > 1 {
        hole.tag = short(&hole.tag);
    }
    hole
}

fn called(drops: &Drops, group: &[Level]) -> String {
    let name = |l: &Level| drops.called(*l).to_owned();
    match group {
        [one] => name(one),
        [first, .., last] => format!("{} to {}", name(first), name(last)),
        [] => String::new(),
    }
}

/// A plan before its scale is chosen.
struct Plan<'a> {
    drops: &'a Drops,
    holes: Vec<&'a Hole>,
    joists: Option<&'a Joists>,
    print: Printer,
    field: Rect,
    /// What it shows: least east and north, most east and north.
    from: (Length, Length),
    to: (Length, Length),
    /// Room for the figures of the ordinates to the right and below, mm.
    figures: (f64, f64),
    /// Whether it stands for several floors, so that names leave theirs out.
    several: bool,
}

impl<'a> Plan<'a> {
    fn of(
        set: &Inputs<'_>,
        drops: &'a Drops,
        holes: &[&'a Hole],
        several: bool,
    ) -> Option<Plan<'a>> {
        let points: Vec<(Length, Length)> = holes
            .iter()
            .filter_map(|h| h.at.as_ref().ok().copied())
            .collect();
        let &first = points.first()?;
        let line = |axis: Axis| {
            let lines = drops.lines.iter().filter(move |l| l.axis == axis);
            lines.map(|l| l.at)
        };
        let east = || points.iter().map(|p| p.0).chain(line(Axis::East));
        let north = || points.iter().map(|p| p.1).chain(line(Axis::North));
        let from = (
            east().fold(first.0, Length::min),
            north().fold(first.1, Length::min),
        );
        let to = (
            east().fold(first.0, Length::max),
            north().fold(first.1, Length::max),
        );
        let print = Printer {
            units: set.job.units,
        };
        let wide = |l: Length| width(&print.length(l), Weight::Regular) + JOG + 2.0;
        let offsets = holes.iter().filter_map(|h| drops.from_lines(h));
        let figures = offsets.fold((0.0f64, 0.0f64), |f, o| {
            (f.0.max(wide(o.1)), f.1.max(wide(o.0)))
        });
        Some(Plan {
            drops,
            holes: holes.to_vec(),
            joists: holes.iter().find_map(|h| h.joists.as_ref()),
            print,
            field: layout(set.paper).field,
            from,
            to,
            figures,
            several,
        })
    }

    /// The scales at which it fits its field, largest first.
    fn scales(&self) -> impl Iterator<Item = Scale> + use<> {
        let size = (self.to.0 - self.from.0, self.to.1 - self.from.1);
        let room = (
            self.field.width() - BEFORE - 2.0 * ROUND - self.figures.0,
            self.field.height() - BEFORE - 2.0 * ROUND - self.figures.1,
        );
        let units = self.print.units;
        let fitting = Scale::fitting(units, size, room).filter(|s| s.ratio <= LARGEST + 1e-9);
        // Rather than a small plan beside its table, a large one, and the table on a sheet of its own.
        let mut largest = None;
        fitting.take_while(move |s| {
            let most = *largest.get_or_insert(s.ratio);
            s.ratio >= most / SMALLER - 1e-9
        })
    }

    /// How many holes have no room for their tag at a scale.
    fn untagged(&self, scale: Scale) -> usize {
        let is = |i: &&Item| i.role == Role::Mark && i.id.starts_with("hole.");
        self.items(scale).iter().filter(is).count()
    }

    fn items(&self, scale: Scale) -> Vec<Item> {
        let origin = Point::new(
            self.field.x0 + BEFORE + ROUND,
            self.field.y0 + BEFORE + ROUND,
        );
        let high = (self.to.1 - self.from.1).mm() * scale.ratio;
        let wide = (self.to.0 - self.from.0).mm() * scale.ratio;
        let view = View {
            plan: self,
            scale,
            origin,
            plot: Rect::new(
                origin.x - ROUND,
                origin.y - ROUND,
                origin.x + wide + ROUND,
                origin.y + high + ROUND,
            ),
        };
        view.items()
    }
}

/// A plan at a scale.
struct View<'a> {
    plan: &'a Plan<'a>,
    scale: Scale,
    /// Paper place of the least east and the most north.
    origin: Point,
    /// The box of the plan, without its margins.
    plot: Rect,
}

impl View<'_> {
    fn x(&self, east: Length) -> f64 {
        self.origin.x + (east - self.plan.from.0).mm() * self.scale.ratio
    }
    fn y(&self, north: Length) -> f64 {
        self.origin.y + (self.plan.to.1 - north).mm() * self.scale.ratio
    }

    fn items(&self) -> Vec<Item> {
        let mut ground = Ground {
            paper: Rect::new(
                self.plot.x0,
                self.plot.y0,
                self.plot.x1 + self.plan.figures.0 - JOG,
                self.plot.y1,
            ),
            ..Ground::default()
        };
        let mut items = Vec::new();
        items.extend(self.joists(&mut ground));
        items.extend(self.lines(&mut ground));
        let groups = self.groups();
        items.extend(self.ordinates(Axis::East, &mut ground));
        items.extend(self.ordinates(Axis::North, &mut ground));
        let boxes: Vec<(Rect, Vec<String>)> = groups.iter().map(|g| self.tag(g)).collect();
        let tags: Vec<Tag> = boxes
            .iter()
            .map(|(hole, lines)| {
                let wide = lines
                    .iter()
                    .map(|l| width(l, Weight::Bold))
                    .fold(0.0, f64::max);
                let em = assets::em_for_cap(CAP);
                let high = em * 0.96 + PITCH * lines.len().saturating_sub(1) as f64;
                Tag {
                    hole: *hole,
                    size: (wide + 0.2, high),
                    several: lines.len() > 1,
                }
            })
            .collect();
        let places = place(&mut ground, &tags);
        for ((group, (_, lines)), placed) in groups.iter().zip(&boxes).zip(places) {
            let id = self.id(group);
            items.push(self.holes(group, &id, placed.is_some()));
            if let Some(placed) = placed {
                items.extend(label(&id, lines, &placed));
            }
        }
        items
    }

    fn id(&self, group: &[usize]) -> String {
        let first = group.first().and_then(|i| self.plan.holes.get(*i));
        first.map_or(String::new(), |h| format!("hole.{}", h.tag))
    }

    fn centre(&self, hole: &Hole) -> Point {
        let at = hole.at.as_ref().copied().unwrap_or_default();
        Point::new(self.x(at.0), self.y(at.1))
    }

    fn radius(&self, hole: &Hole) -> f64 {
        let bored = hole.bored.map_or(0.0, |b| b.mm() * self.scale.ratio / 2.0);
        bored.max(LEAST_RADIUS)
    }

    fn hull(&self, hole: &Hole) -> Rect {
        let r = self.radius(hole) + HAIR;
        Rect::from_center_size(self.centre(hole), (2.0 * r, 2.0 * r))
    }

    /// Holes whose symbols would touch, together.
    fn groups(&self) -> Vec<Vec<usize>> {
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for (i, hole) in self.plan.holes.iter().enumerate() {
            let own = self.hull(hole).inflate(0.2, 0.2);
            let touches = |g: &Vec<usize>| {
                g.iter().any(|j| {
                    let both = self.hull(self.plan.holes[*j]).intersect(own);
                    both.width() > 0.0 && both.height() > 0.0
                })
            };
            let (mut with, apart): (Vec<_>, Vec<_>) = groups.into_iter().partition(touches);
            groups = apart;
            let mut joined: Vec<usize> = with.drain(..).flatten().collect();
            joined.push(i);
            joined.sort_unstable();
            groups.push(joined);
        }
        groups.sort();
        groups
    }

    /// The box and the words of a group's tag.
    fn tag(&self, group: &[usize]) -> (Rect, Vec<String>) {
        let holes = group.iter().map(|i| self.plan.holes[*i]);
        let mut boxes = holes.clone().map(|h| self.hull(h));
        let first = boxes.next().unwrap_or_default();
        let words = holes.map(|h| match self.plan.several {
            true => short(&h.tag),
            false => h.tag.clone(),
        });
        (boxes.fold(first, |a, b| a.union(b)), words.collect())
    }

    /// The symbol of a group; a mark where its tag has no room.
    fn holes(&self, group: &[usize], id: &str, tagged: bool) -> Item {
        let mut item = Item {
            role: if tagged { Role::Symbol } else { Role::Mark },
            id: id.to_owned(),
            data: vec![("kind", "hole".to_owned())],
            ..Item::default()
        };
        let mut said = Vec::new();
        for hole in group.iter().map(|i| self.plan.holes[*i]) {
            let (c, r) = (self.centre(hole), self.radius(hole));
            let ring = Circle::new(c, r).to_path(0.01);
            item.shapes.push(stroked(ring, 0.35, &[], Grey::BLACK));
            let reach = r + HAIR;
            let mut cross = BezPath::new();
            cross.move_to((c.x - reach, c.y));
            cross.line_to((c.x + reach, c.y));
            cross.move_to((c.x, c.y - reach));
            cross.line_to((c.x, c.y + reach));
            item.shapes.push(stroked(cross, 0.18, &[], Grey::BLACK));
            let bored = hole
                .bored
                .map(|b| self.plan.print.short(b))
                .unwrap_or_default();
            said.push(format!("{}: {}, hole {bored}", hole.tag, hole.what));
        }
        item.title = Some(said.join("; "));
        item
    }

    /// Middles of the joists that stand within the plan, with their numbers.
    fn joists(&self, ground: &mut Ground) -> Option<Item> {
        let joists = self.plan.joists?;
        let mut item = mark("joist");
        let ratio = self.scale.ratio;
        let (least, most) = match joists.run_east {
            true => (self.plan.from.1, self.plan.to.1),
            false => (self.plan.from.0, self.plan.to.0),
        };
        let round = Length::from_mm((ROUND - 1.0) / ratio);
        let number = |at: Length| (at - joists.first) / joists.spacing;
        let first = number(least - round).ceil().max(0.0) as usize;
        let last = number(most + round).floor();
        if last < first as f64 || last - first as f64 > MOST_JOISTS as f64 {
            return None;
        }
        // Every joist has a number where there is room, else every second, fifth or tenth.
        let apart = joists.spacing.mm() * ratio;
        let each = [1, 2, 5, 10, 50]
            .into_iter()
            .find(|n| apart * f64::from(*n) >= PITCH);
        for k in first..=last as usize {
            let middle = joists.middle(k + 1);
            let line = match joists.run_east {
                true => {
                    let y = self.y(middle);
                    Line::new((self.plot.x0, y), (self.plot.x1, y))
                }
                false => {
                    let x = self.x(middle);
                    Line::new((x, self.plot.y0), (x, self.plot.y1))
                }
            };
            item.shapes.push(drawn(line, 0.18, &[3.0, 1.4], SOFT));
            ground.lines.push((line, 1.2));
            let lettered = each.is_some_and(|n| (k + 1) % n as usize == 0 || k == first && n == 1);
            if !lettered {
                continue;
            }
            let words = (k + 1).to_string();
            let (at, anchor) = match joists.run_east {
                true => (
                    Point::new(line.p0.x - 1.2, line.p0.y + CAP / 2.0),
                    Anchor::End,
                ),
                false => (Point::new(line.p0.x, line.p0.y - 1.2), Anchor::Middle),
            };
            item.texts
                .push(text(&words, at, anchor, Slant::Level, Weight::Regular));
        }
        Some(item)
    }

    /// The lines that are measured from, with their names.
    fn lines(&self, ground: &mut Ground) -> Vec<Item> {
        /// Radius of the ring round a name, mm.
        const RING: f64 = 3.6;
        let mut items = Vec::new();
        let mut stand: Vec<(Axis, f64)> = Vec::new();
        for line in &self.plan.drops.lines {
            let RefLine { axis, at, name, .. } = line;
            let place = match axis {
                Axis::East => self.x(*at),
                Axis::North => self.y(*at),
            };
            // Names of further lines that stand too near to one before are left out.
            let crowded = stand
                .iter()
                .any(|(a, p)| a == axis && (p - place).abs() < 2.0 * RING + 1.0);
            if crowded {
                continue;
            }
            stand.push((*axis, place));
            let mut item = mark("line");
            item.data.push(("for", name.clone()));
            item.title = Some(format!("{name}: {}", line.is));
            let (ends, ring) = match axis {
                Axis::East => {
                    let ring = Point::new(place, self.plan.field.y0 + RING + 1.0);
                    let ends = Line::new((place, ring.y + RING), (place, self.plot.y1));
                    (ends, ring)
                }
                Axis::North => {
                    let ring = Point::new(self.plan.field.x0 + RING + 1.0, place);
                    let ends = Line::new((ring.x + RING, place), (self.plot.x1, place));
                    (ends, ring)
                }
            };
            let wide = width(name, Weight::Bold);
            item.shapes
                .push(drawn(ends, 0.3, &[9.0, 1.6, 1.6, 1.6], Grey::BLACK));
            ground.lines.push((ends, 6.0));
            let circle = Circle::new(ring, RING).to_path(0.01);
            let mut circle = stroked(circle, 0.3, &[], Grey::BLACK);
            circle.fill = Some(Grey::WHITE);
            if wide <= 2.0 * RING - 1.0 {
                item.shapes.push(circle);
            }
            let at = match wide <= 2.0 * RING - 1.0 {
                true => ring + kurbo::Vec2::new(0.0, CAP / 2.0),
                // A long name stands beside its line.
                false => match axis {
                    Axis::East => ring + kurbo::Vec2::new(wide / 2.0 + 1.0, CAP / 2.0),
                    Axis::North => Point::new(self.plan.field.x0 + wide / 2.0, ring.y - 1.0),
                },
            };
            item.texts
                .push(text(name, at, Anchor::Middle, Slant::Level, Weight::Bold));
            items.push(item);
        }
        items
    }

    /// Distances from the first line of a way, at the edge of the plan; none where there are more
    /// than have room there.
    fn ordinates(&self, axis: Axis, ground: &mut Ground) -> Option<Item> {
        // By distance to a tenth of a millimetre, the hole that is nearest to the figures.
        let mut all: BTreeMap<i64, (f64, f64, Length)> = BTreeMap::new();
        for hole in &self.plan.holes {
            let (Some(off), c, r) = (
                self.plan.drops.from_lines(hole),
                self.centre(hole),
                self.radius(hole) + HAIR,
            ) else {
                continue;
            };
            let (place, edge, off) = match axis {
                Axis::East => (c.x, c.y + r, off.0),
                Axis::North => (-c.y, c.x + r, off.1),
            };
            let entry = all
                .entry((off.mm() * 10.0).round() as i64)
                .or_insert((place, edge, off));
            entry.1 = entry.1.max(edge);
        }
        let wanted: Vec<f64> = all.values().map(|v| v.0).collect();
        let room = match axis {
            Axis::East => (self.plot.x0 + CAP, self.plot.x1 - CAP),
            Axis::North => (-self.plot.y1 + CAP, -self.plot.y0 - CAP),
        };
        let places = spread(&wanted, PITCH, room)?;
        let mut item = mark("ordinate");
        for ((place, edge, off), at) in all.values().zip(places) {
            let words = self.plan.print.length(*off);
            let path = |a: f64, b: f64| match axis {
                Axis::East => Point::new(a, b),
                Axis::North => Point::new(b, -a),
            };
            let end = match axis {
                Axis::East => self.plot.y1,
                Axis::North => self.plot.x1,
            };
            let mut line = BezPath::new();
            line.move_to(path(*place, *edge));
            line.line_to(path(*place, end));
            line.line_to(path(at, end + JOG - 2.0));
            line.line_to(path(at, end + JOG - 1.0));
            item.shapes.push(stroked(line, 0.13, &[], SOFT));
            ground
                .lines
                .push((Line::new(path(*place, *edge), path(*place, end)), 4.0));
            let (point, anchor, slant) = match axis {
                Axis::East => (
                    Point::new(at + CAP / 2.0, end + JOG),
                    Anchor::End,
                    Slant::Up90,
                ),
                Axis::North => (
                    Point::new(end + JOG, -at + CAP / 2.0),
                    Anchor::Start,
                    Slant::Level,
                ),
            };
            let words = text(&words, point, anchor, slant, Weight::Regular);
            if axis == Axis::North {
                let wide = width(&words.text, Weight::Regular);
                let r = Rect::new(point.x, point.y - CAP, point.x + wide, point.y);
                ground.taken.push(r.inflate(0.6, 0.6));
            }
            item.texts.push(words);
        }
        Some(item)
    }
}

/// A group's tag, with its leader.
fn label(id: &str, lines: &[String], placed: &Placed) -> Vec<Item> {
    let mut items = Vec::new();
    if let Some(leader) = placed.leader {
        items.push(Item {
            role: Role::Leader,
            data: vec![("for", id.to_owned())],
            shapes: vec![drawn(leader, 0.18, &[], Grey::BLACK)],
            ..Item::default()
        });
    }
    let em = assets::em_for_cap(CAP);
    let first = placed.rect.y0 + em * 0.74;
    let texts = lines.iter().enumerate().map(|(k, line)| {
        let x = match placed.anchor {
            Anchor::Start => placed.rect.x0,
            Anchor::Middle => placed.rect.center().x,
            Anchor::End => placed.rect.x1,
        };
        let at = Point::new(x, first + PITCH * k as f64);
        text(line, at, placed.anchor, Slant::Level, Weight::Bold)
    });
    items.push(Item {
        role: Role::Label,
        data: vec![("for", id.to_owned())],
        texts: texts.collect(),
        ..Item::default()
    });
    items
}

fn mark(kind: &str) -> Item {
    Item {
        role: Role::Mark,
        data: vec![("kind", kind.to_owned())],
        ..Item::default()
    }
}

/// Width of a line of lettering, mm, with what browsers add to it.
fn width(words: &str, weight: Weight) -> f64 {
    assets::width(words, weight) * assets::em_for_cap(CAP) * 1.008
}

fn text(words: &str, at: Point, anchor: Anchor, slant: Slant, weight: Weight) -> Text {
    Text {
        text: words.to_owned(),
        at,
        em: assets::em_for_cap(CAP),
        weight,
        anchor,
        slant,
        grey: Grey::BLACK,
    }
}

fn stroked(path: BezPath, width: f64, dash: &[f64], grey: Grey) -> Shape {
    Shape {
        path,
        stroke: Some(Stroke {
            width,
            dash: dash.to_vec(),
            grey,
            round: false,
        }),
        fill: None,
    }
}

fn drawn(line: Line, width: f64, dash: &[f64], grey: Grey) -> Shape {
    stroked(line.to_path(0.1), width, dash, grey)
}
