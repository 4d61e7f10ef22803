//! Drains that go across joists: bores through their sides, as holes through a floor are through it.

use std::collections::BTreeMap;

use crate::catalogue;
use crate::job::FloorIx;
use crate::levels::{Bores, Outside, across, holes, inverts};
use crate::network::{PieceIx, State, System, piece_called};
use crate::solve::Work;
use crate::units::{Length, PipeSize};

/// A leg of a drain across the joists of a floor.
pub struct Crossing {
    /// The drain.
    pub piece: PieceIx,
    /// The floor whose joists they are.
    pub floor: FloorIx,
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
    /// Only the joists' maker says.
    Maker,
    /// The book has no rule, or the pipe's outside is not known.
    Unsaid,
}

/// A drain that is bored through the joists of a floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Bore {
    /// The drain, in words.
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
        let sawn = floor
            .joists
            .is_some_and(|d| catalogue::sawn_joist(d).is_some());
        let verdict = match (sawn, holes(work.job, work.book, c.floor), bored) {
            (false, ..) => Verdict::Maker,
            (_, Some(h), Some(bored)) if h.take(bored) => Verdict::Yes,
            (_, Some(h), Some(_)) => Verdict::TooLarge(h.largest()),
            _ => Verdict::Unsaid,
        };
        let new = Bore {
            pipe: piece_called(work.net, c.piece),
            floor: c.floor,
            size: work.size(c.piece),
            bored,
            middle,
            verdict,
        };
        let held = found
            .entry((c.floor, c.piece))
            .or_insert_with(|| new.clone());
        held.middle = held
            .middle
            .zip(new.middle)
            .map(|(a, b)| (a.0.min(b.0), a.1.max(b.1)));
    }
    found.into_values().collect()
}
