//! What a pipe lies under, and so how high, and how low, it may lie.

use super::bores::Bores;
use super::model::{Bound, Limit};
use crate::catalogue;
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
    let lowest = |has: fn(&Floor) -> bool| {
        // A pit has a slab of its own, and no drain but its own lies under that.
        let floors = job.floors.iter().enumerate();
        let found = floors.filter(|(_, f)| has(f) && f.part_of.is_none());
        let least = found.min_by(|a, b| a.1.level.total_cmp(&b.1.level));
        least.map(|(i, _)| FloorIx(i))
    };
    let slab = |f: &Floor| f.slab.is_some();
    let joists = |f: &Floor| f.joists.is_some();
    let own = |has: fn(&Floor) -> bool| {
        let own = run.floor.filter(|f| job.floors.get(f.0).is_some_and(has));
        own.or_else(|| lowest(has).filter(|_| run.floor.is_none()))
    };
    match p.legs.get(leg).and_then(|l| l.lies) {
        Some(Lies::UnderSlab) => Some((Lies::UnderSlab, own(slab)?)),
        Some(lies) => Some((lies, own(joists)?)),
        None => match run.kind {
            RunKind::BuildingDrain | RunKind::BuildingBranch => Some((Lies::UnderSlab, own(slab)?)),
            RunKind::Branch => Some((Lies::BetweenJoists, own(joists)?)),
            _ => None,
        },
    }
}

/// The highest invert that a pipe may have where it lies.
pub fn highest(
    job: &Job,
    bores: &Bores<'_>,
    (piece, size): (PieceIx, PipeSize),
    (lies, ix): (Lies, FloorIx),
) -> Option<Limit> {
    let floor = job.floors.get(ix.0)?;
    let deck = floor.deck.unwrap_or_default();
    let (above, bound) = match lies {
        Lies::UnderSlab => {
            let under = floor.level - floor.slab?;
            (under - catalogue::under_slab()?.value, Bound::Slab(ix))
        }
        Lies::BetweenJoists => (floor.level - deck, Bound::Deck(ix)),
        Lies::UnderJoists | Lies::CrawlSpace => {
            (floor.level - deck - floor.joists?, Bound::Joists(ix))
        }
        Lies::Wall => return None,
    };
    // From the invert to the top of the pipe's outside.
    let (bore, wall) = (bores.of(piece, size), bores.wall(piece, size));
    Some(Limit {
        invert: above - bore - wall,
        bound,
    })
}

/// The lowest invert that a pipe may have where it lies: only joists have a bottom.
pub fn lowest(
    job: &Job,
    bores: &Bores<'_>,
    (piece, size): (PieceIx, PipeSize),
    (lies, ix): (Lies, FloorIx),
) -> Option<Limit> {
    let floor = job.floors.get(ix.0)?;
    if lies != Lies::BetweenJoists {
        return None;
    }
    let bottom = floor.level - floor.deck.unwrap_or_default() - floor.joists?;
    Some(Limit {
        invert: bottom + bores.wall(piece, size),
        bound: Bound::JoistBottom(ix),
    })
}
