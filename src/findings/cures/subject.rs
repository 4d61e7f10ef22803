//! What a cure is wanted for, with what every kind of cure asks of it.

use super::super::context::Context;
use crate::job::{Drain, Target};
use crate::levels::{Room, bounds, way};
use crate::network::{JointKind, PieceIx, RunIx, State};
use crate::units::{Fall, Length, UnitSystem};

/// What holds the level of a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Root {
    /// An exit, by index.
    Exit(usize),
    /// The invert that a drain states where it meets its stack.
    Stated(RunIx),
    /// Nothing: the branch hangs from its fixtures.
    Hung(RunIx),
    /// The inlet that a basin states, by index.
    Inlet(usize),
}

/// A place without room.
pub struct Subject<'a> {
    /// All that is known.
    pub ctx: &'a Context<'a>,
    /// The drain.
    pub piece: PieceIx,
    /// The room that is wanting there.
    pub room: Room,
    /// By how much, above nothing; with what the job keeps to spare.
    pub short: Length,
    /// The pieces whose falls decide the level.
    pub way: Vec<PieceIx>,
    /// What holds the level.
    pub root: Option<Root>,
}

impl<'a> Subject<'a> {
    /// A place without room on a piece.
    pub fn new(ctx: &'a Context<'a>, room: Room, piece: PieceIx) -> Self {
        let levels = &ctx.solution.levels;
        Subject {
            ctx,
            piece,
            room,
            short: ctx.job.practice.spare.unwrap_or_default() - room.spare,
            way: way(ctx.net, &levels.pieces, &levels.highest, piece, room.bound),
            root: root(ctx, piece),
        }
    }

    /// What its finding is known by: the drain and what bounds it.
    pub fn key(&self) -> (String, String) {
        let ctx = self.ctx;
        let bound = bounds::words(ctx.job, ctx.net, self.room.bound);
        (ctx.net.graph[self.piece].id.clone(), bound)
    }

    /// Whether all on the way to what holds the level is still to be laid.
    pub fn is_new(&self) -> bool {
        let net = self.ctx.net;
        let state = |p: &PieceIx| net.graph.edge_weight(*p).map(|p| p.state);
        !self.way.iter().any(|p| state(p) == Some(State::Existing))
    }

    /// Whether it hangs too low, within joists, and not too high.
    pub fn too_low(&self) -> bool {
        self.room.bound.is_below()
    }

    /// Fall of a piece and the level length over which it has it.
    pub fn fall(&self, piece: PieceIx) -> Option<(Fall, Length)> {
        let level = self.ctx.solution.levels.pieces.get(&piece)?;
        Some((level.fall?, level.horizontal?))
    }

    /// The drain of the job that a piece is of, if it is still to be laid.
    pub fn drain(&self, piece: PieceIx) -> Option<&'a Drain> {
        let run = self.ctx.net.graph.edge_weight(piece)?.run;
        self.drain_of(run)
    }

    /// The drains of the job on the way that are still to be laid, each once, with the first piece of
    /// it there.
    pub fn drains(&self) -> Vec<(PieceIx, &'a Drain)> {
        let mut all: Vec<(PieceIx, &Drain)> = Vec::new();
        for piece in &self.way {
            if let Some(drain) = self.drain(*piece)
                && !all.iter().any(|(_, d)| d.name == drain.name)
            {
                all.push((*piece, drain));
            }
        }
        all
    }

    /// The drain of the job that is this run, if it is still to be laid.
    pub fn drain_of(&self, run: RunIx) -> Option<&'a Drain> {
        let id = &self.ctx.net.runs.get(run.0)?.id;
        let mut drains = self.ctx.job.drains.iter();
        drains.find(|d| d.name == *id && !d.existing)
    }

    /// Whether a thing flows into this drain of the job.
    pub fn flows_into(&self, drain: &Drain, target: &Target) -> bool {
        let index = self
            .ctx
            .job
            .drains
            .iter()
            .position(|d| d.name == drain.name);
        matches!(target, Target::Drain(i) if Some(*i) == index)
    }

    /// The step in which the job's levels are written: an eighth of an inch, or a millimetre.
    pub fn fine(&self) -> Length {
        self.ctx.print.step()
    }

    /// The step in which lengths of pipe are given up: an inch, or a centimetre.
    pub fn coarse(&self) -> Length {
        match self.ctx.job.units {
            UnitSystem::Feet => Length::from_inches(1.0),
            UnitSystem::Metric => Length::from_mm(10.0),
        }
    }
}

/// The whole steps that hold a length, or the next more.
pub fn up(length: Length, step: Length) -> Length {
    step * (length / step - 1e-6).ceil()
}

/// The whole steps that a length holds.
pub fn down(length: Length, step: Length) -> Length {
    step * (length / step + 1e-6).floor()
}

fn root(ctx: &Context<'_>, piece: PieceIx) -> Option<Root> {
    let levels = &ctx.solution.levels.pieces;
    let mut at = piece;
    loop {
        let to = ctx.net.to(at)?;
        if let Some(exit) = ctx.net.exits.iter().position(|e| *e == to) {
            return Some(Root::Exit(exit));
        }
        let joint = ctx.net.graph.node_weight(to)?;
        if joint.kind == JointKind::Basin {
            let basin = ctx.job.basins.iter().position(|b| b.name == joint.id);
            return basin.map(Root::Inlet);
        }
        let level = levels.get(&at)?;
        if level.step.is_none() {
            let run = ctx.net.graph.edge_weight(at)?.run;
            return Some(match level.hung {
                true => Root::Hung(run),
                false => Root::Stated(run),
            });
        }
        at = ctx.net.downstream(to)?;
    }
}
