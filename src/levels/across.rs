//! Which legs lie between joists and go across them.

use std::collections::BTreeMap;

use super::falls::leg_is_vertical;
use super::lying::lies;
use crate::catalogue;
use crate::job::{Floor, FloorIx, Job, Lies};
use crate::network::{NetLeg, Network, PieceIx, RunKind};
use crate::units::{Heading, Length};

/// Legs that go across joists, by piece and number, each with the floor whose joists they are.
pub type Across = BTreeMap<(PieceIx, usize), FloorIx>;

/// A straight stretch of a run between the joists of one floor.
struct Stretch {
    heading: Heading,
    floor: FloorIx,
    /// What of its length is known.
    length: Length,
    legs: Vec<(PieceIx, usize)>,
}

/// Every leg across joists.
///
/// A stretch of one heading may lie in a bay if it gets no farther across the joists than they
/// stand apart; what is longer crosses one. Where the spacing is not stated the widest usual one
/// stands for it. A heading or a direction of joists that nobody states crosses nothing.
pub fn across(job: &Job, net: &Network) -> Across {
    let arms = arms(job, net);
    let mut found = Across::new();
    for run in &net.runs {
        let mut open: Option<Stretch> = None;
        for &piece in &run.pieces {
            for (i, leg) in net.graph[piece].legs.iter().enumerate() {
                let floor = between(job, net, (piece, i), leg, &arms);
                let here = leg.heading.zip(floor);
                let goes_on = match (&open, here) {
                    (Some(s), Some(here)) => (s.heading, s.floor) == here,
                    _ => false,
                };
                if !goes_on {
                    close(job, open.take(), &mut found);
                    open = here.map(|(heading, floor)| Stretch {
                        heading,
                        floor,
                        length: Length::ZERO,
                        legs: Vec::new(),
                    });
                }
                if let Some(stretch) = &mut open {
                    stretch.length += leg.length.unwrap_or_default();
                    stretch.legs.push((piece, i));
                }
            }
        }
        close(job, open, &mut found);
    }
    found
}

/// How much farther the upper end of a piece can go as it heads before it meets a joist; none where
/// it lies along them, or goes across already, or where that is not known.
pub fn bay_left(job: &Job, net: &Network, piece: PieceIx) -> Option<(Length, FloorIx)> {
    let last = net.graph.edge_weight(piece)?;
    let at = last.legs.len().checked_sub(1)?;
    let heading = last.legs.get(at)?.heading?;
    let floor = between(job, net, (piece, at), last.legs.get(at)?, &BTreeMap::new())?;
    if across(job, net).contains_key(&(piece, at)) {
        return None;
    }
    let f = job.floors.get(floor.0)?;
    let (run, spacing) = (
        f.joists_run?,
        f.spacing.or(catalogue::widest_spacing().map(|d| d.value))?,
    );
    let ((e, n), (je, jn)) = (heading.east_north(), run.east_north());
    let sideways = (e * jn - n * je).abs();
    (sideways > 1e-9).then_some(())?;
    // The straight stretch of the run that ends there.
    let pieces = &net.runs.get(last.run.0)?.pieces;
    let end = pieces.iter().position(|p| *p == piece)?;
    let legs = pieces.get(..=end)?.iter().flat_map(|p| &net.graph[*p].legs);
    let legs: Vec<&NetLeg> = legs.collect();
    let same = legs.iter().rev().take_while(|l| l.heading == Some(heading));
    let length: Length = same.map(|l| l.length).sum::<Option<Length>>()?;
    Some(((spacing / sideways - length).max(Length::ZERO), floor))
}

/// The floor between whose joists a leg lies, if it does and lies level.
fn between(
    job: &Job,
    net: &Network,
    (piece, i): (PieceIx, usize),
    leg: &NetLeg,
    arms: &BTreeMap<PieceIx, FloorIx>,
) -> Option<FloorIx> {
    if leg_is_vertical(leg) {
        return None;
    }
    match lies(job, net, piece, i) {
        Some((Lies::BetweenJoists, floor)) => Some(floor),
        Some(_) => None,
        None => arms.get(&piece).copied(),
    }
}

fn close(job: &Job, stretch: Option<Stretch>, found: &mut Across) {
    let Some(stretch) = stretch else { return };
    let Some(floor) = job.floors.get(stretch.floor.0) else {
        return;
    };
    if crosses(floor, stretch.heading, stretch.length) {
        found.extend(stretch.legs.into_iter().map(|leg| (leg, stretch.floor)));
    }
}

/// Whether so long a pipe of this heading leaves its bay.
fn crosses(floor: &Floor, heading: Heading, length: Length) -> bool {
    let widest = || catalogue::widest_spacing().map(|d| d.value);
    let (Some(run), Some(spacing)) = (floor.joists_run, floor.spacing.or_else(widest)) else {
        return false;
    };
    let ((e, n), (je, jn)) = (heading.east_north(), run.east_north());
    let sideways = length * (e * jn - n * je).abs();
    sideways > spacing && !sideways.same(spacing)
}

/// Trap arms that lie between joists: below the floor, and flowing into a drain that lies so.
fn arms(job: &Job, net: &Network) -> BTreeMap<PieceIx, FloorIx> {
    let into = |arm: PieceIx| {
        let mut below = net.downstream(net.to(arm)?)?;
        // A drop is of the same fixture; a network without circles ends.
        while let Some(RunKind::FixtureDrain | RunKind::Arm) = {
            let run = net.graph.edge_weight(below)?.run;
            net.runs.get(run.0).map(|r| r.kind)
        } {
            below = net.downstream(net.to(below)?)?;
        }
        let last = net.graph.edge_weight(below)?.legs.len().checked_sub(1)?;
        lies(job, net, below, last)
    };
    let of = |trap: &crate::network::Trap| {
        let arm = trap.arm?;
        let fixture = job.fixtures.get(trap.fixture)?;
        let usual = catalogue::kind(&fixture.kind.value).map(|k| k.default_outlet.height);
        let (lies, ix) = into(arm)?;
        let floor = job.floors.get(ix.0)?;
        let stands_on = net.draft.fixtures.get(trap.fixture)?.floor?;
        let below = fixture.outlet.or(usual)? < -floor.deck.unwrap_or_default();
        (lies == Lies::BetweenJoists && stands_on == ix && below).then_some((arm, ix))
    };
    net.traps.iter().filter_map(of).collect()
}
