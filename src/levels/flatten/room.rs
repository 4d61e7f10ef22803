//! Drains that have no room at the fall that the job prefers.

use std::collections::BTreeMap;

use super::Round;
use crate::catalogue;
use crate::levels::falls::Falls;
use crate::levels::model::{Bound, FallFrom, Flattened};
use crate::levels::way::way;
use crate::network::{PieceIx, State};
use crate::units::{Fall, Length};

/// True if any was flattened.
///
/// Where an end lies too high, or a branch that hangs from its fixtures too low, all that the job
/// only prefers on the way there takes one fall: the steepest step at which it fits, or, where none
/// does, the book's least.
pub(super) fn flatten(round: &Round<'_>, falls: &mut Falls) -> bool {
    let (job, net, levels) = (round.job, round.net, round.levels);
    let (Some(agreement), Some((step, _))) =
        (catalogue::agreement(), catalogue::fall_step(job.units))
    else {
        return false;
    };
    let keep = job.practice.spare.unwrap_or_default();
    let mut pipes = Pipes {
        round: *round,
        now: BTreeMap::new(),
    };
    let mut wants: Vec<Want> = Vec::new();
    for piece in net.graph.edge_indices() {
        let Some(rooms) = levels.rooms.get(&piece) else {
            continue;
        };
        let hung = levels.pieces.get(&piece).is_some_and(|l| l.hung);
        // From above the upper end shows all that the lower one does; from below it is the lower.
        for room in [rooms.up, rooms.down.filter(|_| hung)]
            .into_iter()
            .flatten()
        {
            let short = keep - room.spare;
            if short > agreement.value {
                let way = way(net, &levels.pieces, &levels.highest, piece, room.bound);
                wants.push(Want {
                    short,
                    bound: room.bound,
                    way,
                });
            }
        }
    }
    // The flattest first: what it gives up also serves the rest. What wants the same fall gets it
    // at once, so that the order of the job has no say.
    let mut any = false;
    loop {
        let caps: Vec<Option<Fall>> = wants.iter().map(|w| pipes.cap(w, step)).collect();
        let Some(least) = caps.iter().flatten().map(|c| c.ratio()).reduce(f64::min) else {
            return any;
        };
        let mut changed = false;
        let its = |cap: &Option<Fall>| cap.is_some_and(|c| c.ratio() <= least + 1e-12);
        for (want, _) in wants.iter().zip(&caps).filter(|(_, cap)| its(cap)) {
            for &piece in &want.way {
                changed |= pipes.flatten(piece, Fall::from_ratio(least), want.bound, falls);
            }
        }
        any |= changed;
        if !changed {
            return any;
        }
    }
}

/// Room that is wanting, and the pieces whose falls could give it.
struct Want {
    short: Length,
    bound: Bound,
    way: Vec<PieceIx>,
}

/// A piece that could be flattened.
struct Pipe {
    fall: Fall,
    least: Fall,
    run: Length,
}

struct Pipes<'a> {
    round: Round<'a>,
    /// What was flattened in this round.
    now: BTreeMap<PieceIx, Fall>,
}

impl Pipes<'_> {
    /// Lets a piece fall no more than this, if the job only prefers its fall; true if that is
    /// flatter than it was.
    fn flatten(&mut self, piece: PieceIx, cap: Fall, bound: Bound, falls: &mut Falls) -> bool {
        let Some(pipe) = self.pipe(piece) else {
            return false;
        };
        let to = pipe.fall.min(cap.max(pipe.least));
        if to.ratio() >= pipe.fall.ratio() {
            return false;
        }
        self.now.insert(piece, to);
        falls.flatten(piece, to, Flattened::Room(bound))
    }

    /// The piece, if the job only prefers its fall.
    fn pipe(&self, piece: PieceIx) -> Option<Pipe> {
        let level = self.round.levels.pieces.get(&piece)?;
        // What is there already lies as it lies.
        let state = self.round.net.graph.edge_weight(piece)?.state;
        if state == State::Existing {
            return None;
        }
        match level.fall_from {
            FallFrom::Preferred | FallFrom::Flattened(_) => {}
            FallFrom::Stated | FallFrom::Least => return None,
        }
        let size = self.round.sizing.pieces.get(&piece)?.size;
        Some(Pipe {
            fall: self.now.get(&piece).copied().or(level.fall)?,
            least: self.round.book.least_fall(size).ok()?.value,
            run: level.horizontal?,
        })
    }

    /// The steepest step that gives enough room, if any is wanting; where none does, the flattest
    /// least of the way.
    fn cap(&self, want: &Want, step: Fall) -> Option<Fall> {
        let pipes: Vec<Pipe> = want.way.iter().filter_map(|p| self.pipe(*p)).collect();
        // What this round already gave on this way.
        let given: Length = want
            .way
            .iter()
            .filter_map(|p| {
                let level = self.round.levels.pieces.get(p)?;
                let now = self.now.get(p)?;
                Some(level.fall?.over(level.horizontal?) - now.over(level.horizontal?))
            })
            .sum();
        let short = want.short - given;
        if short <= Length::ZERO {
            return None;
        }
        let gives = |cap: Fall| -> Length {
            let each = pipes.iter().map(|p| {
                let to = p.fall.min(cap.max(p.least));
                p.fall.over(p.run) - to.over(p.run)
            });
            each.sum()
        };
        let ratios = |of: fn(&Pipe) -> Fall| pipes.iter().map(move |p| of(p).ratio());
        let steepest = ratios(|p| p.fall).fold(0.0, f64::max);
        let least = ratios(|p| p.least).reduce(f64::min)?;
        // A fall of a thousand steps is no drain: the search stays short whatever a job says.
        let most = (steepest / step.ratio()).ceil().min(1000.0);
        let mut n = most;
        while n > 0.0 && step.ratio() * n > least {
            let cap = Fall::from_ratio(step.ratio() * n);
            if gives(cap) >= short - Length::from_mm(0.01) {
                return Some(cap);
            }
            n -= 1.0;
        }
        (gives(Fall::from_ratio(least)) > Length::ZERO).then(|| Fall::from_ratio(least))
    }
}
