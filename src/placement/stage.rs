//! Grows one part of a drawing: heights are raised until all that stands in it has its room.

use std::cell::RefCell;

use super::assemble::{Placement, assemble};
use super::block::Block;
use super::grow::{Grower, Kept, Memo, Reach};
use super::heights::{Heights, Step};
use super::lengths::Held;
use super::part::Part;
use super::passes;
use super::trunk::MODULE;
use crate::captions::Captions;
use crate::job::{FloorIx, Job};
use crate::pins::Pins;
use crate::projection::{Corner, Space};

/// No drawing is taller, mm of paper: forty storeys take about three metres, cut or not.
const TALLEST: f64 = 10_000.0;
/// Rounds in which heights may rise; each round raises at least one floor for good.
const ROUNDS: usize = 24;
/// Rounds in which vents are raised off joints that they pass.
const PASSES: usize = 4;
/// A drawing that came out so many times as high as the least is tried again.
const TOO_HIGH: f64 = 1.5;
/// Clear paper between two parts of a sheet that nothing joins, mm.
pub const BESIDE: f64 = 12.0;
/// Height of the lowest branches above the exit, mm.
const LOWEST: f64 = 24.0;

/// A part with its words, ready to be grown.
pub struct Stage<'a> {
    /// The job.
    pub job: &'a Job,
    /// What is drawn.
    pub part: &'a Part,
    /// With which words.
    pub captions: &'a Captions,
    /// From where.
    pub corner: Corner,
    /// What is kept from drawing to drawing.
    pub kept: &'a Kept,
    /// Steps in which its heights go up.
    pub step: Step,
    /// Lengths of an earlier drawing that it has at the least.
    pub held: Option<&'a Held>,
    /// What the job pins.
    pub pins: &'a Pins,
}

/// What a drawing stands on: the view, and all that is known from what was grown before.
pub struct Ground {
    /// Millimetres of paper per millimetre of building; 0 for the least drawing.
    pub scale: f64,
    /// Stations are rounded up to this, mm.
    pub module: f64,
    /// The heights of its floors.
    pub heights: Heights,
    reach: RefCell<Reach>,
    memo: Memo,
}

impl Stage<'_> {
    /// Places the least drawing.
    pub fn least(&self) -> (Placement, Heights) {
        let mut ground = self.ground(0.0);
        (self.placed(&mut ground), ground.heights)
    }

    /// Grows and places what is drawn.
    pub fn placed(&self, ground: &mut Ground) -> Placement {
        let mut round = 0;
        loop {
            let block = self.grow(ground);
            let placement = assemble(&self.grower(ground), &block, self.corner);
            round += 1;
            let part = self.part;
            let wants = passes::wants(&placement, &part.net, &part.figures, &ground.heights);
            if wants.is_empty() || round == PASSES {
                return placement;
            }
            ground.heights.raise(&wants);
        }
    }

    /// What a drawing at a scale stands on before anything is known.
    pub fn ground(&self, scale: f64) -> Ground {
        let level = |f: FloorIx| self.job.floors.get(self.part.floor(f).0).map(|f| f.level);
        let rise = |a: FloorIx, b: FloorIx| {
            // Floors that one mark stands for are drawn as one.
            let b = if self.part.is_gap(a) {
                FloorIx(a.0 + 1)
            } else {
                b
            };
            match (level(a), level(b)) {
                (Some(a), Some(b)) => (b - a).mm() * scale,
                _ => 0.0,
            }
        };
        let mut heights = Heights::least(&self.part.floors, (LOWEST, self.step), rise);
        if let Some(held) = self.held {
            held.raise(&mut heights);
        }
        Ground {
            scale,
            module: MODULE,
            heights,
            reach: RefCell::default(),
            memo: Memo::default(),
        }
    }

    /// Grows the part, each root beside the one before; raises heights until all have their room.
    pub fn grow(&self, ground: &mut Ground) -> Block {
        let least = ground.heights.clone();
        let block = self.raised(ground);
        if ground.heights.roof() < least.roof() * TOO_HIGH {
            return block;
        }
        // Where risers were not far enough out at first, floors may have fled above them: once
        // more from the least heights, now that it is known how far out all stands.
        let high = std::mem::replace(&mut ground.heights, least);
        let again = self.raised(ground);
        if ground.heights.roof() < high.roof() {
            return again;
        }
        ground.heights = high;
        block
    }

    /// Grows the part from the heights in force, which only ever rise.
    fn raised(&self, ground: &mut Ground) -> Block {
        let mut block = Block::default();
        let rounds = ROUNDS + ground.heights.floors().count();
        for round in 1..=rounds {
            let before = ground.reach.borrow().clone();
            block = Block::default();
            let mut beside = 0.0;
            for &root in &self.part.roots {
                let part = self.grower(ground).grow(root).finish();
                // Each stands to the right of the one before, clear of it.
                let (left, right) = part.block().bounds().map_or((0.0, 0.0), |b| (b.x0, b.x1));
                let x = if beside > 0.0 { beside - left } else { 0.0 };
                beside = right + x + BESIDE;
                block.absorb(part, across(x));
            }
            let mut wants = Vec::new();
            block.walk(Space::default(), &mut |b, at| {
                wants.extend(b.wants.iter().map(|(w, z)| (*w, z + at.z)));
            });
            let mut next = ground.heights.clone();
            let settled = !next.raise(&wants) && before == *ground.reach.borrow();
            // Of storeys that ask one another for room without end no sheet shows anything.
            if settled || round == rounds || next.roof() > TALLEST {
                break;
            }
            ground.heights = next;
        }
        block
    }

    fn grower<'b>(&'b self, ground: &'b Ground) -> Grower<'b> {
        let part = self.part;
        Grower {
            job: self.job,
            net: &part.net,
            tree: &part.base.tree,
            captions: self.captions,
            ways: &part.ways,
            figures: &part.figures,
            heights: &ground.heights,
            scale: ground.scale,
            module: ground.module,
            over: &part.base.over,
            beside: &part.base.beside,
            risers: &part.base.risers,
            riser_ways: &part.riser_ways,
            kept: self.kept,
            memo: &ground.memo,
            reach: &ground.reach,
            hidden: part.hidden,
            held: self.held,
            pins: self.pins,
        }
    }
}

/// A step of so many mm straight to the right on paper.
fn across(x: f64) -> Space {
    let each = x / (2.0 * crate::projection::COS30);
    Space::new(each, -each, 0.0)
}
