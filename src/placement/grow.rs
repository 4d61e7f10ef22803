//! Grows the drawing from the exit: a chain of legs becomes trunks, each with what hangs on it.

use std::cell::RefCell;
use std::collections::BTreeMap;

use kurbo::Point;

use super::block::{Block, PlacedLabel, PlacedMark, Want};
use super::heights::Heights;
use super::lettering;
use super::outline::{Cover, Outline};
use super::trunk::{Clear, Element, Parent, stand};
use super::ways::Ways;
use crate::captions::Captions;
use crate::job::{FloorIx, Job};
use crate::network::{
    Column, JointIx, JointKind, Network, PieceIx, RunKind, System, VentAt, VentLevel,
};
use crate::placement::figures::Figures;
use crate::projection::{Space, Way};
use crate::units::Length;

/// Length of a trap arm at the least, mm.
const ARM: f64 = 9.0;
/// Rise of a fixture drain to its vent fitting at the least, mm.
const DROP: f64 = 16.0;
/// A level pipe between two joints at the least, mm.
const BETWEEN: f64 = 6.0;
/// How far things stand off the line that their trunk hangs on, mm.
const CORRIDOR: f64 = 2.2;
/// The same off a stack, whose own lettering stands beside it, mm.
const STACK_CORRIDOR: f64 = 5.2;
/// A branch that meets its stack above another of the same floor stands so far above it, mm.
const BRANCH_OVER_BRANCH: f64 = 8.0;
/// Step of an island's loop beside its joint, mm.
pub const BESIDE: f64 = 9.0;
/// A floor's mark stands so far above its branches, mm.
pub const MARK_RISE: f64 = 5.0;

/// Everything that growing needs to know.
pub struct Grower<'a> {
    /// The job.
    pub job: &'a Job,
    /// The network.
    pub net: &'a Network,
    /// The words.
    pub captions: &'a Captions,
    /// The ways of the drains' legs.
    pub ways: &'a Ways,
    /// Symbols by joint.
    pub figures: &'a Figures,
    /// Heights in force.
    pub heights: &'a Heights,
    /// Millimetres of paper per millimetre of building, as a least length; 0 for none.
    pub scale: f64,
    /// Vents by the joint of the drains over which they stand.
    pub over: &'a BTreeMap<JointIx, Vec<JointIx>>,
    /// Vents by the joint of the drains beside which they stand (the loops of islands).
    pub beside: &'a BTreeMap<JointIx, Vec<JointIx>>,
    /// The risers that accompany stacks.
    pub risers: &'a [Riser],
    /// Forms of symbols that stand by themselves, kept from round to round.
    pub kept: &'a Kept,
    /// How far out each riser stood in the round before.
    pub reach: &'a Reach,
}

/// Distance of each riser from its stack's line, by its lowest joint, mm.
pub type Reach = RefCell<BTreeMap<JointIx, f64>>;

/// Forms of symbols with their words, by symbol and way.
pub type Kept = RefCell<BTreeMap<(usize, Way), Vec<(Block, f64)>>>;

/// A vent riser beyond the branches of a stack.
#[derive(Clone, Debug)]
pub struct Riser {
    /// The stack's run, as an index of the network.
    pub stack: usize,
    /// Its vent joints and their floors, lowest first.
    pub joints: Vec<(JointIx, FloorIx)>,
    /// For each of its floors: the vent joint over the drains that its header comes from.
    pub from: Vec<(FloorIx, JointIx)>,
    /// Its own pieces.
    pub pieces: Vec<PieceIx>,
}

#[derive(Clone, Copy)]
struct LegRef {
    piece: PieceIx,
    leg: usize,
    way: Way,
    length: Option<Length>,
    joint: Option<JointIx>,
}

impl Grower<'_> {
    /// The block of everything upstream of an exit.
    pub fn exit(&self, exit: JointIx) -> Block {
        let mut block = Block::default();
        block.joints.push((exit, Space::default()));
        let first = self.net.upstream(exit).into_iter().next();
        let inward = first.map_or(Way::X, |p| self.way(p, 0));
        let side = inward.unit() * 14.0;
        let avoid = [Outline::pipe(Point::ORIGIN, side.point(), Cover::Solid)];
        let forms = self.at_joint(exit, inward, Block::default(), &avoid, &[]);
        if let Some((form, _)) = forms.into_iter().next() {
            block.absorb(&form, Space::default());
        }
        let taken = block.outlines.clone();
        for p in self.net.upstream(exit) {
            block.absorb(&self.chain(p, None, 0.0, &taken), Space::default());
        }
        // The sewer runs on outward from the exit.
        if let Some(sewer) = self.net.downstream(exit) {
            let label = self
                .captions
                .pieces
                .get(&sewer)
                .map(|&i| (i, &self.captions.all[i]));
            let out = self.way(sewer, 0).reversed();
            let mut length: f64 = 16.0;
            if let Some((i, caption)) = label {
                let (at, slant, outline) = lettering::along(caption, out, true);
                let shift = out.unit() * 12.0;
                length = length.max(caption.width() + 16.0);
                block.outlines.push(outline.moved(shift.paper()));
                block.labels.push(PlacedLabel {
                    caption: i,
                    at: at + shift.paper(),
                    slant,
                    leader: None,
                });
            }
            let end = out.unit() * length;
            block
                .outlines
                .push(Outline::pipe(Point::ORIGIN, end.point(), Cover::Solid));
            if let Some(tap) = self.net.to(sewer) {
                block.joints.push((tap, end));
            }
            block.legs.push((sewer, 0, Space::default()));
        }
        block
    }

    fn way(&self, piece: PieceIx, leg: usize) -> Way {
        self.ways.get(&(piece, leg)).map_or(Way::X, |w| w.way)
    }

    /// The legs of a piece and of all pieces of its run upstream of it.
    fn legs(&self, first: PieceIx) -> Vec<LegRef> {
        let mut legs = Vec::new();
        let mut piece = Some(first);
        while let Some(p) = piece {
            let data = &self.net.graph[p];
            let from = self.net.from(p);
            for (i, leg) in data.legs.iter().enumerate() {
                let last = i + 1 == data.legs.len();
                legs.push(LegRef {
                    piece: p,
                    leg: i,
                    way: self.way(p, i),
                    length: leg.length,
                    joint: if last { from } else { None },
                });
            }
            piece = from.and_then(|j| {
                self.net
                    .upstream(j)
                    .into_iter()
                    .find(|&q| self.net.graph[q].run == data.run)
            });
        }
        legs
    }

    /// The block of a piece, of the rest of its run and of all that enters it.
    pub fn chain(
        &self,
        first: PieceIx,
        parent: Option<Parent>,
        z: f64,
        taken: &[Outline],
    ) -> Block {
        let legs = self.legs(first);
        self.trunk(&legs, 0, parent, z, taken)
    }

    fn trunk(
        &self,
        legs: &[LegRef],
        from: usize,
        parent: Option<Parent>,
        z: f64,
        taken: &[Outline],
    ) -> Block {
        let way = legs[from].way;
        let to = (from..legs.len())
            .take_while(|&k| legs[k].way == way)
            .count()
            + from;
        // Stations of an upright trunk set the height of what hangs on it: settle them first.
        let mut assumed: BTreeMap<usize, f64> = BTreeMap::new();
        let rounds = if way == Way::UP { 4 } else { 1 };
        let mut block = Block::default();
        for _ in 0..rounds {
            let before = assumed.clone();
            let (b, stations) = self.trunk_once(legs, from, to, parent, z, taken, &mut assumed);
            block = b;
            let settled = stations
                .iter()
                .all(|(k, s)| assumed.get(k).is_some_and(|l| (l - s).abs() < 1e-6));
            if settled || stations == before {
                break;
            }
            assumed = stations;
        }
        block
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one round of one trunk: all of it is its state"
    )]
    fn trunk_once(
        &self,
        legs: &[LegRef],
        from: usize,
        to: usize,
        parent: Option<Parent>,
        z: f64,
        taken: &[Outline],
        assumed: &mut BTreeMap<usize, f64>,
    ) -> (Block, BTreeMap<usize, f64>) {
        enum Part {
            Label(usize, [(Point, crate::sheets::Slant); 2]),
            Joint(usize),
            Loose,
            Terminal,
        }
        let way = legs[from].way;
        let upright = way == Way::UP;
        let stack = upright && self.net.is_stack(self.net.graph[legs[from].piece].run);
        let mut elements: Vec<Element> = Vec::new();
        let mut parts: Vec<Part> = Vec::new();
        let mut gap = 0.0;
        let mut marked: Vec<FloorIx> = Vec::new();
        if stack && let Some(base) = self.net.to(legs[from].piece) {
            self.base_label(base, &mut elements, way);
            parts.resize_with(elements.len(), || Part::Loose);
        }
        let mut merged_to = from;
        let mut after: Vec<(usize, f64)> = Vec::new();
        let mut stood_at: BTreeMap<JointIx, usize> = BTreeMap::new();
        let mut header_least = 0.0f64;
        for k in from..to {
            if k < merged_to {
                continue;
            }
            let leg = legs[k];
            let kind = self.net.runs[self.net.graph[leg.piece].run.0].kind;
            gap += self.least_leg(kind, &leg);
            // Lettering along this leg, if it is the one that carries it.
            if leg.leg == self.label_leg(leg.piece)
                && let Some(&i) = self.captions.pieces.get(&leg.piece)
            {
                let caption = &self.captions.all[i];
                let forms = [true, false].map(|left| {
                    let (at, slant, outline) = lettering::along(caption, way, left);
                    ((at, slant), outline)
                });
                let variants = forms
                    .iter()
                    .map(|(_, o)| {
                        (
                            Block {
                                outlines: vec![o.clone()],
                                ..Block::default()
                            },
                            0.0,
                        )
                    })
                    .collect();
                elements.push(Element {
                    variants,
                    gap: 2.0,
                    at_least: 0.0,
                    is_joint: false,
                    takes: caption.width() + 1.0,
                    after: Vec::new(),
                });
                parts.push(Part::Label(i, forms.map(|f| f.0)));
            }
            let turns = k + 1 == to && to < legs.len();
            if leg.joint.is_none() && !turns {
                continue;
            }
            let target = leg
                .joint
                .and_then(|j| self.target_height(j, stack))
                .map(|h| h - z);
            let at_least = target
                .unwrap_or(0.0)
                .max(assumed.get(&k).copied().unwrap_or(0.0));
            let before = assumed.range(..k).next_back().map_or(0.0, |(_, s)| *s);
            let stands = super::trunk::rounded(at_least.max(before + gap));
            if upright {
                assumed.insert(k, stands);
            }
            let child_z = if upright { z + stands } else { z };
            if stack && let Some(j) = leg.joint {
                self.floor_marks(j, z, child_z, &mut marked, &mut elements);
                parts.resize_with(elements.len(), || Part::Loose);
            }
            if !upright && let Some(j) = leg.joint {
                for (far, d) in self.header_room(j) {
                    let found = far.and_then(|f| stood_at.get(&f).copied());
                    match found {
                        Some(i) => after.push((i, d)),
                        // Downstream of this trunk: from its start. Upstream: not its affair.
                        None if far.is_some_and(|f| {
                            self.upstream_of(j, Some(f))
                                || self.upstream_of(
                                    j,
                                    self.net.downstream(f).and_then(|p| self.net.to(p)),
                                )
                        }) =>
                        {
                            header_least = header_least.max(d);
                        }
                        None => {}
                    }
                }
                for c in self.columns(j) {
                    stood_at.insert(c, elements.len());
                }
            }
            let at_least = at_least.max(header_least);
            header_least = 0.0;
            let next = turns.then_some((legs, to));
            let mut variants = self.joint_forms(leg, next, way, child_z, stack, &[]);
            // Branches of one floor that meet the stack one above the other stand as one.
            if stack {
                merged_to = self.merge_floor(legs, k, to, way, child_z, &mut variants);
            }
            elements.push(Element {
                variants,
                gap,
                at_least,
                is_joint: true,
                takes: 0.0,
                after: std::mem::take(&mut after),
            });
            parts.push(Part::Joint(k));
            gap = 0.0;
        }
        let top = legs[to - 1].joint.filter(|_| stack && to == legs.len());
        if let Some(top) = top {
            let roofed = self.stack_top(top, z, &mut marked, &mut elements);
            parts.resize_with(elements.len(), || Part::Loose);
            if roofed && let Some(last) = parts.last_mut() {
                *last = Part::Terminal;
            }
        }
        let clear = Clear {
            parent,
            corridor: if stack { STACK_CORRIDOR } else { CORRIDOR },
        };
        let clear = Clear {
            corridor: if parent.is_some_and(|p| p.way.is_vertical()) {
                STACK_CORRIDOR
            } else {
                clear.corridor
            },
            ..clear
        };
        let stood = stand(way, &clear, taken, &elements);
        // Assemble.
        let u = way.unit();
        let mut block = Block::default();
        let mut stations = BTreeMap::new();
        let mut end = 0.0f64;
        let mut before = 0.0;
        let mut floors_met: Vec<FloorIx> = Vec::new();
        for ((e, part), s) in elements.iter().zip(&parts).zip(&stood) {
            let Some((form, _)) = e.variants.get(s.variant) else {
                continue;
            };
            let at = u * s.station;
            block.absorb(form, at);
            match part {
                Part::Label(caption, forms) => {
                    let (start, slant) = forms[s.variant];
                    block.labels.push(PlacedLabel {
                        caption: *caption,
                        at: start + at.paper(),
                        slant,
                        leader: None,
                    });
                }
                Part::Joint(k) => {
                    stations.insert(*k, s.station);
                    let above = form
                        .legs
                        .iter()
                        .filter(|(p, _, _)| self.net.is_stack(self.net.graph[*p].run) && stack);
                    let above = above.map(|(_, _, at)| at.z).fold(0.0, f64::max);
                    end = end.max(s.station + above);
                    self.record_legs(legs, from, *k, before, s.station, u, &mut block);
                    before = s.station + above;
                    if let Some(j) = legs[*k].joint {
                        block.joints.push((j, at));
                        // Only the lowest branch of a floor sets its height; a second one on the
                        // same stack stands above it.
                        if stack
                            && let Some(f) = self.floor_of_stack_joint(j)
                            && !floors_met.contains(&f)
                        {
                            floors_met.push(f);
                            block.wants.push((Want::Branch(f), z + s.station));
                        }
                    }
                }
                Part::Loose => {}
                Part::Terminal => {
                    block.wants.push((Want::Roof, z + s.station));
                    // The stack vent itself stands in the stack's own line.
                    let (a, b) = ((u * end).point(), at.point());
                    block.outlines.push(Outline::pipe(a, b, Cover::Vent));
                }
            }
        }
        block.outlines.push(Outline::pipe(
            Point::ORIGIN,
            (u * end).point(),
            Cover::Solid,
        ));
        if !upright && !way.is_vertical() {
            self.headers_over(legs, from, to, way, z, &elements, &stood, &mut block);
        }
        if let Some(top) = top {
            self.risers_of(legs, top, z, &mut block);
        }
        (block, stations)
    }

    /// Spreads the legs between two joints of a trunk (a change of what holds, no joint).
    #[expect(clippy::too_many_arguments, reason = "a step of the assembly above")]
    fn record_legs(
        &self,
        legs: &[LegRef],
        from: usize,
        k: usize,
        before: f64,
        station: f64,
        u: Space,
        block: &mut Block,
    ) {
        let mut first = k;
        while first > from && legs[first - 1].joint.is_none() {
            first -= 1;
        }
        let n = (k - first + 1) as f64;
        for (i, leg) in legs[first..=k].iter().enumerate() {
            let s = before + (station - before) * (i + 1) as f64 / n;
            block.legs.push((leg.piece, leg.leg, u * s));
        }
    }

    fn least_leg(&self, kind: RunKind, leg: &LegRef) -> f64 {
        let least = match kind {
            RunKind::Arm => ARM,
            RunKind::FixtureDrain if leg.way == Way::UP => DROP,
            RunKind::Stack if leg.way == Way::UP => 10.0,
            _ => BETWEEN,
        };
        leg.length.map_or(least, |l| least.max(l.mm() * self.scale))
    }

    /// The leg of a piece that carries its lettering: the longest level one.
    fn label_leg(&self, piece: PieceIx) -> usize {
        let legs = &self.net.graph[piece].legs;
        let mut best = (0, f64::NEG_INFINITY);
        for (i, leg) in legs.iter().enumerate() {
            let level = !self.way(piece, i).is_vertical() || legs.len() == 1;
            let length = leg.length.map_or(0.0, Length::mm) + if level { 1e6 } else { 0.0 };
            if length > best.1 {
                best = (i, length);
            }
        }
        best.0
    }

    /// The height at which a joint of an upright trunk should stand, if floors say so.
    fn target_height(&self, joint: JointIx, stack: bool) -> Option<f64> {
        if stack {
            return self
                .floor_of_stack_joint(joint)
                .map(|f| self.heights.branch(f));
        }
        // A drain that rises comes up to the branches of the lowest floor that it serves beyond.
        let kind = self.net.graph[joint].kind;
        if matches!(kind, JointKind::VentFitting | JointKind::Trap(_)) {
            return None;
        }
        None
    }

    fn floor_of_stack_joint(&self, joint: JointIx) -> Option<FloorIx> {
        self.net
            .upstream(joint)
            .into_iter()
            .filter(|&p| !self.net.is_stack(self.net.graph[p].run))
            .find_map(|p| self.net.runs[self.net.graph[p].run.0].floor)
    }

    /// Takes in the joints that follow joint `k` of a stack on the same floor, each a little above
    /// the one before; gives the first leg that was not taken in.
    fn merge_floor(
        &self,
        legs: &[LegRef],
        k: usize,
        to: usize,
        way: Way,
        z: f64,
        variants: &mut [(Block, f64)],
    ) -> usize {
        let floor = |l: &LegRef| l.joint.and_then(|j| self.floor_of_stack_joint(j));
        let Some(own) = floor(&legs[k]) else {
            return k + 1;
        };
        let words = |l: &LegRef| {
            self.captions
                .pieces
                .get(&l.piece)
                .map(|&i| &self.captions.all[i])
        };
        let size = |l: &LegRef| {
            words(l).map(|c| {
                c.lines
                    .join(" ")
                    .split(" ·")
                    .next()
                    .unwrap_or("")
                    .to_owned()
            })
        };
        let mut lift = 0.0;
        let mut n = k + 1;
        while n < to && floor(&legs[n]) == Some(own) && legs[n].leg == 0 {
            let mut more = Block::default();
            let mut rise = BRANCH_OVER_BRANCH;
            // A change of size between the two is lettered; the same size is not said again.
            if size(&legs[n]) != size(&legs[n - 1])
                && let (Some(&i), Some(caption)) =
                    (self.captions.pieces.get(&legs[n].piece), words(&legs[n]))
            {
                let (at, slant, outline) = lettering::along(caption, Way::UP, true);
                rise = caption.width() + 6.0;
                let shift = Space::new(0.0, 0.0, 3.0 - rise).paper();
                more.outlines.push(outline.moved(shift));
                more.labels.push(PlacedLabel {
                    caption: i,
                    at: at + shift,
                    slant,
                    leader: None,
                });
            }
            lift += rise;
            let down = Space::new(0.0, 0.0, -lift).paper();
            let taken: Vec<Outline> = variants
                .first()
                .map(|(b, _)| b.outlines.iter().map(|o| o.moved(down)).collect())
                .unwrap_or_default();
            let next = (n + 1 == to && to < legs.len()).then_some((legs, to));
            let forms = self.joint_forms(legs[n], next, way, z + lift, false, &taken);
            if let Some((form, _)) = forms.into_iter().next() {
                more.absorb(&form, Space::default());
            }
            if let Some(j) = legs[n].joint {
                more.joints.push((j, Space::default()));
            }
            more.legs
                .push((legs[n].piece, legs[n].leg, Space::default()));
            for (b, _) in variants.iter_mut() {
                b.absorb(&more, Space::new(0.0, 0.0, lift));
            }
            n += 1;
        }
        n
    }

    /// All that hangs at a joint of a trunk, in each of its forms.
    fn joint_forms(
        &self,
        leg: LegRef,
        next: Option<(&[LegRef], usize)>,
        way: Way,
        z: f64,
        stack: bool,
        before: &[Outline],
    ) -> Vec<(Block, f64)> {
        let run = self.net.graph[leg.piece].run;
        let mut fixed = Block::default();
        let mut marks: Vec<Outline> = before.to_vec();
        if stack && let Some(f) = leg.joint.and_then(|j| self.floor_of_stack_joint(j)) {
            let (sides, joints) = self.floor_sides(run, f);
            let above = BRANCH_OVER_BRANCH * (joints.max(1) - 1) as f64;
            let mark = self.mark_block(f, sides, above);
            let at = Space::new(0.0, 0.0, MARK_RISE);
            marks.extend(mark.outlines.iter().map(|o| o.moved(at.paper())));
            fixed.absorb(&mark, at);
        }
        let upstream = leg.joint.map(|j| self.net.upstream(j)).unwrap_or_default();
        let goes_on = upstream.iter().any(|&p| self.net.graph[p].run == run);
        // A stack goes on as its vent; a drain that turns or stops has nothing ahead of it.
        let ends = (next.is_some() || !goes_on) && !way.is_vertical();
        let parent = Parent { way, ends };
        let mut ways: Vec<Way> = upstream.iter().map(|&p| self.way(p, 0)).collect();
        if let Some((legs, to)) = next {
            ways.push(legs[to].way);
        }
        let mut vents = Block::default();
        if let Some(j) = leg.joint {
            self.vents_over(j, &ways, z, &mut vents);
            marks.extend(vents.outlines.iter().cloned());
        }
        if let Some((legs, to)) = next {
            let turned = self.trunk(legs, to, Some(parent), z, &marks);
            fixed.absorb(&turned, Space::default());
        }
        if leg.joint.is_some() {
            for p in upstream {
                if self.net.graph[p].run == run {
                    continue;
                }
                let parent = (self.way(p, 0) != way).then_some(parent);
                // What already hangs here keeps its place; the next is pushed past it.
                let mut taken = marks.clone();
                taken.extend(fixed.outlines.iter().cloned());
                fixed.absorb(&self.chain(p, parent, z, &taken), Space::default());
            }
        }
        let Some(j) = leg.joint else {
            return vec![(fixed, 0.0)];
        };
        if way.is_vertical() {
            self.headers_out(z, &mut fixed);
        }
        let forms = self.at_joint(j, way, vents, &fixed.outlines, &ways);
        if forms.is_empty() {
            return vec![(fixed, 0.0)];
        }
        forms
            .into_iter()
            .map(|(form, cost)| {
                let mut all = fixed.clone();
                all.absorb(&form, Space::default());
                (all, cost)
            })
            .collect()
    }

    /// Paper sides that the branches of a floor take at a stack: left, right.
    fn floor_sides(
        &self,
        stack: crate::network::RunIx,
        floor: FloorIx,
    ) -> ((bool, bool), usize) {
        let mut sides = (false, false);
        let mut count = 0;
        let joints = self.net.runs[stack.0]
            .pieces
            .iter()
            .filter_map(|&p| self.net.from(p));
        for j in joints.filter(|&j| self.floor_of_stack_joint(j) == Some(floor)) {
            count += 1;
            for p in self.net.upstream(j) {
                if self.net.graph[p].run != stack {
                    let x = self.way(p, 0).paper().x;
                    sides.0 |= x < -1e-9;
                    sides.1 |= x > 1e-9;
                }
            }
        }
        (sides, count)
    }

    /// What stands at a joint itself: vents, symbols and their words, in each form.
    fn at_joint(
        &self,
        joint: JointIx,
        way: Way,
        block: Block,
        taken: &[Outline],
        ways: &[Way],
    ) -> Vec<(Block, f64)> {
        let mut forms = vec![(block, 0.0)];
        for &f in self.figures.at(joint) {
            let arrives = self.figures.arrives(f, way, ways);
            forms = self.with_figure(f, arrives, forms, taken);
        }
        if let Some(&i) = self.captions.joints.get(&joint)
            && self.net.graph[joint].kind != JointKind::StackBase
        {
            let caption = &self.captions.all[i];
            let u = way.unit();
            let lines = [((u * -6.0).point(), Point::ORIGIN)];
            forms = forms
                .into_iter()
                .flat_map(|(b, cost)| {
                    let mut avoid: Vec<Outline> = taken.to_vec();
                    avoid.extend(b.outlines.iter().cloned());
                    avoid.push(Outline::pipe(
                        (u * -60.0).point(),
                        (u * 60.0).point(),
                        Cover::Solid,
                    ));
                    let host = lettering::Host {
                        lines: &lines,
                        hull: &[],
                    };
                    let places = lettering::beside(caption, &host, &avoid, 3);
                    let mut out: Vec<(Block, f64)> = places
                        .into_iter()
                        .map(|(at, outline, c)| {
                            let mut b = b.clone();
                            b.outlines.push(outline);
                            b.labels.push(PlacedLabel {
                                caption: i,
                                at,
                                slant: Default::default(),
                                leader: None,
                            });
                            (b, cost + c * 0.2)
                        })
                        .collect();
                    if out.is_empty() {
                        out.push((b, cost + 1000.0));
                    }
                    out
                })
                .collect();
        }
        if forms.len() == 1 && forms[0].0.outlines.is_empty() {
            return Vec::new();
        }
        forms
    }

    /// Adds a symbol with its words to each form of a block. The forms of a symbol that stands by
    /// itself are kept: they are the same in every round.
    fn with_figure(
        &self,
        figure: usize,
        way: Way,
        forms: Vec<(Block, f64)>,
        taken: &[Outline],
    ) -> Vec<(Block, f64)> {
        let alone = taken.is_empty() && forms.len() == 1 && forms[0].0.outlines.is_empty();
        if !alone {
            return self.figure_forms(figure, way, forms, taken);
        }
        if let Some(kept) = self.kept.borrow().get(&(figure, way)) {
            return kept.clone();
        }
        let made = self.figure_forms(figure, way, forms, taken);
        self.kept.borrow_mut().insert((figure, way), made.clone());
        made
    }

    fn figure_forms(
        &self,
        figure: usize,
        way: Way,
        forms: Vec<(Block, f64)>,
        taken: &[Outline],
    ) -> Vec<(Block, f64)> {
        let symbol = self.figures.drawn(figure, way);
        let hull = Outline::hull(&symbol.hull);
        let caption = self.figures.caption(figure, self.captions);
        let u = way.unit();
        let trap = self.figures.is_trap(figure);
        let lines = [((u * -ARM).point(), Point::ORIGIN)];
        let line = Outline::pipe((u * -40.0).point(), Point::ORIGIN, Cover::Solid);
        let mut out = Vec::new();
        for (b, cost) in forms {
            let mut b = b;
            b.outlines.push(hull.clone());
            b.symbols.push(super::block::PlacedSymbol {
                symbol: figure,
                at: Point::ORIGIN,
                way,
            });
            let Some(i) = caption else {
                out.push((b, cost));
                continue;
            };
            let mut avoid: Vec<Outline> = taken.to_vec();
            avoid.extend(b.outlines.iter().cloned());
            avoid.push(line.clone());
            let host = lettering::Host {
                lines: if trap { &lines } else { &[] },
                hull: &symbol.hull,
            };
            let places = lettering::beside(&self.captions.all[i], &host, &avoid, 14);
            if places.is_empty() {
                out.push((b.clone(), cost + 1000.0));
            }
            for (at, outline, c) in places {
                let mut b = b.clone();
                b.outlines.push(outline);
                b.labels.push(PlacedLabel {
                    caption: i,
                    at,
                    slant: Default::default(),
                    leader: None,
                });
                out.push((b, cost + c * 0.2));
            }
        }
        out
    }

    /// The height of a vent joint that stands over a joint of the drains at height `z`.
    pub fn vent_height(&self, at: VentAt, z: f64) -> f64 {
        match at.level {
            VentLevel::UnderFloor(_) => z + 9.0,
            VentLevel::UnderCounter(f) => self.heights.rim(f) - 9.0,
            VentLevel::AboveRim(f) => self.heights.rim(f),
            VentLevel::Roof => self.heights.roof(),
        }
    }

    /// The vents that rise from a joint: a bare line, its words, and a terminal at its top.
    fn vents_over(&self, joint: JointIx, ways: &[Way], z: f64, block: &mut Block) {
        self.loop_beside(joint, z, block);
        let Some(vents) = self.over.get(&joint) else {
            return;
        };
        if self.is_stack_top(joint) {
            return;
        }
        let height = |v: JointIx| vent_at(self.net, v).map(|at| self.vent_height(at, z) - z);
        let top = vents.iter().filter_map(|&v| height(v)).fold(0.0, f64::max);
        if top <= 0.0 {
            return;
        }
        let up = |h: f64| Space::new(0.0, 0.0, h);
        block
            .outlines
            .push(Outline::pipe(Point::ORIGIN, up(top).point(), Cover::Vent));
        // Lettering stands on the side that nothing leads to.
        let busy = |right: bool| {
            ways.iter().any(|w| {
                if right {
                    w.paper().x > 1e-9
                } else {
                    w.paper().x < -1e-9
                }
            })
        };
        let left = !busy(false) || busy(true);
        let both = busy(false) && busy(true);
        let mut least = if both { 7.0 } else { 2.5 };
        for p in self.rising(joint, vents) {
            let Some(&i) = self.captions.pieces.get(&p) else {
                continue;
            };
            let caption = &self.captions.all[i];
            let (at, slant, mut outline) = lettering::along(caption, Way::UP, left);
            let from = self.net.from(p).and_then(height).unwrap_or(0.0);
            let to = self.net.to(p).and_then(height).unwrap_or(top);
            let roof = self.net.to(p).is_some_and(|j| {
                matches!(
                    vent_at(self.net, j),
                    Some(VentAt {
                        level: VentLevel::Roof,
                        ..
                    })
                )
            });
            let mut start = (from + 2.5).max(least);
            let aloft = |j: JointIx| {
                vent_at(self.net, j).is_some_and(|at| at.level >= VentLevel::AboveRim(FloorIx(0)))
            };
            if self.net.from(p).is_some_and(aloft) {
                outline.cover = Cover::Aloft;
            }
            if roof && to - from > caption.width() + 20.0 {
                // A long rise to the roof is lettered near its top, clear of all drains.
                start = to - caption.width() - 8.0;
                outline.cover = Cover::Aloft;
            }
            let shift = up(start).paper();
            block.outlines.push(outline.moved(shift));
            block.labels.push(PlacedLabel {
                caption: i,
                at: at + shift,
                slant,
                leader: None,
            });
            least = start + caption.width() + 3.0;
        }
        // A terminal of its own.
        for &f in vents.iter().flat_map(|&v| self.figures.at(v)) {
            let forms = self.with_figure(f, Way::UP, vec![(Block::default(), 0.0)], &[]);
            if let Some((mut form, _)) = forms.into_iter().next() {
                form.outlines
                    .iter_mut()
                    .for_each(|o| o.cover = Cover::Aloft);
                block.absorb(&form, up(top));
            }
        }
    }

    /// The falling leg of an island's loop, a step beside its joint.
    fn loop_beside(&self, joint: JointIx, z: f64, block: &mut Block) {
        let Some(vents) = self.beside.get(&joint) else {
            return;
        };
        let Some(down) = self.net.downstream(joint) else {
            return;
        };
        let back = self.way(down, 0).reversed().unit() * BESIDE;
        let heights: Vec<f64> = vents
            .iter()
            .filter_map(|&v| vent_at(self.net, v))
            .map(|at| self.vent_height(at, z) - z)
            .collect();
        let low = heights.iter().copied().fold(f64::INFINITY, f64::min);
        let high = heights.iter().copied().fold(low, f64::max).max(DROP + 18.0);
        if low.is_finite() {
            let at = |h: f64| back + Space::new(0.0, 0.0, h);
            block.outlines.push(Outline::pipe(
                at(low).point(),
                at(high).point(),
                Cover::Vent,
            ));
        }
    }

    /// Vent pieces that rise in the column over a joint, lowest first.
    fn rising(&self, joint: JointIx, vents: &[JointIx]) -> Vec<PieceIx> {
        use petgraph::visit::EdgeRef;
        let mut pieces = Vec::new();
        for &v in std::iter::once(&joint).chain(vents) {
            for e in self.net.graph.edges(v) {
                if e.weight().system == System::Vent && vents.contains(&e.target()) {
                    pieces.push(e.id());
                }
            }
        }
        pieces
    }

    fn is_stack_top(&self, joint: JointIx) -> bool {
        self.net
            .downstream(joint)
            .is_some_and(|p| self.net.is_stack(self.net.graph[p].run))
    }

    /// Vent lines that lie above a level trunk, and their words.
    #[expect(clippy::too_many_arguments, reason = "the last step of one trunk")]
    fn headers_over(
        &self,
        legs: &[LegRef],
        from: usize,
        to: usize,
        way: Way,
        z: f64,
        elements: &[Element],
        stood: &[super::trunk::Stood],
        block: &mut Block,
    ) {
        // Columns on this trunk: its joints, and the fittings of drops that stand on them.
        let mut station: BTreeMap<JointIx, f64> = BTreeMap::new();
        let u = way.unit();
        for leg in &legs[from..to] {
            let Some(j) = leg.joint else { continue };
            let Some((_, at)) = block.joints.iter().find(|(k, _)| *k == j) else {
                continue;
            };
            let s = at.paper().dot(way.paper());
            for c in self.columns(j) {
                station.insert(c, s);
            }
        }
        let on = |v: JointIx| {
            vent_at(self.net, v).and_then(|at| match at.column {
                Column::Over(j) | Column::Beside(j) => station.get(&j).map(|s| (*s, at)),
                Column::Riser(_) => None,
            })
        };
        let end = station.values().copied().fold(0.0, f64::max);
        let mut floors: Vec<FloorIx> = Vec::new();
        for e in self.vents_at(station.keys().copied()) {
            let Some((a, b)) = self.net.graph.edge_endpoints(e) else {
                continue;
            };
            let (pa, pb) = (on(a), on(b));
            let Some((s0, at)) = pa.or(pb) else { continue };
            let s1 = match (pa, pb) {
                (Some(x), Some(y)) => {
                    if pa.is_some_and(|p| p.0 == s0) {
                        y.0
                    } else {
                        x.0
                    }
                }
                _ => {
                    let other = if pa.is_some() { b } else { a };
                    match vent_at(self.net, other).map(|v| v.column) {
                        Some(Column::Riser(_)) => {
                            if let VentLevel::AboveRim(f) = at.level {
                                floors.push(f);
                            }
                            continue;
                        }
                        Some(Column::Over(j) | Column::Beside(j)) => {
                            if self.upstream_of(j, legs[to - 1].joint) {
                                end
                            } else {
                                0.0
                            }
                        }
                        None => continue,
                    }
                }
            };
            if (s0 - s1).abs() < 1e-6 {
                if let VentLevel::AboveRim(f) = at.level {
                    floors.push(f);
                }
                continue;
            }
            if let VentLevel::AboveRim(f) = at.level {
                floors.push(f);
            }
            let h = self.vent_height(at, z) - z;
            let lift = Space::new(0.0, 0.0, h);
            let (lo, hi) = (s0.min(s1), s0.max(s1));
            // Where it meets the stack's own line it takes no room of its own.
            let from = if lo < 1e-6 { 3.0 } else { lo };
            block.outlines.push(Outline::pipe(
                (u * from + lift).point(),
                (u * hi + lift).point(),
                Cover::Vent,
            ));
            if let Some(&i) = self.captions.pieces.get(&e) {
                self.header_label(i, way, lo, hi, lift, block);
            }
        }
        floors.sort_unstable();
        floors.dedup();
        let crown = elements
            .iter()
            .zip(stood)
            .filter(|(e, _)| e.is_joint)
            .filter_map(|(e, s)| e.variants.get(s.variant))
            .filter(|(b, _)| b.joints.iter().filter(|(j, _)| self.is_trap(*j)).count() <= 2)
            .map(|(b, _)| b.height_above(way))
            .fold(0.0, f64::max);
        for f in floors {
            block.wants.push((Want::Rim(f), z + crown + 3.0));
        }
    }

    /// The columns at a joint of a level drain: the joint, and the fittings of drops on it.
    fn columns(&self, joint: JointIx) -> Vec<JointIx> {
        let mut columns = vec![joint];
        for p in self.net.upstream(joint) {
            let drop = self.net.runs[self.net.graph[p].run.0].kind == RunKind::FixtureDrain;
            let upright = (0..self.net.graph[p].legs.len()).all(|i| self.way(p, i) == Way::UP);
            if drop && upright {
                columns.extend(self.net.from(p));
            }
        }
        columns
    }

    /// How far from the trunk's start, and from earlier joints of it, the headers over a joint ask
    /// it to stand, so that their words have room: joint (none: the start) and distance.
    fn header_room(&self, joint: JointIx) -> Vec<(Option<JointIx>, f64)> {
        let own = self.columns(joint);
        let mut room = Vec::new();
        for e in self.vents_at(own.iter().copied()) {
            let Some(&i) = self.captions.pieces.get(&e) else {
                continue;
            };
            let Some((a, b)) = self.net.graph.edge_endpoints(e) else {
                continue;
            };
            let column = |v: JointIx| match vent_at(self.net, v).map(|at| at.column) {
                Some(Column::Over(j) | Column::Beside(j)) => Some(j),
                _ => None,
            };
            let (Some(ca), Some(cb)) = (column(a), column(b)) else {
                continue;
            };
            let far = if own.contains(&ca) { cb } else { ca };
            if !own.contains(&far) {
                room.push((Some(far), self.captions.all[i].width() + 7.0));
            }
        }
        room
    }

    /// Vent pieces that begin or end over any of these joints of the drains.
    fn vents_at(&self, joints: impl Iterator<Item = JointIx>) -> Vec<PieceIx> {
        use petgraph::Direction::{Incoming, Outgoing};
        use petgraph::visit::EdgeRef;
        let mut found = Vec::new();
        for v in joints.filter_map(|j| self.over.get(&j)).flatten() {
            for d in [Incoming, Outgoing] {
                let edges = self.net.graph.edges_directed(*v, d);
                found.extend(
                    edges
                        .filter(|e| e.weight().system == System::Vent)
                        .map(|e| e.id()),
                );
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    fn is_trap(&self, joint: JointIx) -> bool {
        matches!(self.net.graph[joint].kind, JointKind::Trap(_))
    }

    /// Words of a header, set above it.
    fn header_label(&self, i: usize, way: Way, lo: f64, hi: f64, lift: Space, block: &mut Block) {
        let caption = &self.captions.all[i];
        let w = caption.width();
        let start = ((lo + hi - w) / 2.0).max(lo + 1.0);
        // Above on paper: left of a way that leads right, right of one that leads left.
        let left = way.paper().x > 0.0;
        let (at, slant, outline) = lettering::along(caption, way, left);
        let shift = (way.unit() * start + lift).paper();
        block.outlines.push(outline.moved(shift));
        block.labels.push(PlacedLabel {
            caption: i,
            at: at + shift,
            slant,
            leader: None,
        });
    }

    /// Whether a joint of the drains lies upstream of another.
    fn upstream_of(&self, joint: JointIx, of: Option<JointIx>) -> bool {
        let Some(of) = of else { return false };
        let mut at = joint;
        for _ in 0..self.net.graph.node_count() {
            if at == of {
                return true;
            }
            match self.net.downstream(at).and_then(|p| self.net.to(p)) {
                Some(next) => at = next,
                None => return false,
            }
        }
        false
    }

    /// The stack's name and its invert, beside its foot.
    fn base_label(&self, base: JointIx, elements: &mut Vec<Element>, way: Way) {
        let Some(&i) = self.captions.joints.get(&base) else {
            return;
        };
        let caption = &self.captions.all[i];
        let u = way.unit();
        let lines = [(Point::ORIGIN, (u * 12.0).point())];
        let avoid = [Outline::pipe(
            (u * -60.0).point(),
            (u * 60.0).point(),
            Cover::Solid,
        )];
        let host = lettering::Host {
            lines: &lines,
            hull: &[],
        };
        let variants: Vec<(Block, f64)> = lettering::beside(caption, &host, &avoid, 4)
            .into_iter()
            .map(|(at, outline, _)| {
                let mut b = Block {
                    outlines: vec![outline],
                    ..Block::default()
                };
                b.labels.push(PlacedLabel {
                    caption: i,
                    at,
                    slant: Default::default(),
                    leader: None,
                });
                (b, 0.0)
            })
            .collect();
        elements.push(Element {
            variants,
            gap: 0.0,
            at_least: 0.0,
            is_joint: false,
            takes: 0.0,
            after: Vec::new(),
        });
    }

    /// A floor's mark, its words on the side that no branch takes.
    fn mark_block(&self, floor: FloorIx, sides: (bool, bool), lift: f64) -> Block {
        let mut block = Block::default();
        let Some(caption) = self.captions.floors.get(floor.0) else {
            return block;
        };
        self.mark(Some(floor), caption, sides, lift, &mut block);
        block
    }

    fn mark(
        &self,
        floor: Option<FloorIx>,
        caption: &crate::captions::Caption,
        sides: (bool, bool),
        lift: f64,
        block: &mut Block,
    ) {
        let (w, h) = (caption.width(), caption.height());
        let (x0, y0, slant) = match sides {
            (_, false) => (4.6, -h - 0.4, crate::sheets::Slant::Level),
            (false, true) => (-4.6 - w, -h - 0.4, crate::sheets::Slant::Level),
            (true, true) => (1.6, -3.0 - lift, crate::sheets::Slant::Up90),
        };
        let (outline, text_at) = if slant == crate::sheets::Slant::Level {
            let r = kurbo::Rect::new(x0, y0, x0 + w, y0 + h);
            (Outline::rect(r), Point::new(x0, y0 + caption.rise()))
        } else {
            let r = kurbo::Rect::new(x0, y0 - w, x0 + h, y0);
            (Outline::rect(r), Point::new(x0 + caption.rise(), y0))
        };
        block.outlines.push(outline);
        block.marks.push(PlacedMark {
            floor,
            at: Point::ORIGIN,
            text_at,
            slant,
        });
    }

    /// Marks of floors that the stack passes below `child_z` without a branch of theirs.
    fn floor_marks(
        &self,
        joint: JointIx,
        z: f64,
        child_z: f64,
        marked: &mut Vec<FloorIx>,
        elements: &mut Vec<Element>,
    ) {
        let own = self.floor_of_stack_joint(joint);
        for f in self.heights.floors() {
            let h = self.heights.branch(f);
            if Some(f) == own || marked.contains(&f) || h < z + 4.0 || h + MARK_RISE > child_z {
                continue;
            }
            marked.push(f);
            self.loose_mark(f, z, elements);
        }
        marked.extend(own);
    }

    fn loose_mark(&self, f: FloorIx, z: f64, elements: &mut Vec<Element>) {
        let variants = [(false, false), (false, true)]
            .map(|sides| (self.mark_block(f, sides, 0.0), 0.0))
            .to_vec();
        let at_least = self.heights.branch(f) + MARK_RISE - z;
        elements.push(Element {
            variants,
            gap: 0.0,
            at_least,
            is_joint: false,
            takes: 0.0,
            after: Vec::new(),
        });
    }

    /// What stands above a stack's top joint: floors passed, the stack vent's words, and last the
    /// terminal; says whether there is one.
    fn stack_top(
        &self,
        top: JointIx,
        z: f64,
        marked: &mut Vec<FloorIx>,
        elements: &mut Vec<Element>,
    ) -> bool {
        let Some(vents) = self.over.get(&top) else {
            return false;
        };
        let own = self.floor_of_stack_joint(top);
        let base = own.map_or(z, |f| self.heights.branch(f));
        for p in self.rising(top, vents) {
            let Some(&i) = self.captions.pieces.get(&p) else {
                continue;
            };
            let caption = &self.captions.all[i];
            let forms = [true, false].map(|left| {
                let (at, slant, outline) = lettering::along(caption, Way::UP, left);
                let mut b = Block {
                    outlines: vec![outline],
                    ..Block::default()
                };
                b.labels.push(PlacedLabel {
                    caption: i,
                    at,
                    slant,
                    leader: None,
                });
                (b, 0.0)
            });
            elements.push(Element {
                variants: forms.to_vec(),
                gap: 3.0,
                at_least: base + 12.0 - z,
                is_joint: false,
                takes: caption.width(),
                after: Vec::new(),
            });
        }
        for f in self.heights.floors() {
            if marked.contains(&f) || self.heights.branch(f) < base + 4.0 {
                continue;
            }
            marked.push(f);
            self.loose_mark(f, z, elements);
        }
        let reaches_roof = vents.iter().any(|&v| {
            matches!(
                vent_at(self.net, v),
                Some(VentAt {
                    level: VentLevel::Roof,
                    ..
                })
            )
        });
        if !reaches_roof {
            return false;
        }
        let roof = self.heights.roof() - z;
        let mut terminal = Block::default();
        if let Some(caption) = self.captions.floors.last() {
            let mut mark = Block::default();
            self.mark(None, caption, (false, false), 0.0, &mut mark);
            terminal.absorb(&mark, Space::new(0.0, 0.0, -9.0));
        }
        for &v in vents {
            for &f in self.figures.at(v) {
                let forms = self.with_figure(
                    f,
                    Way::UP,
                    vec![(Block::default(), 0.0)],
                    &terminal.outlines,
                );
                if let Some((form, _)) = forms.into_iter().next() {
                    terminal.absorb(&form, Space::default());
                }
            }
        }
        elements.push(Element {
            variants: vec![(terminal, 0.0)],
            gap: 0.0,
            at_least: roof,
            is_joint: false,
            takes: 0.0,
            after: Vec::new(),
        });
        true
    }

    /// Stands the risers of a stack beyond everything that the stack carries on their side.
    fn risers_of(&self, legs: &[LegRef], top: JointIx, z: f64, block: &mut Block) {
        let stack = self.net.graph[legs[0].piece].run.0;
        for riser in self.risers.iter().filter(|r| r.stack == stack) {
            let Some(&(_, lowest)) = riser.from.first() else {
                continue;
            };
            let Some(VentAt {
                column: Column::Over(over),
                ..
            }) = vent_at(self.net, lowest)
            else {
                continue;
            };
            let place = |b: &Block, j: JointIx| b.joints.iter().find(|x| x.0 == j).map(|x| x.1);
            let Some(start) = place(block, over) else {
                continue;
            };
            let way = self.branch_way(over);
            let right = way.paper().x > 0.0;
            // Beyond all that stands on that side.
            let reach = block
                .outlines
                .iter()
                .map(|o| if right { o.bounds().x1 } else { -o.bounds().x0 })
                .fold(0.0, f64::max);
            let own = start.paper().x.abs();
            let words = self.riser_words(riser);
            let t = ((reach - own).max(0.0) + 4.0) / crate::projection::COS30;
            let out = riser
                .from
                .iter()
                .filter_map(|(_, v)| match vent_at(self.net, *v)?.column {
                    Column::Over(j) => place(block, j),
                    _ => None,
                })
                .map(|at| {
                    Space::new(at.x - start.x, at.y - start.y, 0.0)
                        .paper()
                        .dot(way.paper())
                })
                .fold(0.0, f64::max);
            let t = t.max(out + words + 6.0);
            let t = (t / 2.0).ceil() * 2.0;
            let t = t.max(self.reach.borrow().get(&lowest).copied().unwrap_or(0.0));
            self.reach.borrow_mut().insert(lowest, t);
            let foot = Space::new(start.x, start.y, 0.0) + way.unit() * t;
            let mut zs: Vec<f64> = Vec::new();
            for (v, f) in &riser.joints {
                let h = self.heights.rim(*f) - z;
                zs.push(h);
                block.joints.push((*v, foot + Space::new(0.0, 0.0, h)));
            }
            let (lo, hi) = zs
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| {
                    (a.min(*h), b.max(*h))
                });
            if lo > hi {
                continue;
            }
            let at = |h: f64| foot + Space::new(0.0, 0.0, h);
            block
                .outlines
                .push(Outline::pipe(at(lo).point(), at(hi).point(), Cover::Vent));
            let mut up = lo + 6.0;
            for p in &riser.pieces {
                let Some(&i) = self.captions.pieces.get(p) else {
                    continue;
                };
                let caption = &self.captions.all[i];
                let (l_at, slant, outline) = lettering::along(caption, Way::UP, !right);
                let shift = at(up).paper();
                block.outlines.push(outline.moved(shift));
                block.labels.push(PlacedLabel {
                    caption: i,
                    at: l_at + shift,
                    slant,
                    leader: None,
                });
                up += caption.width() + 4.0;
            }
            self.riser_headers(riser, way, foot, z, block);
        }
        let _ = top;
    }

    /// The headers that lead from a stack's branch out to a riser, as far as the riser stood in the
    /// round before: nothing of another storey may stand in their way.
    fn headers_out(&self, z: f64, block: &mut Block) {
        for riser in self.risers {
            let Some((_, lowest)) = riser.from.first() else {
                continue;
            };
            let Some(&t) = self.reach.borrow().get(lowest) else {
                continue;
            };
            for (f, v) in &riser.from {
                let Some(VentAt {
                    column: Column::Over(j),
                    ..
                }) = vent_at(self.net, *v)
                else {
                    continue;
                };
                let Some(at) = block.joints.iter().find(|x| x.0 == j).map(|x| x.1) else {
                    continue;
                };
                let way = self.branch_way(j);
                let lift = Space::new(0.0, 0.0, self.heights.rim(*f) - z);
                let from = Space::new(at.x, at.y, 0.0);
                let out = way.unit() * (t - from.paper().dot(way.paper())).max(0.0);
                let (a, b) = ((from + lift).point(), (from + out + lift).point());
                block.outlines.push(Outline::pipe(a, b, Cover::Vent));
            }
        }
    }

    /// Width of the widest words on the level vents of a riser, mm.
    fn riser_words(&self, riser: &Riser) -> f64 {
        let pieces = riser.joints.iter().flat_map(|(v, _)| {
            use petgraph::Direction::{Incoming, Outgoing};
            use petgraph::visit::EdgeRef;
            let edges = |d| self.net.graph.edges_directed(*v, d).map(|e| e.id());
            edges(Incoming).chain(edges(Outgoing)).collect::<Vec<_>>()
        });
        pieces
            .filter(|p| !riser.pieces.contains(p))
            .filter_map(|p| self.captions.pieces.get(&p))
            .map(|&i| self.captions.all[i].width())
            .fold(0.0, f64::max)
    }

    /// The level vents between a riser and the columns that it serves, with their words.
    fn riser_headers(&self, riser: &Riser, way: Way, foot: Space, z: f64, block: &mut Block) {
        use petgraph::visit::EdgeRef;
        for (v, f) in &riser.joints {
            let lift = Space::new(0.0, 0.0, self.heights.rim(*f) - z);
            let out = self.net.graph.edges(*v).map(|e| (e.id(), e.target()));
            let into = self
                .net
                .graph
                .edges_directed(*v, petgraph::Direction::Incoming)
                .map(|e| (e.id(), e.source()));
            let both: Vec<(PieceIx, JointIx)> = out.chain(into).collect();
            for (piece, other) in both {
                let Some(VentAt {
                    column: Column::Over(j),
                    ..
                }) = vent_at(self.net, other)
                else {
                    continue;
                };
                let Some(at) = block.joints.iter().find(|x| x.0 == j).map(|x| x.1) else {
                    continue;
                };
                let corner = Space::new(at.x, at.y, 0.0);
                let back = way.reversed();
                let along = (corner - foot).paper().dot(back.paper());
                block.outlines.push(Outline::pipe(
                    (foot + lift).point(),
                    (foot + back.unit() * along + lift).point(),
                    Cover::Vent,
                ));
                if let Some(&i) = self.captions.pieces.get(&piece) {
                    let shift = foot + back.unit() * along;
                    let shift = Space::new(shift.x, shift.y, lift.z);
                    self.header_label(i, way, 0.0, along, shift, block);
                }
            }
        }
    }

    /// The way of the branch on which a joint of the drains stands.
    fn branch_way(&self, joint: JointIx) -> Way {
        let mut at = joint;
        let mut way = Way::Y;
        for _ in 0..self.net.graph.node_count() {
            let Some(p) = self.net.downstream(at) else {
                break;
            };
            if self.net.is_stack(self.net.graph[p].run) {
                break;
            }
            let w = self.way(p, 0);
            if !w.is_vertical() {
                way = w;
            }
            match self.net.to(p) {
                Some(next) => at = next,
                None => break,
            }
        }
        way
    }
}

/// Where a vent joint stands, if it is one.
pub fn vent_at(net: &Network, joint: JointIx) -> Option<VentAt> {
    match net.graph[joint].kind {
        JointKind::VentJoint(at) | JointKind::Terminal(at) | JointKind::Valve(at) => Some(at),
        _ => None,
    }
}
