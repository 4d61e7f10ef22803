//! Chooses the corner to look from and the scale of lengths, so that the drawing crosses itself
//! least and fills its field.

use std::collections::BTreeMap;

use kurbo::{Rect, Size};

use super::assemble::{Placement, assemble};
use super::block::Block;
use super::figures::Figures;
use super::grow::{Grower, Kept, Memo, Reach, Riser, vent_at};
use super::heights::Heights;
use super::tree::Tree;
use super::ways;
use crate::captions::Captions;
use crate::job::{FloorIx, Job};
use crate::network::{Column, JointIx, Network, RunKind, System, VentLevel};
use crate::projection::{Corner, Space};

/// A placed drawing and how it stands on its sheet.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The drawing.
    pub placement: Placement,
    /// Where the drawing's own origin stands on the sheet.
    pub origin: kurbo::Vec2,
    /// Whether it fits the field.
    pub fits: bool,
}

/// Rounds in which heights may rise; each round raises at least one floor for good.
const ROUNDS: usize = 24;

/// A drawing lettered at one height, ready to be placed on any paper: the corner to look from and
/// the least that it needs are worked out once.
pub struct Placer<'a> {
    stage: Stage<'a>,
    corner: Corner,
    least: Placement,
    heights: Heights,
}

impl<'a> Placer<'a> {
    /// The same drawing with other lettering, from the same corner.
    pub fn lettered<'b>(&self, captions: &'b Captions) -> Placer<'b>
    where
        'a: 'b,
    {
        let old = &self.stage;
        let stage = Stage::new(old.job, old.net, captions, old.figures);
        let (least, heights) = stage.place(self.corner, 0.0, None);
        Placer {
            stage,
            corner: self.corner,
            least,
            heights,
        }
    }
    /// Chooses the corner. `field` is the paper that is tried first: its shape is what counts.
    pub fn new(
        job: &'a Job,
        net: &'a Network,
        captions: &'a Captions,
        figures: &'a Figures,
        field: Rect,
    ) -> Self {
        let stage = Stage::new(job, net, captions, figures);
        let (corner, (least, heights)) = stage.best_corner(room_of(field));
        Placer {
            stage,
            corner,
            least,
            heights,
        }
    }
    /// Whether the drawing takes no more than this share of a field each way.
    pub fn fits(&self, field: Rect, share: f64) -> bool {
        filling(&self.least, room_of(field)) <= share
    }
    /// Places the drawing in a field.
    pub fn plan(&self, field: Rect) -> Plan {
        let room = room_of(field);
        let mut placement = self.least.clone();
        let filled = |p: &Placement| filling(p, room);
        let mut lo = (0.0, filled(&placement));
        let mut hi = (LARGEST_SCALE, f64::INFINITY);
        let mut at = LARGEST_SCALE;
        // Lengths in proportion as far as the field allows.
        for _ in 0..SCALES {
            if lo.1 > 1.0 {
                break;
            }
            let (p, _) = self.stage.place(self.corner, at, Some(&self.heights));
            let share = filled(&p);
            if share <= 1.0 {
                lo = (at, share);
                placement = p;
            } else {
                hi = (at, share);
            }
            if lo.1 > FULL || hi.1.is_infinite() {
                break;
            }
            // The paper that it takes grows nearly straight with the scale.
            let t = (FULL_ENOUGH - lo.1) / (hi.1 - lo.1);
            at = lo.0 + (hi.0 - lo.0) * t.clamp(0.1, 0.9);
        }
        let stage = &self.stage;
        super::settle::settle(&mut placement, stage.net, stage.captions, stage.figures);
        let b = placement.bounds;
        Plan {
            origin: field.center() - b.center(),
            fits: b.width() <= field.width() && b.height() <= field.height(),
            placement,
        }
    }
}

/// Places a drawing in a field.
pub fn plan(job: &Job, net: &Network, captions: &Captions, figures: &Figures, field: Rect) -> Plan {
    Placer::new(job, net, captions, figures, field).plan(field)
}

/// Lengths are drawn at no larger scale than 1 to 20.
const LARGEST_SCALE: f64 = 1.0 / 20.0;
/// Steps of the search for the scale.
const SCALES: usize = 4;
/// A drawing that takes more than this share of its room fills it.
const FULL: f64 = 0.96;
/// The share that the search aims at.
const FULL_ENOUGH: f64 = 0.985;

/// What of a field the drawing may take: all but a little margin.
fn room_of(field: Rect) -> Size {
    Size::new(field.width() - 8.0, field.height() - 8.0)
}

/// How much of a room the drawing takes, the more of both ways.
fn filling(placement: &Placement, room: Size) -> f64 {
    let b = placement.bounds;
    (b.width() / room.width).max(b.height() / room.height)
}

struct Stage<'a> {
    job: &'a Job,
    net: &'a Network,
    tree: Tree,
    captions: &'a Captions,
    figures: &'a Figures,
    over: BTreeMap<JointIx, Vec<JointIx>>,
    beside: BTreeMap<JointIx, Vec<JointIx>>,
    risers: Vec<Riser>,
    kept: Kept,
}

impl<'a> Stage<'a> {
    fn new(job: &'a Job, net: &'a Network, captions: &'a Captions, figures: &'a Figures) -> Self {
        let over = vents_by_column(net, |c| match c {
            Column::Over(j) => Some(j),
            _ => None,
        });
        let beside = vents_by_column(net, |c| match c {
            Column::Beside(j) => Some(j),
            _ => None,
        });
        let (risers, kept) = (risers(net), Kept::default());
        let tree = Tree::of(net, &over, &beside);
        Stage {
            job,
            net,
            tree,
            captions,
            figures,
            over,
            beside,
            risers,
            kept,
        }
    }

    /// The corner with the fewest crossings on the least paper, and the drawing from there.
    fn best_corner(&self, room: Size) -> (Corner, (Placement, Heights)) {
        let stated = self.job.drawing.from.as_ref();
        if let Some(corner) = stated.and_then(|h| Corner::from_heading(h.value)) {
            return (corner, self.place(corner, 0.0, None));
        }
        let cost = |corner: Corner, p: &Placement| {
            let over = filling(p, room);
            let crossings = crate::linework::crossings(p) as f64;
            // Seen from the downstream end: the building drain leads away from the viewer.
            let toward = if self.leads_toward_viewer(corner) {
                0.4
            } else {
                0.0
            };
            crossings * 0.05 + over + toward
        };
        let first = self.place(Corner::SouthWest, 0.0, None);
        let mut best = (cost(Corner::SouthWest, &first.0), Corner::SouthWest, first);
        for corner in Corner::ALL.into_iter().skip(1) {
            let p = self.place(corner, 0.0, None);
            let c = cost(corner, &p.0);
            if c < best.0 - 1e-9 {
                best = (c, corner, p);
            }
        }
        (best.1, best.2)
    }

    /// Places the drawing at a scale, from heights known to be needed, if there are any.
    fn place(&self, corner: Corner, scale: f64, known: Option<&Heights>) -> (Placement, Heights) {
        let ways = ways::choose(self.job, self.net, corner);
        let floors = self.floors();
        let rise =
            |a: FloorIx, b: FloorIx| match (self.job.floors.get(a.0), self.job.floors.get(b.0)) {
                (Some(a), Some(b)) => (b.level - a.level).mm() * scale,
                _ => 0.0,
            };
        let reach = Reach::default();
        let mut heights = Heights::least(&floors, 24.0, rise);
        if let Some(known) = known {
            heights.at_least(known);
        }
        let memo = Memo::default();
        let mut block = Block::default();
        for _ in 0..ROUNDS {
            let before = reach.borrow().clone();
            let grower = self.grower(&ways, &heights, scale, &reach, &memo);
            block = Block::default();
            for &exit in &self.net.exits {
                block.absorb(grower.exit(exit).finish(), Space::default());
            }
            let mut wants = Vec::new();
            block.walk(Space::default(), &mut |b, at| {
                wants.extend(b.wants.iter().map(|(w, z)| (*w, z + at.z)));
            });
            let mut next = heights.clone();
            if !next.raise(&wants) && before == *reach.borrow() {
                break;
            }
            heights = next;
        }
        let grower = self.grower(&ways, &heights, scale, &reach, &memo);
        let placement = assemble(&grower, &block, corner);
        (placement, heights)
    }

    fn grower<'b>(
        &'b self,
        ways: &'b ways::Ways,
        heights: &'b Heights,
        scale: f64,
        reach: &'b Reach,
        memo: &'b Memo,
    ) -> Grower<'b> {
        Grower {
            job: self.job,
            net: self.net,
            tree: &self.tree,
            captions: self.captions,
            ways,
            figures: self.figures,
            heights,
            scale,
            over: &self.over,
            beside: &self.beside,
            risers: &self.risers,
            kept: &self.kept,
            memo,
            reach,
        }
    }

    /// Whether the building drain comes toward the viewer from the exit inward.
    fn leads_toward_viewer(&self, corner: Corner) -> bool {
        let leaves = self.job.exits.first().and_then(|e| e.heading.as_ref());
        leaves.is_some_and(|h| !corner.way(h.value.reversed()).recedes())
    }

    /// Floors that something stands on or hangs beneath, and all between, lowest first.
    fn floors(&self) -> Vec<FloorIx> {
        (0..self.job.floors.len())
            .map(FloorIx)
            .filter(|f| self.job.floors[f.0].part_of.is_none())
            .collect()
    }
}

/// Vent joints by the joint of the drains over which they stand, lowest first.
fn vents_by_column(
    net: &Network,
    by: impl Fn(Column) -> Option<JointIx>,
) -> BTreeMap<JointIx, Vec<JointIx>> {
    let mut over: BTreeMap<JointIx, Vec<JointIx>> = BTreeMap::new();
    for joint in net.graph.node_indices() {
        if let Some(at) = vent_at(net, joint)
            && let Some(j) = by(at.column)
        {
            over.entry(j).or_default().push(joint);
        }
    }
    for list in over.values_mut() {
        list.sort_by_key(|&v| vent_at(net, v).map(|at| at.level));
    }
    over
}

/// The risers that accompany stacks, with where their headers come from.
fn risers(net: &Network) -> Vec<Riser> {
    let mut risers = Vec::new();
    for (ix, run) in net.runs.iter().enumerate() {
        if run.kind != RunKind::Riser {
            continue;
        }
        let mut joints: Vec<(JointIx, FloorIx)> = Vec::new();
        for joint in net.graph.node_indices() {
            if let Some(at) = vent_at(net, joint)
                && at.column == Column::Riser(crate::network::RunIx(ix))
                && let VentLevel::AboveRim(f) = at.level
            {
                joints.push((joint, f));
            }
        }
        joints.sort_by_key(|(_, f)| *f);
        let mut from = Vec::new();
        for (v, f) in &joints {
            for e in net.graph.edges_directed(*v, petgraph::Direction::Incoming) {
                use petgraph::visit::EdgeRef;
                let source = e.source();
                if e.weight().system == System::Vent
                    && matches!(
                        vent_at(net, source).map(|a| a.column),
                        Some(Column::Over(_))
                    )
                {
                    from.push((*f, source));
                }
            }
        }
        let Some(stack) = from.first().and_then(|(_, v)| stack_under(net, *v)) else {
            continue;
        };
        risers.push(Riser {
            stack,
            joints,
            from,
            pieces: run.pieces.clone(),
        });
    }
    risers
}

/// The stack that the drains under a vent joint flow into.
fn stack_under(net: &Network, vent: JointIx) -> Option<usize> {
    let mut at = match vent_at(net, vent)?.column {
        Column::Over(j) | Column::Beside(j) => j,
        Column::Riser(_) => return None,
    };
    for _ in 0..net.graph.node_count() {
        let piece = net.downstream(at)?;
        let run = net.graph[piece].run;
        if net.is_stack(run) {
            return Some(run.0);
        }
        at = net.to(piece)?;
    }
    None
}
