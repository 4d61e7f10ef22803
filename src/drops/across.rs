//! Drains that go across joists: bores through their sides, as holes through a floor are through it.

use std::collections::{BTreeMap, BTreeSet};

use super::Unknown;
use crate::catalogue;
use crate::job::FloorIx;
use crate::levels::{self, Bores, Met, Outside, across, ends as plan_ends, holes, inverts};
use crate::network::{PieceIx, State, System, piece_called, positions, run_called};
use crate::solve::Work;
use crate::units::{Length, PipeSize};

/// A place in plan: east and north of plan zero.
type Place = (Length, Length);

/// A leg of a drain across the joists of a floor.
pub struct Crossing {
    /// The drain.
    pub piece: PieceIx,
    /// The floor whose joists they are.
    pub floor: FloorIx,
    /// The joists that it meets, the first being 1; none where it is not known.
    pub joists: Option<Vec<usize>>,
    /// Its two ends in plan, east and north of plan zero, if known.
    pub plan: Option<(Place, Place)>,
    /// Outside diameter of its pipe, if the catalogue has it.
    pub outside: Option<Length>,
    /// The pipe's outside at the leg's two ends, if its level is known.
    pub ends: Option<[Outside; 2]>,
}

/// All of them, in the order of the network. What lies wholly over or under the joists by its
/// level is left out: it crosses none of them, whatever it was meant to.
pub fn crossings(work: &Work<'_>) -> Vec<Crossing> {
    let (job, net) = (work.job, work.net);
    let across = across(job, net);
    let met = Met::new(job, net);
    let places = positions(job, net);
    let bores = Bores::new(job, net);
    let mut found = Vec::new();
    for ix in net.graph.edge_indices() {
        let Some(piece) = net.graph.edge_weight(ix) else {
            continue;
        };
        let Some(size) = work.size(ix) else {
            continue;
        };
        if piece.state == State::Existing || piece.system != System::Waste {
            continue;
        }
        let level = work.solution.levels.pieces.get(&ix);
        let inverts = level.map(|l| inverts(piece, l)).unwrap_or_default();
        for leg in 0..piece.legs.len() {
            let Some(&floor) = across.get(&(ix, leg)) else {
                continue;
            };
            let outside = bores.outside(ix, size);
            let at = |invert| bores.around(ix, size, invert);
            let ends = inverts.get(leg).copied().flatten();
            let ends = ends.and_then(|(down, up)| Some([at(down)?, at(up)?]));
            if ends.is_some_and(|ends| clear_of(work, floor, ends)) {
                continue;
            }
            found.push(Crossing {
                piece: ix,
                floor,
                joists: met.joists(floor, (ix, leg)),
                plan: plan_ends(net, &places, (ix, leg)),
                outside,
                ends,
            });
        }
    }
    found
}

/// Whether a pipe lies wholly over the joists of a floor, or wholly under them.
fn clear_of(work: &Work<'_>, floor: FloorIx, ends: [Outside; 2]) -> bool {
    let Some(floor) = work.job.floors.get(floor.0) else {
        return true;
    };
    let top = floor.level - floor.deck.unwrap_or_default();
    let bottom = top - floor.joists.unwrap_or_default();
    ends.iter().all(|e| e.low >= top) || ends.iter().all(|e| e.high <= bottom)
}

/// Whether a drain may be bored across joists.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// As far as its size goes.
    Yes,
    /// It is larger than the largest hole that the book lets.
    TooLarge(Length),
    /// It leaves less wood over or under it than the book asks for.
    TooNear(Length),
    /// Only the joists' maker says.
    Maker,
    /// The book has no rule, or the pipe's outside is not known.
    Unsaid,
}

/// A drain that is bored through the joists of a floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Bore {
    /// The drain.
    pub piece: PieceIx,
    /// The same, in words.
    pub pipe: String,
    /// The floor whose joists they are.
    pub floor: FloorIx,
    /// Its nominal size, if known.
    pub size: Option<PipeSize>,
    /// Diameter of the bores, if the outside of the pipe is known.
    pub bored: Option<Length>,
    /// Middle of the bores over the underside of the joists, the least and the most; none where its
    /// level is not known.
    pub middle: Option<(Length, Length)>,
    /// Wood that stays under the lowest of them and over the highest; below nought where one comes
    /// out of the joist.
    pub wood: Option<(Length, Length)>,
    /// The joists, the first being 1; empty where it is not known which.
    pub joists: BTreeSet<usize>,
    /// Where the drain crosses them, along the joists: east, or north where these run north, of plan
    /// zero, the least and the most.
    pub along: Option<(Length, Length)>,
    /// Whether that is east.
    pub run_east: bool,
    /// Whether it may.
    pub verdict: Verdict,
}

/// The bores across joists, each drain once a floor, in the order of the floors.
pub(super) fn bores(work: &Work<'_>, bit: impl Fn(Length) -> Length) -> Vec<Bore> {
    let mut found: BTreeMap<(FloorIx, PieceIx), Bore> = BTreeMap::new();
    for c in crossings(work) {
        let Some(floor) = work.job.floors.get(c.floor.0) else {
            continue;
        };
        let under = floor
            .joists
            .map(|j| floor.level - floor.deck.unwrap_or_default() - j);
        let middle = c.ends.zip(under).map(|(ends, under)| {
            let [a, b] = ends.map(|e| (e.low + e.high) * 0.5 - under);
            (a.min(b), a.max(b))
        });
        let bored = c.outside.map(&bit);
        let wood = middle.zip(bored).zip(floor.joists);
        let wood = wood
            .map(|(((low, high), bored), depth)| (low - bored * 0.5, depth - high - bored * 0.5));
        let run_east = floor.joists_run_east().unwrap_or_default();
        let along = c.plan.map(|(a, b)| match run_east {
            true => (a.0.min(b.0), a.0.max(b.0)),
            false => (a.1.min(b.1), a.1.max(b.1)),
        });
        let sawn = floor
            .joists
            .is_some_and(|d| catalogue::sawn_joist(d).is_some());
        let verdict = match (sawn, holes(work.job, work.book, c.floor), bored) {
            (false, ..) => Verdict::Maker,
            (_, Some(h), Some(bored)) if h.take(bored) => {
                let near = wood.is_some_and(|(under, over)| under.min(over) < h.edge);
                match near {
                    true => Verdict::TooNear(h.edge),
                    false => Verdict::Yes,
                }
            }
            (_, Some(h), Some(_)) => Verdict::TooLarge(h.largest()),
            _ => Verdict::Unsaid,
        };
        let new = Bore {
            piece: c.piece,
            pipe: piece_called(work.net, c.piece),
            floor: c.floor,
            size: work.size(c.piece),
            bored,
            middle,
            wood,
            joists: c.joists.into_iter().flatten().collect(),
            along,
            run_east,
            verdict,
        };
        let held = found
            .entry((c.floor, c.piece))
            .or_insert_with(|| new.clone());
        held.middle = held
            .middle
            .zip(new.middle)
            .map(|(a, b)| (a.0.min(b.0), a.1.max(b.1)));
        held.along = held
            .along
            .zip(new.along)
            .map(|(a, b)| (a.0.min(b.0), a.1.max(b.1)));
        held.wood = held
            .wood
            .zip(new.wood)
            .map(|(a, b)| (a.0.min(b.0), a.1.min(b.1)));
        held.joists.extend(new.joists);
        if let Verdict::TooNear(_) = new.verdict {
            held.verdict = new.verdict;
        }
    }
    found.into_values().collect()
}

/// Drains between the joists of a floor of which nobody says which way they run, each run once.
pub(super) fn may_cross(work: &Work<'_>) -> Vec<Unknown> {
    let (job, net) = (work.job, work.net);
    let mut found: Vec<Unknown> = Vec::new();
    for (piece, floor) in levels::may_cross(job, net) {
        let Some(p) = net.graph.edge_weight(piece) else {
            continue;
        };
        let Some(run) = net.runs.get(p.run.0) else {
            continue;
        };
        if p.state == State::Existing {
            continue;
        }
        let floor = job.floors.get(floor.0).map_or("", |f| f.name.as_str());
        let unknown = Unknown {
            pipe: run_called(net, run),
            why: format!(
                "it lies between the joists of the floor {floor}, and which way these run is not stated"
            ),
        };
        if !found.contains(&unknown) {
            found.push(unknown);
        }
    }
    found
}
