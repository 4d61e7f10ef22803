//! Makes the scene: pipes with their gaps, symbols, labels, leaders, marks, in painting order.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use kurbo::{BezPath, Point, Rect, Vec2};

use super::crossing::{Gap, breaks, find};
use crate::assets;
use crate::captions::{self, Caption, Captions};
use crate::job::Job;
use crate::network::{JointIx, Network, PieceIx, State, System};
use crate::placement::{Figures, Flush, PlacedKey, PlacedLabel, PlacedSymbol, Plan, Stands};
use crate::projection::Space;
use crate::sheets::{Anchor, Grey, Item, Role, Scene, Shape, Slant, Stroke, Text, Weight};
use crate::solve::Solution;
use crate::symbols;
use crate::units::{Heading, Printer, number};

/// Line widths and dashes of a kind of sheet.
#[derive(Clone, Debug)]
pub struct Style {
    /// Width of a waste line, mm.
    pub waste: f64,
    /// Width of an existing waste line, mm.
    pub existing: f64,
    /// Width of a vent line, mm.
    pub vent: f64,
    /// Dash of a vent line, mm.
    pub vent_dash: [f64; 2],
}

impl Style {
    /// Of a crew's sheets: heavier, to be seen in bad light.
    pub fn crew() -> Style {
        Style {
            waste: 1.1,
            existing: 0.6,
            vent: symbols::CREW_VENT.0,
            vent_dash: symbols::CREW_VENT.1,
        }
    }

    /// Width of an existing vent line, mm.
    pub fn existing_vent(&self) -> f64 {
        self.vent * 0.75
    }
}

impl Default for Style {
    fn default() -> Self {
        Style {
            waste: 0.7,
            existing: 0.4,
            vent: 0.35,
            vent_dash: [3.0, 1.2],
        }
    }
}

/// What is drawn: everything that the stages before worked out.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// The job.
    pub job: &'a Job,
    /// The network.
    pub net: &'a Network,
    /// Sizes, levels and fittings.
    pub solution: &'a Solution,
    /// The words.
    pub captions: &'a Captions,
    /// The symbols.
    pub figures: &'a Figures,
}

/// Draws a plan in its field.
pub fn scene(subject: &Subject<'_>, plan: &Plan, field: Rect, style: &Style) -> Scene {
    let draw = Draw {
        net: subject.net,
        solution: subject.solution,
        captions: subject.captions,
        figures: subject.figures,
        plan,
        style,
        print: Printer {
            units: subject.job.units,
        },
    };
    let mut items = Vec::new();
    items.extend(draw.marks());
    // Far things first, so that a viewer who zooms in sees near pipes over far ones.
    let mut order: Vec<usize> = (0..plan.placement.pipes.len()).collect();
    let far: Vec<f64> = (plan.placement.pipes.iter())
        .map(|p| (p.path.iter().map(|s| s.depth())).fold(f64::NEG_INFINITY, f64::max))
        .collect();
    order.sort_unstable_by(|&a, &b| far[b].total_cmp(&far[a]).then(a.cmp(&b)));
    let gaps = find(&plan.placement, |i| {
        draw.width(plan.placement.pipes[i].piece)
    });
    for i in order {
        items.push(draw.pipe(i, &gaps));
        items.extend(draw.hatch(i));
    }
    items.extend(draw.dots());
    items.extend(draw.symbols());
    items.extend(draw.labels());
    let (keys, notes) = draw.keyed();
    items.extend(keys);
    let north = plan.placement.corner.way(Heading::North).paper();
    let (margins, free) = super::free::paper(&items, field);
    Scene {
        margins,
        free,
        items,
        field,
        notes,
        // Where no heading is stated, how the drawing lies says nothing of the house.
        north: subject.net.has_headings().then_some((north.x, north.y)),
        title: "DRAIN, WASTE AND VENT ISOMETRIC".to_owned(),
    }
}

struct Draw<'a> {
    net: &'a Network,
    solution: &'a Solution,
    captions: &'a Captions,
    figures: &'a Figures,
    plan: &'a Plan,
    style: &'a Style,
    print: Printer,
}

impl Draw<'_> {
    fn at(&self, s: Space) -> Point {
        s.point() + self.plan.origin
    }

    fn width(&self, piece: PieceIx) -> f64 {
        let p = &self.net.graph[piece];
        match (p.system, p.state) {
            (System::Vent, State::Existing) => self.style.existing_vent(),
            (System::Vent, _) => self.style.vent,
            (System::Waste, State::Existing) => self.style.existing,
            (System::Waste, _) => self.style.waste,
        }
    }

    fn pipe(&self, i: usize, gaps: &BTreeMap<(usize, usize), Vec<Gap>>) -> Item {
        let placed = &self.plan.placement.pipes[i];
        let piece = placed.piece;
        let p = &self.net.graph[piece];
        let mut path = BezPath::new();
        if let Some(first) = placed.path.first() {
            path.move_to(self.at(*first));
        }
        for (k, w) in placed.path.windows(2).enumerate() {
            let (a, b) = (self.at(w[0]), self.at(w[1]));
            let length = (b - a).hypot();
            let own = gaps.get(&(i, k)).map_or(&[][..], Vec::as_slice);
            for (from, to) in breaks(own, length) {
                path.line_to(a.lerp(b, from));
                path.move_to(a.lerp(b, to));
            }
            path.line_to(b);
        }
        let dash = if p.system == System::Vent {
            self.style.vent_dash.to_vec()
        } else {
            Vec::new()
        };
        let stroke = Stroke {
            width: self.width(piece),
            dash,
            grey: Grey::BLACK,
            round: p.system == System::Waste,
        };
        Item {
            role: Role::Pipe,
            id: p.id.clone(),
            data: self.pipe_data(piece, placed),
            title: Some(self.pipe_title(piece)),
            shapes: vec![Shape {
                path,
                stroke: Some(stroke),
                fill: None,
            }],
            texts: Vec::new(),
        }
    }

    fn pipe_data(
        &self,
        piece: PieceIx,
        placed: &crate::placement::PlacedPipe,
    ) -> Vec<(&'static str, String)> {
        let net = self.net;
        let p = &net.graph[piece];
        let id = |j: Option<crate::network::JointIx>| {
            j.map(|j| net.graph[j].id.clone()).unwrap_or_default()
        };
        let ends = (placed.path.first(), placed.path.last());
        let depth = |s: Option<&Space>| number(s.map_or(0.0, |s| s.depth()), 2, false);
        let mut data = vec![
            ("run", captions::lettered_run(net, piece)),
            ("system", p.system.word().to_owned()),
            ("from", id(net.from(piece))),
            ("to", id(net.to(piece))),
            ("state", p.state.word().to_owned()),
            ("depth", format!("{} {}", depth(ends.0), depth(ends.1))),
        ];
        if let Some(s) = self.solution.sizing.pieces.get(&piece) {
            data.push(("size", self.print.size_plain(s.size)));
            data.push(("load", self.print.load(s.load)));
        }
        if let Some(l) = self.solution.levels.pieces.get(&piece) {
            if let Some(fall) = l.fall {
                data.push(("fall", self.print.fall_plain(fall)));
            }
            if let Some(length) = l.length {
                data.push(("length", number(length.mm(), 1, false)));
            }
            if let (Some(up), Some(down)) = (l.invert_up, l.invert_down) {
                data.push((
                    "invert",
                    format!(
                        "{} {}",
                        number(up.mm(), 1, false),
                        number(down.mm(), 1, false)
                    ),
                ));
            }
        }
        data
    }

    fn pipe_title(&self, piece: PieceIx) -> String {
        let p = &self.net.graph[piece];
        let mut words = vec![p.id.clone()];
        if let Some(s) = self.solution.sizing.pieces.get(&piece) {
            words.push(self.print.size(s.size));
            words.push(self.print.demand(s.demand));
            if let Some(c) = s.code_size {
                words.push(format!("code least {}", self.print.size(c)));
            }
        }
        words.join(", ")
    }

    /// The hatch of ISO 6412 on a 45° run that reads as another axis.
    fn hatch(&self, i: usize) -> Vec<Item> {
        let placed = &self.plan.placement.pipes[i];
        let mut items = Vec::new();
        for (w, _) in placed
            .path
            .windows(2)
            .zip(&placed.hatched)
            .filter(|(_, h)| **h)
        {
            let (a, b) = (self.at(w[0]), self.at(w[1]));
            let u = (b - a) * (1.0 / (b - a).hypot().max(1e-9));
            let n = Vec2::new(-u.y, u.x);
            let mut path = BezPath::new();
            // A slim wedge beside the run: base at one end, strokes across it.
            let steps = 5;
            for k in 1..=steps {
                let t = f64::from(k) / f64::from(steps + 1);
                let foot = a.lerp(b, t) + n * 0.9;
                path.move_to(foot);
                path.line_to(foot + n * (2.0 * t) + u * 0.8);
            }
            items.push(mark("hatch", path, 0.18, Vec::new()));
        }
        items
    }

    /// A dot where pipes meet in a cross, so that it does not read as one pipe passing behind
    /// another. Where three meet there is nothing that it could be mistaken for, and a symbol
    /// that stands at the joint shows it already. Where joints have numbers, one too where a pipe only
    /// goes on: what is set there is drawn elsewhere.
    fn dots(&self) -> Vec<Item> {
        /// So many pipes make a cross.
        const CROSS: usize = 4;
        let placement = &self.plan.placement;
        let stood = |s: &PlacedSymbol| self.figures.all[s.symbol].joint;
        let symbols: BTreeSet<JointIx> = placement.symbols.iter().map(stood).collect();
        let mut met: BTreeMap<JointIx, (usize, Space)> = BTreeMap::new();
        let mut leads: BTreeMap<JointIx, Vec<Vec2>> = BTreeMap::new();
        for pipe in &placement.pipes {
            let joints = [self.net.from(pipe.piece), self.net.to(pipe.piece)];
            let places = [pipe.path.first(), pipe.path.last()];
            let next = [pipe.path.get(1), pipe.path.iter().rev().nth(1)];
            for ((joint, place), next) in joints.into_iter().zip(places).zip(next) {
                let Some((joint, place)) = joint.zip(place) else {
                    continue;
                };
                let lead = next.map(|n| n.point() - place.point());
                leads.entry(joint).or_default().extend(lead);
                let (count, at) = met.entry(joint).or_insert((0, *place));
                // The end at a cut stands elsewhere than its joint.
                *count += usize::from((at.point() - place.point()).hypot() < 0.01);
            }
        }
        let numbered = |joint: &JointIx| {
            self.captions.numbers_joints && self.captions.joints.contains_key(joint)
        };
        let straight = |joint: &JointIx| match leads.get(joint).map(Vec::as_slice) {
            Some([a, b]) => {
                let along = a.dot(*b) / (a.hypot() * b.hypot()).max(1e-9);
                numbered(joint) && along < -0.999
            }
            _ => false,
        };
        let crosses = met
            .into_iter()
            .filter(|(joint, (count, _))| *count >= CROSS || straight(joint))
            .filter(|(joint, _)| !symbols.contains(joint));
        crosses
            .map(|(joint, (_, at))| Item {
                role: Role::Mark,
                data: vec![
                    ("kind", "junction".to_owned()),
                    ("for", self.net.graph[joint].id.clone()),
                ],
                shapes: vec![symbols::junction(self.at(at))],
                ..Item::default()
            })
            .collect()
    }

    fn symbols(&self) -> Vec<Item> {
        self.plan
            .placement
            .symbols
            .iter()
            .map(|s| {
                let f = &self.figures.all[s.symbol];
                let drawn = self.figures.drawn(s.symbol, s.way);
                let by = s.at.to_vec2() + self.plan.origin;
                let named = match f.stands {
                    Stands::Match(piece) => &self.net.graph[piece].id,
                    _ => &self.net.graph[f.joint].id,
                };
                let mut data = vec![("kind", f.kind.to_owned()), ("for", named.clone())];
                match f.stands {
                    Stands::Match(_) => data.push((f.kind, f.word.clone())),
                    // What a legend needs to know beyond the kind.
                    _ if !f.word.is_empty() => data.push(("type", f.word.clone())),
                    _ => {}
                }
                let texts = drawn.texts.iter().map(|t| Text {
                    at: t.at + by,
                    ..t.clone()
                });
                Item {
                    role: Role::Symbol,
                    id: f.id.clone(),
                    data,
                    title: Some(f.title.clone()),
                    shapes: drawn
                        .shapes
                        .iter()
                        .map(|sh| Shape {
                            path: kurbo::Affine::translate(by) * &sh.path,
                            stroke: sh.stroke.clone(),
                            fill: sh.fill,
                        })
                        .collect(),
                    texts: texts.collect(),
                }
            })
            .collect()
    }

    fn labels(&self) -> Vec<Item> {
        let mut items = Vec::new();
        let elsewhere = self.based_elsewhere();
        for l in &self.plan.placement.labels {
            let Some(caption) = self.words(l, &elsewhere) else {
                continue;
            };
            items.extend(self.leader(l, &caption));
            items.push(Item {
                role: Role::Label,
                data: vec![("for", caption.names.clone())],
                texts: lines(&caption, l.at + self.plan.origin, l.slant, l.flush),
                ..Item::default()
            });
        }
        items
    }

    /// The keys of labels that found no place, and the notes that hold their words.
    fn keyed(&self) -> (Vec<Item>, Vec<(String, String)>) {
        let (mut items, mut notes) = (Vec::new(), Vec::new());
        let elsewhere = self.based_elsewhere();
        for key in &self.plan.placement.keyed {
            let l = &key.label;
            let Some(caption) = self.words(l, &elsewhere) else {
                continue;
            };
            let printed = PlacedKey::printed(key.number);
            let words = vec![printed.clone()];
            let cap = caption.em * assets::CAP;
            let small = Caption::new(caption.names.as_str(), words, Weight::Bold, cap);
            items.extend(self.leader(l, &small));
            items.push(Item {
                role: Role::Label,
                data: vec![("for", small.names.clone()), ("note", printed.clone())],
                texts: lines(&small, l.at + self.plan.origin, l.slant, l.flush),
                ..Item::default()
            });
            notes.push((printed, caption.lines.join(", ")));
        }
        (items, notes)
    }

    /// The words of a label on this sheet, if there are any.
    fn words(&self, l: &PlacedLabel, elsewhere: &BTreeSet<usize>) -> Option<Cow<'_, Caption>> {
        let whole: &Caption = &self.captions.all[l.caption];
        let mut caption = Cow::Borrowed(whole);
        if elsewhere.contains(&l.caption) {
            caption.to_mut().lines.truncate(whole.lines.len() - 1);
        }
        Some(caption).filter(|c| !c.lines.is_empty())
    }

    /// The leader of a label that stands apart.
    fn leader(&self, l: &PlacedLabel, caption: &Caption) -> Option<Item> {
        let (a, b) = l.leader?;
        let mut path = BezPath::new();
        path.move_to(a + self.plan.origin);
        path.line_to(b + self.plan.origin);
        let stroke = Stroke {
            width: 0.2,
            dash: Vec::new(),
            grey: Grey::BLACK,
            round: false,
        };
        Some(Item {
            role: Role::Leader,
            data: vec![("for", caption.names.clone())],
            shapes: vec![Shape {
                path,
                stroke: Some(stroke),
                fill: None,
            }],
            ..Item::default()
        })
    }

    /// Captions of joints whose drain stands on another sheet: the pipe is cut above them. Their
    /// last line is the invert of that joint, not of the cut; the table of match marks gives it,
    /// with the place that it belongs to.
    fn based_elsewhere(&self) -> BTreeSet<usize> {
        let placement = &self.plan.placement;
        let drawn: BTreeSet<PieceIx> = placement.pipes.iter().map(|p| p.piece).collect();
        let cut = |s: &PlacedSymbol| match self.figures.all[s.symbol].stands {
            Stands::Match(piece) => self.net.to(piece),
            _ => None,
        };
        let joints = placement.symbols.iter().filter_map(cut);
        let away = |j: &JointIx| self.net.downstream(*j).is_some_and(|d| !drawn.contains(&d));
        joints
            .filter(away)
            .filter_map(|j| self.captions.joints.get(&j).copied())
            .filter(|i| {
                let last = self.captions.all[*i].lines.last();
                last.is_some_and(|l| l.starts_with("IE "))
            })
            .collect()
    }

    fn marks(&self) -> Vec<Item> {
        let mut items = Vec::new();
        for m in &self.plan.placement.marks {
            let index = m
                .floor
                .map_or(self.captions.floors.len().saturating_sub(1), |f| f.0);
            let several = m.floor.and_then(|f| self.plan.gaps.get(&f));
            let Some(caption) = several.or_else(|| self.captions.floors.get(index)) else {
                continue;
            };
            let at = m.at + self.plan.origin;
            // A small piece of the floor, lying in the isometric plane round the stack; a break where
            // floors are left out.
            let (kind, path) = match several.is_some() {
                true => (
                    "break",
                    symbols::storeys_left_out(at, crate::placement::MARK_HALF),
                ),
                false => (
                    "floor",
                    symbols::floor_level(at, crate::placement::MARK_HALF),
                ),
            };
            items.push(mark(
                kind,
                path,
                0.25,
                lines(caption, m.text_at + self.plan.origin, m.slant, Flush::Left),
            ));
        }
        items
    }
}

fn lines(caption: &captions::Caption, at: Point, slant: Slant, flush: Flush) -> Vec<Text> {
    let (c, s) = slant.cos_sin();
    let (read, down) = (Vec2::new(c, s), Vec2::new(-s, c) * caption.pitch());
    let (anchor, start) = match flush {
        Flush::Left => (Anchor::Start, 0.0),
        Flush::Middle => (Anchor::Middle, caption.width() / 2.0),
        Flush::Right => (Anchor::End, caption.width()),
    };
    caption
        .lines
        .iter()
        .enumerate()
        .map(|(i, line)| Text {
            text: line.clone(),
            at: at + read * start + down * i as f64,
            em: caption.em,
            weight: if i == 0 {
                caption.weight
            } else {
                Weight::Regular
            },
            anchor,
            slant,
            grey: Grey::BLACK,
        })
        .collect()
}

/// A mark of thin line work, with words or without.
fn mark(kind: &str, path: BezPath, width: f64, texts: Vec<Text>) -> Item {
    let stroke = Stroke {
        width,
        dash: Vec::new(),
        grey: Grey::BLACK,
        round: false,
    };
    Item {
        role: Role::Mark,
        data: vec![("kind", kind.to_owned())],
        shapes: vec![Shape {
            path,
            stroke: Some(stroke),
            fill: None,
        }],
        texts,
        ..Item::default()
    }
}
