//! What a pipe lies under, and so how high, and how low, it may lie.

use super::across::{Across, across};
use super::bores::Bores;
use super::falls::leg_is_vertical;
use super::holes::{Holes, holes};
use super::model::{Bound, Limit};
use crate::catalogue;
use crate::codebook::Book;
use crate::job::{Floor, FloorIx, Job, Lies};
use crate::network::{Network, PieceIx, RunKind};
use crate::units::PipeSize;

/// Where a leg lies, and the floor above it.
///
/// What the job says of the leg goes first. A building drain or its branch lies else under the slab
/// of its floor, a branch of a stack between the joists of its floor; a floor that a drain does not
/// name is the lowest that has a slab, or joists.
pub fn lies(job: &Job, net: &Network, piece: PieceIx, leg: usize) -> Option<(Lies, FloorIx)> {
    let p = net.graph.edge_weight(piece)?;
    let run = net.runs.get(p.run.0)?;
    let slab = |f: &Floor| f.slab.is_some();
    let joists = |f: &Floor| f.joists.is_some();
    let named = |has: fn(&Floor) -> bool| {
        let named = run.floor;
        named.filter(|f| job.floors.get(f.0).is_some_and(has))
    };
    let own = |has: fn(&Floor) -> bool| {
        named(has).or_else(|| lowest(job, has).filter(|_| run.floor.is_none()))
    };
    match p.legs.get(leg).and_then(|l| l.lies) {
        // What is said of the leg holds, whatever floor the whole drain names.
        Some(Lies::UnderSlab) => {
            Some((Lies::UnderSlab, named(slab).or_else(|| lowest(job, slab))?))
        }
        Some(lies) => Some((lies, named(joists).or_else(|| lowest(job, joists))?)),
        None => match run.kind {
            RunKind::BuildingDrain | RunKind::BuildingBranch => Some((Lies::UnderSlab, own(slab)?)),
            RunKind::Branch => Some((Lies::BetweenJoists, own(joists)?)),
            RunKind::FixtureDrain => beside(job, net, piece, leg),
            _ => None,
        },
    }
}

/// The lowest floor of a kind that a drain may lie under: no pit, whose slab only its own drain
/// lies under, and of slabs one that lies above the exit, if there is one.
fn lowest(job: &Job, has: fn(&Floor) -> bool) -> Option<FloorIx> {
    let exits = job.exits.iter();
    let exit = exits.filter_map(|e| Some(e.invert.as_ref()?.value));
    let exit = exit.min_by(|a, b| a.total_cmp(b));
    let over = |f: &Floor| {
        let under = f.slab.map(|slab| f.level - slab);
        exit.zip(under).is_none_or(|(exit, under)| under > exit)
    };
    let floors = job.floors.iter().enumerate();
    let found = floors.filter(|(_, f)| has(f) && f.part_of.is_none());
    let (level, reached) = (|f: &Floor| f.level, |f: &Floor| !over(f));
    let least = found.min_by(|a, b| {
        let (a, b) = (a.1, b.1);
        (reached(a).cmp(&reached(b))).then(level(a).total_cmp(&level(b)))
    });
    least.map(|(i, _)| FloorIx(i))
}

/// A fixture's own drain lies, until it rises, where the drain that it joins does.
fn beside(job: &Job, net: &Network, piece: PieceIx, leg: usize) -> Option<(Lies, FloorIx)> {
    let p = net.graph.edge_weight(piece)?;
    let run = net.runs.get(p.run.0)?;
    let first = run.pieces.first() == Some(&piece);
    let level = p.legs.get(..=leg)?.iter().all(|l| !leg_is_vertical(l));
    (first && level).then_some(())?;
    let below = net.downstream(net.to(piece)?)?;
    let under = net.graph.edge_weight(below)?;
    let kind = net.runs.get(under.run.0)?.kind;
    let drain = matches!(
        kind,
        RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch
    );
    drain.then(|| lies(job, net, below, under.legs.len().saturating_sub(1)))?
}

/// A leg of a piece of this size.
#[derive(Clone, Copy, Debug)]
pub struct Leg {
    /// The piece.
    pub piece: PieceIx,
    /// Its size.
    pub size: PipeSize,
    /// Which leg of it, from its downstream end.
    pub leg: usize,
}

/// What the limits of every leg are worked out from.
pub struct Lying<'a> {
    job: &'a Job,
    net: &'a Network,
    book: &'a Book,
    /// The bores of the job's pipes.
    pub bores: Bores<'a>,
    across: Across,
}

impl<'a> Lying<'a> {
    /// Of one job.
    pub fn new(job: &'a Job, net: &'a Network, book: &'a Book) -> Self {
        Lying {
            job,
            net,
            book,
            bores: Bores::new(job, net),
            across: across(job, net),
        }
    }

    /// The highest invert that a leg may have where it lies.
    pub fn highest(&self, at: Leg) -> Option<Limit> {
        let (lies, ix) = lies(self.job, self.net, at.piece, at.leg)?;
        let floor = self.job.floors.get(ix.0)?;
        let deck = floor.deck.unwrap_or_default();
        let (above, bound) = match lies {
            Lies::UnderSlab => {
                let under = floor.level - floor.slab?;
                (under - catalogue::under_slab()?.value, Bound::Slab(ix))
            }
            Lies::BetweenJoists => match self.hole(at) {
                Some(hole) => (hole.top - hole.edge, Bound::OverHole(ix)),
                None => (floor.level - deck, Bound::Deck(ix)),
            },
            Lies::UnderJoists | Lies::CrawlSpace => {
                (floor.level - deck - floor.joists?, Bound::Joists(ix))
            }
            Lies::Wall => return None,
        };
        // From the invert to the top of the pipe's outside.
        let bore = self.bores.of(at.piece, at.size);
        let wall = self.bores.wall(at.piece, at.size);
        Some(Limit {
            invert: above - bore - wall,
            bound,
        })
    }

    /// The lowest invert that a leg may have where it lies: only joists and a soffit have a bottom.
    pub fn lowest(&self, at: Leg) -> Option<Limit> {
        let (lies, ix) = lies(self.job, self.net, at.piece, at.leg)?;
        let floor = self.job.floors.get(ix.0)?;
        let joists = floor.level - floor.deck.unwrap_or_default() - floor.joists?;
        let (below, bound) = match lies {
            Lies::BetweenJoists => match self.hole(at) {
                Some(hole) => (hole.bottom + hole.edge, Bound::UnderHole(ix)),
                None => (joists, Bound::JoistBottom(ix)),
            },
            Lies::UnderJoists => (joists - floor.soffit?, Bound::Soffit(ix)),
            Lies::UnderSlab | Lies::CrawlSpace | Lies::Wall => return None,
        };
        Some(Limit {
            invert: below + self.bores.wall(at.piece, at.size),
            bound,
        })
    }

    /// The limits of the hole that a leg needs through sawn joists. None where it needs none, and
    /// where no level would make it good: the pipe is too large for any.
    fn hole(&self, at: Leg) -> Option<Holes> {
        let floor = self.across.get(&(at.piece, at.leg))?;
        let holes = holes(self.job, self.book, *floor)?;
        let outside = self.bores.outside(at.piece, at.size)?;
        holes.take(outside).then_some(holes)
    }
}
