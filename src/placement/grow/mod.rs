//! Grows the drawing from the exit: a chain of legs becomes trunks, each with what hangs on it.

mod cuts;
mod joint;
mod kept;
mod marks;
mod reach;
mod risers;
mod sideways;
mod vents;

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use kurbo::Point;

use crate::captions::Captions;
use crate::job::{FloorIx, Job};
use crate::network::{
    Column, JointIx, JointKind, Network, PieceIx, RunIx, RunKind, System, VentAt, VentLevel,
};
use crate::pins::Pins;
use crate::placement::block::{Block, Flush, Part, PlacedLabel, PlacedMark, Want};
use crate::placement::columns::Riser;
use crate::placement::figures::Figures;
use crate::placement::heights::{Heights, MARK_RISE};
use crate::placement::lengths::Held;
use crate::placement::lettering;
use crate::placement::outline::{Cover, Outline};
use crate::placement::tree::Tree;
use crate::placement::trunk::{Clear, Element, Forms, Parent, Stood, rounded, stand, stand_alone};
use crate::placement::ways::{LegWay, Ways};
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
/// Length of what is drawn of the sewer beyond an exit, mm.
const SEWER: f64 = 30.0;
/// Half of the side of the piece of floor that is drawn round a stack, mm.
pub const MARK_HALF: f64 = 4.8;

/// Everything that growing needs to know.
pub struct Grower<'a> {
    /// The job.
    pub job: &'a Job,
    /// The network.
    pub net: &'a Network,
    /// Its drains, walked.
    pub tree: &'a Tree,
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
    /// Stations are rounded up to this, mm.
    pub module: f64,
    /// Vents by the joint of the drains over which they stand.
    pub over: &'a BTreeMap<JointIx, Vec<JointIx>>,
    /// Vents by the joint of the drains beside which they stand (the loops of islands).
    pub beside: &'a BTreeMap<JointIx, Vec<JointIx>>,
    /// The risers that accompany stacks.
    pub risers: &'a [Riser],
    /// The way in which the branches that each riser serves leave their stack, and their lane.
    pub riser_ways: &'a BTreeMap<RunIx, LegWay>,
    /// Forms of symbols that stand by themselves, kept from drawing to drawing.
    pub kept: &'a Kept,
    /// What hangs at each joint, kept from round to round.
    pub memo: &'a Memo,
    /// How far out risers and lanes stood in the round before.
    pub reach: &'a RefCell<Reach>,
    /// The first of the runs that are not drawn, which come last, if there are any.
    pub hidden: Option<RunIx>,
    /// Lengths of an earlier drawing that this one has at the least.
    pub held: Option<&'a Held>,
    /// What the job pins.
    pub pins: &'a Pins,
}

pub use kept::{Kept, Memo};
pub use reach::Reach;

#[derive(Clone, Copy)]
struct LegRef {
    piece: PieceIx,
    leg: usize,
    way: Way,
    length: Option<Length>,
    joint: Option<JointIx>,
}

impl Grower<'_> {
    /// The block of everything upstream of a root.
    pub fn grow(&self, root: JointIx) -> Block {
        match self.net.graph[root].kind {
            JointKind::Cut => self.upstream_of_cut(root),
            _ => self.exit(root),
        }
    }

    /// The block of everything upstream of an exit.
    fn exit(&self, exit: JointIx) -> Block {
        let mut block = Block::default();
        block.joints.push((exit, Space::default()));
        let first = self.tree.up(exit).first();
        let inward = first.map_or(Way::X, |&p| self.way(p, 0));
        let side = inward.unit() * 14.0;
        let avoid = Block::of_outline(Outline::pipe(Point::ORIGIN, side.point(), Cover::Solid));
        let forms = self.at_joint(exit, inward, &Block::default(), &avoid, &[]);
        if let Some((form, _)) = forms.into_iter().next() {
            block.absorb(form, Space::default());
        }
        for &p in self.tree.up(exit) {
            let chain = self.chain(p, None, 0.0, &block);
            block.absorb(chain.finish(), Space::default());
        }
        // The sewer runs on outward from the exit.
        if let Some(sewer) = self.tree.down(exit) {
            let end = self.way(sewer, 0).reversed().unit() * SEWER;
            let line = Outline::pipe(Point::ORIGIN, end.point(), Cover::Solid);
            if let Some(&i) = self.captions.pieces.get(&sewer) {
                self.beside_sewer(i, end, &line, &mut block);
            }
            block.outlines.push(line);
            if let Some(tap) = self.net.to(sewer) {
                block.joints.push((tap, end));
            }
            block.legs.push((sewer, 0, Space::default()));
        }
        block
    }

    /// The words of the sewer, beside its free half: near the exit they would be read as the exit's.
    fn beside_sewer(&self, caption: usize, end: Space, line: &Outline, block: &mut Block) {
        let lines = [((end * 0.5).point(), end.point())];
        let host = lettering::Host {
            lines: &lines,
            hull: &[],
        };
        let avoid = |region, found: &mut Vec<Outline>| {
            found.push(line.clone());
            block.near(region, kurbo::Vec2::ZERO, found);
        };
        let words = &self.captions.all[caption];
        let places = lettering::beside(words, &host, avoid, 1);
        if let Some((at, flush, outline, _)) = places.into_iter().next() {
            block.outlines.push(outline);
            block.labels.push(PlacedLabel {
                caption,
                at,
                slant: Default::default(),
                flush,
                leader: None,
            });
        }
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
                let mut entering = self.tree.up(j).iter().copied();
                let goes_on = |q: PieceIx| self.net.graph[q].run == data.run;
                // A stack goes on up to its mark; a drain's stub hangs at its last joint.
                let stack = self.net.is_stack(data.run);
                entering.find(|&q| goes_on(q) && (stack || !self.is_cut(q)))
            });
        }
        legs
    }

    /// Whether a piece goes on upstream on another sheet.
    pub(super) fn is_cut(&self, piece: PieceIx) -> bool {
        let ends =
            |j: JointIx| self.net.graph[j].kind == JointKind::Cut && self.tree.up(j).is_empty();
        !self.is_hidden(piece) && self.net.from(piece).is_some_and(ends)
    }

    /// Whether a piece is not drawn.
    pub fn is_hidden(&self, piece: PieceIx) -> bool {
        self.hidden
            .is_some_and(|first| first <= self.net.graph[piece].run)
    }

    /// The block of a piece, of the rest of its run and of all that enters it.
    pub fn chain(&self, first: PieceIx, parent: Option<Parent>, z: f64, taken: &Block) -> Block {
        let legs = self.legs(first);
        self.trunk(&legs, 0, parent, z, taken)
    }

    fn trunk(
        &self,
        legs: &[LegRef],
        from: usize,
        parent: Option<Parent>,
        z: f64,
        taken: &Block,
    ) -> Block {
        let way = legs[from].way;
        let to = (from..legs.len())
            .take_while(|&k| legs[k].way == way)
            .count()
            + from;
        // Stations of a trunk that rises set the height of what hangs on it: settle them first.
        let mut assumed: BTreeMap<usize, f64> = BTreeMap::new();
        let rounds = if way.unit().z == 0.0 { 1 } else { 4 };
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
        // The lowest trunk of a stack holds all of it, above its offsets too.
        let run = self.net.graph[legs[from].piece].run;
        if from == 0 && self.net.is_stack(run) {
            self.risers_of(run, z, &mut block);
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
        taken: &Block,
        assumed: &mut BTreeMap<usize, f64>,
    ) -> (Block, BTreeMap<usize, f64>) {
        enum Role {
            Joint(usize),
            Loose,
            Terminal,
        }
        let way = legs[from].way;
        let upright = way == Way::UP;
        let stack = upright && self.net.is_stack(self.net.graph[legs[from].piece].run);
        let mut elements: Vec<Element> = Vec::new();
        let mut parts: Vec<Role> = Vec::new();
        let mut gap = 0.0;
        let mut marked: Vec<FloorIx> = Vec::new();
        if stack && let Some(base) = self.net.to(legs[from].piece) {
            self.base_label(base, &mut elements, way);
            parts.resize_with(elements.len(), || Role::Loose);
        }
        let mut merged_to = from;
        let mut after: Vec<(usize, f64)> = Vec::new();
        let mut stood_at: BTreeMap<JointIx, usize> = BTreeMap::new();
        let mut header_least = 0.0f64;
        let mut pushed = 0.0f64;
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
                elements.push(Element {
                    gap: 2.0,
                    takes: self.captions.all[i].width() + 1.0,
                    ..marks::loose(self.along(i, way), 0.0)
                });
                parts.push(Role::Loose);
            }
            let turns = k + 1 == to && to < legs.len();
            if leg.joint.is_none() && !turns {
                continue;
            }
            let floor = self.floor_met(legs, k).filter(|_| stack);
            let above = leg.joint.is_some_and(|j| self.is_above_floor(j));
            let target = floor.map(|f| match above {
                true => self.heights.above(f) - z,
                false => self.heights.branch(f) - z,
            });
            // A stack goes on on the next sheet where the floors of this one end.
            let ends = stack && self.is_cut(leg.piece);
            let target = target.or(ends.then(|| self.heights.roof() - z));
            let relief = leg.joint.and_then(|j| self.relief_at(j));
            let target = target.or(relief.map(|h| h - z));
            // An offset lies beneath its own floor and above the marks of those below.
            let past = leg.joint.and_then(|j| self.marks_below_offset(j));
            let past = past.map(|h| h + MARK_RISE - z).filter(|_| stack);
            let at_least = target
                .unwrap_or(0.0)
                .max(past.unwrap_or(0.0))
                .max(assumed.get(&k).copied().unwrap_or(0.0))
                .max(self.held_at(legs, (from, k), stack));
            let before = assumed.range(..k).next_back().map_or(0.0, |(_, s)| *s);
            let stands = match target.is_some() && at_least >= before + gap {
                true => at_least,
                false => rounded(at_least.max(before + gap), self.module),
            };
            let rises = way.unit().z;
            if rises != 0.0 {
                assumed.insert(k, stands);
            }
            // What hangs on a floor is grown as it will be once the floor lies where it is pushed to:
            // its vents rise with it, or each storey would push the next one twice as far.
            pushed = target.map_or(pushed, |t| (stands - t).max(0.0));
            let child_z = z + (stands - pushed) * rises;
            if stack && let Some(j) = leg.joint {
                self.floor_marks(j, z, child_z, &mut marked, &mut elements);
                parts.resize_with(elements.len(), || Role::Loose);
            }
            if !upright && let Some(j) = leg.joint {
                for (far, d) in self.header_room(j) {
                    let found = far.and_then(|f| stood_at.get(&f).copied());
                    match found {
                        Some(i) => after.push((i, d)),
                        // Downstream of this trunk: from its start. Upstream: not its affair.
                        None if far.is_some_and(|f| self.stands_below(f, j)) => {
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
            let mut forms = self.joint_forms(leg, next, way, child_z, stack, None);
            // Branches of one floor that meet the stack one above the other stand as one.
            if stack {
                (merged_to, forms) = self.merge_floor(legs, k, to, way, child_z, forms);
            }
            elements.push(Element {
                forms,
                gap,
                at_least,
                level: target.is_some(),
                is_joint: true,
                takes: 0.0,
                after: std::mem::take(&mut after),
            });
            parts.push(Role::Joint(k));
            gap = 0.0;
        }
        let top = legs[to - 1].joint.filter(|_| stack && to == legs.len());
        let mut wants = Vec::new();
        if let Some(top) = top {
            let roofed = self.stack_top(top, z, &mut marked, &mut elements, &mut wants);
            parts.resize_with(elements.len(), || Role::Loose);
            if roofed && let Some(last) = parts.last_mut() {
                *last = Role::Terminal;
            }
        }
        let clear = Clear {
            parent,
            corridor: if stack { STACK_CORRIDOR } else { CORRIDOR },
            module: self.module,
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
        let mut block = Block {
            wants,
            ..Block::default()
        };
        let mut stations = BTreeMap::new();
        let mut end = 0.0f64;
        let mut before = 0.0;
        for ((e, part), s) in elements.iter().zip(&parts).zip(&stood) {
            let Some((form, _)) = e.forms.each.get(s.variant) else {
                continue;
            };
            let at = u * s.station;
            block.absorb(Rc::clone(&e.forms.base), at);
            block.absorb(Rc::clone(form), at);
            match part {
                Role::Joint(k) => {
                    stations.insert(*k, s.station);
                    let above = e.forms.lift;
                    end = end.max(s.station + above);
                    self.record_legs(legs, from, *k, before, s.station, u, &mut block);
                    before = s.station + above;
                    if stack && self.is_cut(legs[*k].piece) {
                        block.cuts.push((legs[*k].piece, at));
                        block.wants.push((Want::Roof, s.station));
                    }
                    if let Some(j) = legs[*k].joint.filter(|_| !self.is_cut(legs[*k].piece)) {
                        block.joints.push((j, at));
                        let floor = self.floor_met(legs, *k).filter(|_| stack);
                        let want = floor.map(|f| match self.is_above_floor(j) {
                            true => (Want::Above(f), s.station),
                            false => (Want::Branch(f), s.station),
                        });
                        block.wants.extend(want);
                        let own = self.tree.floor(j).filter(|_| stack);
                        let own = own
                            .filter(|f| !self.passes_floor(self.net.graph[legs[*k].piece].run, *f));
                        let mark = own.map(|f| (Want::Mark(f), s.station + above + MARK_RISE));
                        block.wants.extend(mark);
                        if let JointKind::Relief(f) = self.net.graph[j].kind {
                            block.wants.extend(self.heights.relief_want(f, s.station));
                        }
                    }
                }
                Role::Loose => {}
                Role::Terminal => {
                    block.wants.push((Want::Roof, s.station));
                    // The stack vent itself stands in the stack's own line.
                    let (a, b) = ((u * end).point(), at.point());
                    block.outlines.push(Outline::pipe(a, b, Cover::Vent));
                }
            }
        }
        if !self.is_hidden(legs[from].piece) {
            block.outlines.push(Outline::pipe(
                Point::ORIGIN,
                (u * end).point(),
                Cover::Solid,
            ));
        }
        if !upright && !way.is_vertical() {
            self.headers_over(legs, from, to, way, z, &elements, &stood, &mut block);
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

    /// How far up its trunk a leg ended in an earlier drawing; on a stack floors settle that.
    fn held_at(&self, legs: &[LegRef], (from, k): (usize, usize), stack: bool) -> f64 {
        let name = |l: &LegRef| (l.piece, l.leg);
        let begins = from.checked_sub(1).map(|b| name(&legs[b]));
        let held = self.held.filter(|_| !stack);
        let was = held.and_then(|h| h.station(begins, name(&legs[k]), legs[k].way));
        was.unwrap_or(0.0)
    }

    fn least_leg(&self, kind: RunKind, leg: &LegRef) -> f64 {
        let least = match kind {
            RunKind::Arm => ARM,
            RunKind::FixtureDrain if leg.way == Way::UP => DROP,
            RunKind::Stack if leg.way == Way::UP => 10.0,
            _ => BETWEEN,
        };
        let own = leg.length.map_or(0.0, |l| l.mm() * self.scale);
        least.max(own).max(self.pinned(leg))
    }

    /// The length that the job pins of a pipe's longest leg, mm of paper.
    fn pinned(&self, leg: &LegRef) -> f64 {
        if self.pins.lengths.is_empty() || leg.leg != self.label_leg(leg.piece) {
            return 0.0;
        }
        let id = &self.net.graph[leg.piece].id;
        self.pins.lengths.get(id).copied().unwrap_or(0.0)
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

    /// The floor of the first branch that enters a joint of a stack, if none of that floor enters
    /// below: only the lowest sets the floor's height, the others stand above it.
    fn floor_met(&self, legs: &[LegRef], k: usize) -> Option<FloorIx> {
        let floor = |l: &LegRef| l.joint.and_then(|j| self.tree.floor(j));
        let own = floor(&legs[k])?;
        let below = legs[..k].iter().rev().find_map(floor);
        (below < Some(own)).then_some(own)
    }

    /// The height at which a relief vent leaves a stack, if one does at this joint.
    fn relief_at(&self, joint: JointIx) -> Option<f64> {
        match self.net.graph[joint].kind {
            JointKind::Relief(floor) => Some(self.heights.relief(floor)),
            _ => None,
        }
    }

    /// The height of the highest mark of the floors below a stack's offset whose foot this is.
    fn marks_below_offset(&self, joint: JointIx) -> Option<f64> {
        let JointKind::OffsetFoot(floor) = self.net.graph[joint].kind else {
            return None;
        };
        let below = self.heights.floors().rev().find(|f| *f < floor);
        below.map(|f| self.heights.mark(f))
    }

    /// Whether a joint, or the drain that its drop stands on, lies downstream of another.
    fn stands_below(&self, joint: JointIx, other: JointIx) -> bool {
        let foot = || self.tree.down(joint).and_then(|p| self.net.to(p));
        self.tree.upstream_of(other, joint)
            || foot().is_some_and(|f| self.tree.upstream_of(other, f))
    }
}

/// Where a vent joint stands, if it is one.
pub fn vent_at(net: &Network, joint: JointIx) -> Option<VentAt> {
    match net.graph[joint].kind {
        JointKind::VentJoint(at) | JointKind::Terminal(at) | JointKind::Valve(at) => Some(at),
        _ => None,
    }
}
