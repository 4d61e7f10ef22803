//! What lies below ground, by the levels as they came out.

use super::bores::{Bores, Part, part};
use super::falls::leg_is_vertical;
use super::lies;
use crate::job::{Floor, Lies};
use crate::network::{Network, PieceIx, RunKind};
use crate::solve::Work;
use crate::units::Length;

/// Finer than anyone sets a pipe: what touches the slab from below lies under it, mm.
const FINE: f64 = 0.5;

/// The part of the work that a piece belongs to by where it lies.
///
/// What the job says of a drain goes first, as for its material ([`part`]). Beside that
/// - what of a building drain stands above the slab that it lies under is above the ground;
/// - a pipe whose top at its higher end lies below the underside of the lowest slab is below it,
///   whether arm or drain; where no floor has a slab, below the top of the lowest floor if nothing
///   is said of what it is made of. What passes the slab is above the ground;
/// - where no level is known, a fixture's own drain that does not rise lies as the drain that it
///   joins.
pub fn ground(work: &Work<'_>, piece: PieceIx) -> Part {
    match part(work.net, piece) {
        Part::Below if stands_above(work, piece) => Part::Above,
        Part::Above if under_slab(work, piece) || beside_below(work, piece) => Part::Below,
        part => part,
    }
}

/// Whether the whole of a pipe lies under the lowest slab; not where nobody knows its level.
fn under_slab(work: &Work<'_>, piece: PieceIx) -> bool {
    let top = || {
        let level = work.solution.levels.pieces.get(&piece)?;
        let high = level.invert_up?.max(level.invert_down?);
        let size = work.size(piece)?;
        let bores = Bores::new(work.job, work.net);
        let over = bores.top(piece, size);
        Some(high + over.unwrap_or_else(|| bores.of(piece, size)))
    };
    let under = underside(work, piece).filter(|_| !elsewhere(work.net, piece));
    let within = under.zip(top());
    within.is_some_and(|(under, top)| top <= under + Length::from_mm(FINE))
}

/// The underside of the lowest slab; of a pit's own, for a drain that names it.
fn underside(work: &Work<'_>, piece: PieceIx) -> Option<Length> {
    let (job, net) = (work.job, work.net);
    let slab = |f: &Floor| Some(f.level - f.slab?);
    let run = net.graph.edge_weight(piece)?.run;
    let named = net.runs.get(run.0).and_then(|r| r.floor);
    let pit = named.and_then(|f| job.floors.get(f.0));
    if let Some(under) = pit.filter(|f| f.part_of.is_some()).and_then(slab) {
        return Some(under);
    }
    let floors = || job.floors.iter().filter(|f| f.part_of.is_none());
    let lowest = floors().filter_map(slab).reduce(Length::min);
    lowest.or_else(|| {
        let lowest = floors().reduce(|a, b| if b.level < a.level { b } else { a })?;
        let unsaid = lowest.deck.is_none() && lowest.joists.is_none();
        unsaid.then_some(lowest.level)
    })
}

/// Whether the job says of a pipe, or of the drain that a fixture's own goes to, that it lies
/// somewhere else than under a slab: a crawl space beside a slab is below its level as well.
fn elsewhere(net: &Network, piece: PieceIx) -> bool {
    let mut at = Some(piece);
    // A drain has no rings; that bound is kept all the same.
    for _ in 0..net.graph.edge_count() {
        let Some((p, here)) = at.and_then(|a| Some((net.graph.edge_weight(a)?, a))) else {
            return false;
        };
        if let Some(said) = p.legs.iter().find_map(|l| l.lies) {
            return said != Lies::UnderSlab;
        }
        let kind = net.runs.get(p.run.0).map(|r| r.kind);
        if !matches!(kind, Some(RunKind::FixtureDrain | RunKind::Arm)) {
            return false;
        }
        at = net.to(here).and_then(|j| net.downstream(j));
    }
    false
}

/// Whether a fixture's own drain does not rise from a drain below ground.
fn beside_below(work: &Work<'_>, piece: PieceIx) -> bool {
    let net = work.net;
    let below = || {
        let p = net.graph.edge_weight(piece)?;
        let own = net.runs.get(p.run.0)?.kind;
        let own = matches!(own, RunKind::FixtureDrain | RunKind::Arm);
        let level = !p.legs.iter().any(leg_is_vertical);
        (own && level).then_some(())?;
        net.downstream(net.to(piece)?)
    };
    below().is_some_and(|below| ground(work, below) == Part::Below)
}

/// Whether a piece of a building drain stands above the slab that the drain lies under: upright,
/// with its upper end above the slab, or the whole of it where nobody says how it lies.
fn stands_above(work: &Work<'_>, piece: PieceIx) -> bool {
    let (net, levels) = (work.net, &work.solution.levels.pieces);
    let Some((p, level)) = net.graph.edge_weight(piece).zip(levels.get(&piece)) else {
        return false;
    };
    let Some((Lies::UnderSlab, floor)) = lies(work.job, net, piece, 0) else {
        return false;
    };
    let Some(slab) = work.job.floors.get(floor.0).map(|f| f.level) else {
        return false;
    };
    let upright = !p.legs.is_empty() && p.legs.iter().all(leg_is_vertical);
    let said = p.legs.iter().any(|l| l.lies.is_some());
    match upright {
        true => level.invert_up.is_some_and(|up| up > slab),
        false => !said && level.invert_down.is_some_and(|down| down >= slab),
    }
}
