//! How far one end can be pushed before the first thing stops it.

use super::{Laid, Reach, Work};
use crate::catalogue;
use crate::job::FloorIx;
use crate::levels::{Bores, Bound, bay_left, holes};
use crate::network::{JointIx, PieceIx, RunIx, RunKind};
use crate::units::Length;

/// What stops the end of a drain.
#[derive(Clone, Debug, PartialEq)]
pub enum Stop {
    /// It gets too high, or what hangs from it too low.
    Depth(Bound),
    /// From here the next cleanout down the drain would be too far; with a further one depth would
    /// stop it here, if anything that is stated does.
    Cleanout(Option<(Length, Bound)>),
    /// It would have to go through the next joist of this floor.
    Joist(FloorIx),
    /// Laid so, the drain would not pass this footing.
    Footing(String),
}

/// How far, and what stops it first.
#[derive(Clone, Debug, PartialEq)]
pub enum Push {
    /// So much farther.
    By(Length, Stop),
    /// It lies too high, or too low, already, by so much.
    Short(Length, Bound),
    /// Not known, and why.
    Unknown(&'static str),
}

/// The reach of a run; none where it has no level piece.
pub(super) fn of(work: &Work<'_>, run: RunIx, laid: Laid) -> Option<Reach> {
    let (net, levels) = (work.net, &work.solution.levels);
    let whole = net.runs.get(run.0)?;
    // A rise at the end goes along.
    let last = whole.pieces.iter().rev().copied();
    let last = last.into_iter().find(|p| {
        let level = levels.pieces.get(p);
        level.is_some_and(|l| l.fall.is_some())
    })?;
    let size = work.solution.sizing.pieces.get(&last).map(|s| s.size);
    let fall = levels.pieces.get(&last)?.fall;
    Some(Reach {
        run: whole.id.clone(),
        laid,
        size,
        fall,
        push: push(work, last),
    })
}

fn push(work: &Work<'_>, last: PieceIx) -> Push {
    let levels = &work.solution.levels;
    let (Some(level), Some(high)) = (levels.pieces.get(&last), levels.highest.get(&last)) else {
        return Push::Unknown("it has no level");
    };
    let (Some(invert), Some(fall)) = (level.invert_up, level.fall) else {
        return Push::Unknown("its level is not known");
    };
    if !high.complete {
        return Push::Unknown("a length upstream is not given");
    }
    // Finer than anyone sets a pipe is no matter.
    let fine = catalogue::fine();
    let keep = work.job.practice.spare.unwrap_or_default();
    let low = under(work, last);
    if let Some((room, bound)) = low.filter(|(room, _)| keep - *room > fine) {
        return Push::Short(keep - room, bound);
    }
    let mut depth: Option<(Length, Bound)> = None;
    if let Some(limit) = high.up {
        let mut left = limit.invert - invert - keep;
        let mut bound = limit.bound;
        // What hangs goes down as its end goes out, until it is too low.
        if level.hung {
            match low {
                Some((room, under)) => (left, bound) = (left + room, under),
                None => left = Length::from_mm(f64::INFINITY),
            }
        }
        if -left > fine {
            return Push::Short(-left, bound);
        }
        left = left.max(Length::ZERO);
        if left.mm().is_finite() && fall.ratio() > 0.0 {
            depth = Some((left / fall.ratio(), bound));
        }
    }
    let bay = bay_left(work.job, work.net, last);
    let bay = bay.filter(|(by, _)| depth.is_none_or(|(deep, _)| *by < deep));
    // Where the hole may be bored the joist stops nothing.
    let size = work.solution.sizing.pieces.get(&last).map(|s| s.size);
    let outside = size.and_then(|z| Bores::new(work.job, work.net).outside(last, z));
    let bored = |floor| {
        let holes = holes(work.job, work.book, floor);
        holes.zip(outside).is_some_and(|(h, o)| h.take(o))
    };
    let bay = bay.filter(|(_, floor)| !bored(*floor));
    let spacing = work.book.cleanouts().spacing.value;
    let rod = (spacing - since_cleanout(work, last)).max(Length::ZERO);
    if let Some((by, floor)) = bay.filter(|(by, _)| *by <= rod) {
        return Push::By(by, Stop::Joist(floor));
    }
    match depth {
        Some((by, bound)) if by <= rod => Push::By(by, Stop::Depth(bound)),
        depth => Push::By(rod, Stop::Cleanout(depth)),
    }
}

/// The least room below what hangs, from a piece down to its stack, and what bounds it; none where
/// nothing does.
fn under(work: &Work<'_>, piece: PieceIx) -> Option<(Length, Bound)> {
    let (net, levels) = (work.net, &work.solution.levels);
    let mut least: Option<(Length, Bound)> = None;
    let mut at = piece;
    loop {
        let room = levels.rooms.get(&at).and_then(|r| r.below);
        if let Some(room) = room.filter(|r| least.is_none_or(|l| r.spare < l.0)) {
            least = Some((room.spare, room.bound));
        }
        if levels.pieces.get(&at)?.step.is_none() {
            return least;
        }
        let Some(below) = net.to(at).and_then(|j| net.downstream(j)) else {
            return least;
        };
        at = below;
    }
}

/// How far down the drains the next cleanout is from the upper end of a piece. One at that end goes
/// along with it, and does not count.
fn since_cleanout(work: &Work<'_>, piece: PieceIx) -> Length {
    let (net, levels) = (work.net, &work.solution.levels);
    let stands = |joint: JointIx| net.cleanouts.iter().any(|c| c.joint == joint);
    let mut way = Length::ZERO;
    let mut at = piece;
    for _ in 0..net.graph.edge_count() {
        way += levels
            .pieces
            .get(&at)
            .and_then(|l| l.length)
            .unwrap_or_default();
        let Some(to) = net.to(at) else { break };
        if stands(to) || net.exits.contains(&to) {
            break;
        }
        let Some(below) = net.downstream(to) else {
            break;
        };
        let kind = net
            .graph
            .edge_weight(below)
            .and_then(|p| net.runs.get(p.run.0));
        // A stack is cleaned from its own foot.
        if kind.is_none_or(|r| r.kind == RunKind::Stack) {
            break;
        }
        at = below;
    }
    way
}
