//! A plan at its scale: joists, lines, holes with their tags, and ordinates.

use std::collections::BTreeMap;

use kurbo::{BezPath, Circle, Line, Point, Rect, Shape as _};

use super::drawing::short;
use super::ink::{CAP, JOG, PITCH, SOFT, drawn, label, mark, stroked, text, width};
use super::labels::{Ground, Tag, place, spread};
use super::plan::{Plan, ROUND};
use super::tables::off_in;
use super::{Axis, Hole, Member, RefLine};
use crate::assets;
use crate::placement::Scale;
use crate::sheets::{Anchor, Grey, Item, Role, Slant, Weight};
use crate::units::Length;

/// No hole is drawn smaller, mm.
const LEAST_RADIUS: f64 = 1.2;
/// A crosshair reaches so far beyond its circle, mm.
const HAIR: f64 = 0.9;
/// More joists than this are not drawn one by one.
const MOST_JOISTS: usize = 400;

/// A plan at a scale.
pub(super) struct View<'a> {
    pub plan: &'a Plan<'a>,
    pub scale: Scale,
    /// Paper place of the least east and the most north.
    pub origin: Point,
    /// The box of the plan, without its margins.
    pub plot: Rect,
}

impl View<'_> {
    fn x(&self, east: Length) -> f64 {
        self.origin.x + (east - self.plan.from.0).mm() * self.scale.ratio
    }
    fn y(&self, north: Length) -> f64 {
        self.origin.y + (self.plan.to.1 - north).mm() * self.scale.ratio
    }

    pub fn items(&self) -> Vec<Item> {
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
    pub fn groups(&self) -> Vec<Vec<usize>> {
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
        let words = holes.map(|h| {
            let tag = match self.plan.several {
                true => short(&h.tag),
                false => h.tag.clone(),
            };
            match h.member {
                Member::TopPlate { .. } => format!("{tag}, PLATE BELOW ONLY"),
                _ => tag,
            }
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
            // What must not be bored from above is broken, and has no cross.
            if matches!(hole.member, Member::TopPlate { .. }) {
                item.shapes
                    .push(stroked(ring, 0.35, &[1.0, 0.7], Grey::BLACK));
                said.push(format!("{}: {}, top plate only", hole.tag, hole.what));
                continue;
            }
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
        // By distance to a tenth of a millimetre; the line ties all holes of it to the figures.
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
            entry.1 = entry.1.min(edge);
        }
        let wanted: Vec<f64> = all.values().map(|v| v.0).collect();
        let room = match axis {
            Axis::East => (self.plot.x0 + CAP, self.plot.x1 - CAP),
            Axis::North => (-self.plot.y1 + CAP, -self.plot.y0 - CAP),
        };
        let places = spread(&wanted, PITCH, room)?;
        let mut item = mark("ordinate");
        for ((place, edge, off), at) in all.values().zip(places) {
            let words = off_in(*off, axis, self.plan.print);
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
