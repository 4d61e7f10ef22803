//! Which fall a drain has: stated, else the job's preferred one, else the book's least.

use super::model::{FallFrom, Flattened};
use crate::codebook::{Beyond, Book};
use crate::job::Job;
use crate::network::{NetLeg, Network, PieceIx, RunKind, Table};
use crate::units::{Fall, PipeSize};

/// Falls that were flattened because what was preferred does not fit. A stated fall is never in
/// here; the book's least is never gone below.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Falls {
    caps: Table<PieceIx, (Fall, Flattened)>,
}

impl Falls {
    /// Lets a piece fall no more than this. True if that is flatter than what held before; so a
    /// fall is only ever flattened.
    pub fn flatten(&mut self, piece: PieceIx, to: Fall, why: Flattened) -> bool {
        match self.caps.get(&piece) {
            Some((cap, _)) if cap.ratio() <= to.ratio() + 1e-9 => false,
            _ => {
                self.caps.insert(piece, (to, why));
                true
            }
        }
    }

    /// The fall of a piece if it has this size.
    pub fn at(
        &self,
        job: &Job,
        net: &Network,
        book: &Book,
        piece: PieceIx,
        size: PipeSize,
    ) -> Result<(Fall, FallFrom), Beyond> {
        if let Some(said) = net.graph.edge_weight(piece).and_then(|p| p.fall.as_ref()) {
            return Ok((said.value, FallFrom::Stated));
        }
        let least = book.least_fall_alone(size);
        let preferred = job.practice.falls.iter().find(|(s, _)| *s == size);
        let (fall, from) = match (preferred, least) {
            (Some((_, said)), Some(least)) if book.meets(said.value, least) => {
                (said.value, FallFrom::Preferred)
            }
            (Some((_, said)), None) => (said.value, FallFrom::Preferred),
            (_, Some(least)) => (least, FallFrom::Least),
            (None, None) => (book.least_fall(size)?.value, FallFrom::Least),
        };
        let Some(&(cap, why)) = self.caps.get(&piece) else {
            return Ok((fall, from));
        };
        let floor = least.unwrap_or(cap);
        let flat = fall.min(cap).max(floor.min(fall));
        match flat.ratio() < fall.ratio() {
            true => Ok((flat, FallFrom::Flattened(why))),
            false => Ok((fall, from)),
        }
    }
}

/// Whether a leg stands upright, 45° or steeper: then it has no fall of its own.
pub fn leg_is_vertical(leg: &NetLeg) -> bool {
    leg.rises_45 || leg.heading.is_some_and(|h| h.is_vertical())
}

/// Whether a piece has no level part: a stack, a drop. Legs of unknown heading lie level, but for
/// those of a stack.
pub fn is_vertical(net: &Network, piece: PieceIx) -> bool {
    let Some(p) = net.graph.edge_weight(piece) else {
        return false;
    };
    let of_stack = net
        .runs
        .get(p.run.0)
        .is_some_and(|r| r.kind == RunKind::Stack);
    p.legs
        .iter()
        .all(|l| leg_is_vertical(l) || (of_stack && l.heading.is_none()))
}
