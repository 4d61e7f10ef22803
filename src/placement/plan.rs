//! Chooses the corner to look from and the scale of lengths, so that the drawing crosses itself
//! least and fills its field.

use std::cell::RefCell;
use std::sync::Arc;

use kurbo::{Rect, Size};

use super::assemble::{Placement, assemble};
use super::at_once;
use super::block::{Block, Want};
use super::columns::Base;
use super::figures::Figures;
use super::grow::{Grower, Kept, Memo, Reach};
use super::heights::Heights;
use super::passes;
use super::scale::Scale;
use super::share::{Root, Share};
use super::trunk::{MODULE, TRUE};
use super::ways;
use crate::captions::Captions;
use crate::job::{FloorIx, Job};
use crate::network::{Network, PieceIx};
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

/// No drawing is taller, mm of paper: forty storeys take about three metres, cut or not.
const TALLEST: f64 = 10_000.0;
/// Rounds in which heights may rise; each round raises at least one floor for good.
const ROUNDS: usize = 24;

/// Rounds in which vents are raised off joints that they pass.
const PASSES: usize = 4;

/// A drawing lettered at one height, ready to be placed on any paper: the corner to look from and
/// the least that it needs are worked out once.
pub struct Placer<'a> {
    stage: Stage<'a>,
    corner: Corner,
    least: Placement,
    heights: Heights,
}

impl<'a> Placer<'a> {
    /// Chooses the corner. `field` is the paper that is tried first: its shape is what counts.
    pub fn new(
        job: &'a Job,
        net: &'a Network,
        captions: &'a Captions,
        figures: &'a Figures,
        field: Rect,
    ) -> Self {
        let subject = Subject {
            job,
            net,
            base: Arc::new(Base::of(net)),
            captions,
            figures,
        };
        let stage = subject.stage(Vec::new());
        let (corner, (least, heights)) = stage.best_corner(room_of(field));
        Placer {
            stage,
            corner,
            least,
            heights,
        }
    }
    /// The same drawing with other words, from the same corner.
    pub fn lettered<'b>(&self, captions: &'b Captions) -> Placer<'b>
    where
        'a: 'b,
    {
        let subject = self.stage.of.again(captions, self.stage.of.figures);
        let stage = subject.stage(self.stage.shares.clone());
        let (least, heights) = stage.place(self.corner);
        Placer {
            stage,
            corner: self.corner,
            least,
            heights,
        }
    }
    /// Whether the drawing takes no more than this share of a field each way.
    pub fn fits(&self, field: Rect, share: f64) -> bool {
        filling(&self.least, room_of(field)) <= share
    }
    /// Pipes at which the drawing may be cut, to go on on another sheet.
    pub fn cuttable(&self) -> Vec<PieceIx> {
        let of = &self.stage.of;
        let found = super::share::cuttable(of.net, &of.base.tree);
        found.into_iter().map(|c| c.piece).collect()
    }
    /// Shares the drawing out over sheets with this field. The words and symbols hold a mark for
    /// every pipe that may be cut.
    pub fn share_out(&self, captions: &Captions, figures: &Figures, field: Rect) -> Vec<Share> {
        let stage = self.stage.of.again(captions, figures).stage(Vec::new());
        let room = room_of(field) * ALMOST;
        let mut ground = stage.ground(self.corner, 0.0);
        let least = ground.heights.clone();
        let mut known: Vec<(Share, f64)> = Vec::new();
        let mut fills = |share: &Share| {
            if let Some((_, fill)) = known.iter().find(|(s, _)| s == share) {
                return *fill;
            }
            // Only what was grown is kept for the next: each share has heights of its own.
            ground.heights = least.clone();
            ground.reach = RefCell::default();
            let block = stage.grow(&[share], &mut ground);
            let fill = fills(block.bounds().unwrap_or_default(), room);
            known.push((share.clone(), fill));
            fill
        };
        let (net, tree) = (self.stage.of.net, &self.stage.of.base.tree);
        let roots = net.exits.iter().map(|&e| Root::Exit(e));
        super::share::share_out(net, tree, roots, &mut fills)
    }
    /// Does something with each of some shares by itself, with its own words and symbols.
    pub fn each<T: Send>(
        &self,
        captions: &Captions,
        figures: &Figures,
        shares: &[Share],
        work: impl Fn(&Placer<'_>) -> T + Sync,
    ) -> Vec<T> {
        let (subject, corner) = (self.stage.of.again(captions, figures), self.corner);
        at_once::each(shares, |share| {
            let stage = subject.stage(vec![share.clone()]);
            let (least, heights) = stage.place(corner);
            work(&Placer {
                stage,
                corner,
                least,
                heights,
            })
        })
    }
    /// The largest of some scales, largest first, at which the drawing fits a field.
    pub fn scale_for(&self, field: Rect, scales: &[Scale]) -> Option<Scale> {
        let fits = |s: &Scale| {
            let mut ground = self.stage.ground(self.corner, s.ratio);
            ground.module = TRUE;
            filling(&self.stage.placed(&mut ground), room_of(field)) <= 1.0
        };
        scales.iter().find(|s| fits(s)).copied()
    }
    /// Places the drawing in a field, at a scale.
    pub fn plan_at(&self, field: Rect, scale: Scale) -> Plan {
        let mut ground = self.stage.ground(self.corner, scale.ratio);
        ground.module = TRUE;
        self.set(self.stage.placed(&mut ground), field)
    }
    /// Places the drawing in a field, lengths in proportion as far as the field allows.
    pub fn plan(&self, field: Rect) -> Plan {
        let room = room_of(field);
        let mut placement = self.least.clone();
        let filled = |p: &Placement| filling(p, room);
        let mut lo = (0.0, filled(&placement));
        let mut hi = (LARGEST_SCALE, f64::INFINITY);
        let mut at = LARGEST_SCALE;
        for _ in 0..SCALES {
            if lo.1 > 1.0 {
                break;
            }
            let mut ground = self.stage.ground(self.corner, at);
            ground.heights.at_least(&self.heights);
            let p = self.stage.placed(&mut ground);
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
        self.set(placement, field)
    }
    /// Sets a placement in the middle of a field.
    fn set(&self, mut placement: Placement, field: Rect) -> Plan {
        let stage = &self.stage;
        let of = &stage.of;
        super::settle::settle(&mut placement, of.net, of.captions, of.figures);
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

/// A share must leave a little of its sheet free: labels that settle later may stand out of it.
const ALMOST: f64 = 0.97;
/// Lengths are drawn at no larger scale than 1 to 20.
const LARGEST_SCALE: f64 = 1.0 / 20.0;
/// Steps of the search for the scale.
const SCALES: usize = 4;
/// A drawing that takes more than this share of its room fills it.
const FULL: f64 = 0.96;
/// The share that the search aims at.
const FULL_ENOUGH: f64 = 0.985;

/// What a drawing whose building drain leads toward the viewer costs, in sheets.
const TOWARD: f64 = 0.4;
/// What a crossing costs, in sheets.
const CROSSING: f64 = 0.05;
/// A drawing takes at least this share, from any corner, of what it takes from another.
const SMALLEST: f64 = 0.6;

/// What of a field the drawing may take: all but a little margin.
fn room_of(field: Rect) -> Size {
    Size::new(field.width() - 8.0, field.height() - 8.0)
}

/// A step of so many mm straight to the right on paper.
fn across(x: f64) -> Space {
    let each = x / (2.0 * crate::projection::COS30);
    Space::new(each, -each, 0.0)
}

/// How much of a room the drawing takes, the more of both ways.
fn filling(placement: &Placement, room: Size) -> f64 {
    fills(placement.bounds, room)
}

fn fills(b: Rect, room: Size) -> f64 {
    (b.width() / room.width).max(b.height() / room.height)
}

/// What a drawing stands on: the view, and all that is known from what was grown before.
struct Ground {
    corner: Corner,
    scale: f64,
    module: f64,
    ways: ways::Ways,
    heights: Heights,
    reach: RefCell<Reach>,
    memo: Memo,
}

/// What is drawn, with which words and symbols.
#[derive(Clone)]
struct Subject<'a> {
    job: &'a Job,
    net: &'a Network,
    base: Arc<Base>,
    captions: &'a Captions,
    figures: &'a Figures,
}

struct Stage<'a> {
    of: Subject<'a>,
    kept: Kept,
    /// What is drawn; empty for all.
    shares: Vec<Share>,
}

impl<'a> Subject<'a> {
    /// The same building with other words and symbols.
    fn again<'b>(&self, captions: &'b Captions, figures: &'b Figures) -> Subject<'b>
    where
        'a: 'b,
    {
        Subject {
            job: self.job,
            net: self.net,
            base: Arc::clone(&self.base),
            captions,
            figures,
        }
    }
    /// Ready to be grown: some shares, or all if there are none.
    fn stage(&self, shares: Vec<Share>) -> Stage<'a> {
        Stage {
            of: self.clone(),
            kept: Kept::default(),
            shares,
        }
    }
}

impl Stage<'_> {
    /// The corner with the fewest crossings on the least paper, and the drawing from there.
    fn best_corner(&self, room: Size) -> (Corner, (Placement, Heights)) {
        let stated = self.of.job.drawing.from.as_ref();
        if let Some(corner) = stated.and_then(|h| Corner::from_heading(h.value)) {
            return (corner, self.place(corner));
        }
        // Seen from the downstream end: the building drain leads away from the viewer.
        let toward = |corner| {
            if self.leads_toward_viewer(corner) {
                TOWARD
            } else {
                0.0
            }
        };
        let mut best: Option<(f64, f64, Corner, (Placement, Heights))> = None;
        for leading in [false, true] {
            // From no corner does a drawing take less than so much of what it takes from another.
            let worth = |c: &Corner| {
                let least = toward(*c) + best.as_ref().map_or(0.0, |b| b.1 * SMALLEST);
                best.as_ref().is_none_or(|b| least < b.0)
            };
            let corners = Corner::ALL.into_iter();
            let corners = corners.filter(|c| self.leads_toward_viewer(*c) == leading);
            let corners: Vec<Corner> = corners.filter(worth).collect();
            let of = &self.of;
            let placed = at_once::each(&corners, |&c| of.stage(Vec::new()).place(c));
            for (corner, p) in corners.into_iter().zip(placed) {
                let takes = filling(&p.0, room);
                let crossings = crate::linework::crossings(&p.0) as f64;
                let cost = crossings * CROSSING + takes + toward(corner);
                if best.as_ref().is_none_or(|b| cost < b.0 - 1e-9) {
                    best = Some((cost, takes, corner, p));
                }
            }
        }
        match best {
            Some((_, _, corner, placed)) => (corner, placed),
            None => (Corner::SouthWest, self.place(Corner::SouthWest)),
        }
    }

    /// Places the least drawing from a corner.
    fn place(&self, corner: Corner) -> (Placement, Heights) {
        let mut ground = self.ground(corner, 0.0);
        (self.placed(&mut ground), ground.heights)
    }

    /// Grows and places what is drawn.
    fn placed(&self, ground: &mut Ground) -> Placement {
        let exits = self.of.net.exits.iter();
        let whole: Vec<Share> = exits.map(|&e| Share::whole(e)).collect();
        let shares = if self.shares.is_empty() {
            &whole
        } else {
            &self.shares
        };
        let shares: Vec<&Share> = shares.iter().collect();
        let Some(first) = shares.first() else {
            return Placement::empty(ground.corner);
        };
        let mut round = 0;
        loop {
            let block = self.grow(&shares, ground);
            let placement = assemble(&self.grower(ground, first), &block, ground.corner);
            round += 1;
            let floors = passes::floors(&placement, self.of.net);
            if floors.is_empty() || round == PASSES {
                return placement;
            }
            let higher = |f: FloorIx| (Want::Rim(f), ground.heights.rim(f) + 1.0);
            let wants: Vec<(Want, f64)> = floors.into_iter().map(higher).collect();
            ground.heights.raise(&wants);
        }
    }

    /// What a drawing from a corner, at a scale, stands on before anything is known.
    fn ground(&self, corner: Corner, scale: f64) -> Ground {
        let rise = |a: FloorIx, b: FloorIx| match (
            self.of.job.floors.get(a.0),
            self.of.job.floors.get(b.0),
        ) {
            (Some(a), Some(b)) => (b.level - a.level).mm() * scale,
            _ => 0.0,
        };
        Ground {
            corner,
            scale,
            module: MODULE,
            ways: ways::choose(self.of.job, self.of.net, &self.of.base, corner),
            heights: Heights::least(&self.floors(), 24.0, rise),
            reach: RefCell::default(),
            memo: Memo::default(),
        }
    }

    /// Grows some shares, each beside the one before; raises heights until all have their room.
    fn grow(&self, shares: &[&Share], ground: &mut Ground) -> Block {
        let mut block = Block::default();
        for round in 1..=ROUNDS {
            let before = ground.reach.borrow().clone();
            block = Block::default();
            let mut beside = 0.0;
            for share in shares {
                let part = self.grower(ground, share).grow().finish();
                // Each stands to the right of the one before, clear of it.
                let (left, right) = part.block().bounds().map_or((0.0, 0.0), |b| (b.x0, b.x1));
                let x = if beside > 0.0 { beside - left } else { 0.0 };
                beside = right + x + 12.0;
                block.absorb(part, across(x));
            }
            let mut wants = Vec::new();
            block.walk(Space::default(), &mut |b, at| {
                wants.extend(b.wants.iter().map(|(w, z)| (*w, z + at.z)));
            });
            let mut next = ground.heights.clone();
            let settled = !next.raise(&wants) && before == *ground.reach.borrow();
            // Of storeys that ask one another for room without end no sheet shows anything.
            if settled || round == ROUNDS || next.roof() > TALLEST {
                break;
            }
            ground.heights = next;
        }
        block
    }

    fn grower<'b>(&'b self, ground: &'b Ground, share: &'b Share) -> Grower<'b> {
        Grower {
            job: self.of.job,
            net: self.of.net,
            tree: &self.of.base.tree,
            captions: self.of.captions,
            ways: &ground.ways,
            figures: self.of.figures,
            heights: &ground.heights,
            scale: ground.scale,
            module: ground.module,
            over: &self.of.base.over,
            beside: &self.of.base.beside,
            risers: &self.of.base.risers,
            kept: &self.kept,
            memo: &ground.memo,
            reach: &ground.reach,
            share,
        }
    }

    /// Whether the building drain comes toward the viewer from the exit inward.
    fn leads_toward_viewer(&self, corner: Corner) -> bool {
        let leaves = self.of.job.exits.first().and_then(|e| e.heading.as_ref());
        leaves.is_some_and(|h| !corner.way(h.value.reversed()).recedes())
    }

    /// Floors that something stands on or hangs beneath, and all between, lowest first.
    fn floors(&self) -> Vec<FloorIx> {
        (0..self.of.job.floors.len())
            .map(FloorIx)
            .filter(|f| self.of.job.floors[f.0].part_of.is_none())
            .collect()
    }
}
