//! Ways along drains to their cleanouts. A length that nobody gave counts as none: what is not
//! known is not held against a drain.

use std::collections::{BTreeSet, VecDeque};

use super::context::Context;
use crate::levels::length;
use crate::network::{JointIx, JointKind, Piece, PieceIx, RunKind, State, System};
use crate::units::{Heading, Length, PipeSize};

/// A change of horizontal direction.
pub struct TurnAt {
    /// The piece in which, or at whose lower end, the drain turns.
    pub piece: PieceIx,
    /// By how many degrees.
    pub degrees: f64,
    /// Developed length from there to the piece's upper end.
    pub above: Length,
    /// The joint at which it turns, if it turns at one.
    pub at: Option<JointIx>,
}

/// Whether a piece belongs to a level drain that cleanouts are asked for: new ones only.
pub fn is_level_drain(ctx: &Context<'_>, piece: &Piece) -> bool {
    piece.state != State::Existing && is_level(ctx, piece)
}

/// Whether a piece belongs to a level drain, new or there already.
fn is_level(ctx: &Context<'_>, piece: &Piece) -> bool {
    piece.system == System::Waste
        && matches!(
            ctx.kind(piece),
            Some(RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch)
        )
}

/// Whether there is a cleanout at a joint.
pub fn has_cleanout(ctx: &Context<'_>, joint: JointIx) -> bool {
    ctx.cleanouts.contains(&joint)
}

/// Whether a cleanout, or a trap that can be taken off and serves a pipe of this size, stands
/// upstream of a joint within a developed length.
pub fn opens_within(
    ctx: &Context<'_>,
    from: JointIx,
    start: Length,
    reach: Length,
    pipe: Option<PipeSize>,
) -> bool {
    let mut todo: VecDeque<(JointIx, Length)> = VecDeque::from([(from, start)]);
    let mut seen = BTreeSet::new();
    while let Some((joint, way)) = todo.pop_front() {
        if !seen.insert(joint) || (way > reach && !way.same(reach)) {
            continue;
        }
        if has_cleanout(ctx, joint) || pipe.is_some_and(|p| trap_serves(ctx, joint, p)) {
            return true;
        }
        for piece in ctx.net.upstream(joint) {
            let own = ctx.net.graph.edge_weight(piece).and_then(length);
            if let Some(above) = ctx.net.from(piece) {
                todo.push_back((above, way + own.unwrap_or_default()));
            }
        }
    }
    false
}

/// A trap serves as cleanout of a pipe not more than so many sizes larger, as the book says.
fn trap_serves(ctx: &Context<'_>, joint: JointIx, pipe: PipeSize) -> bool {
    let Some(JointKind::Trap(ix)) = ctx.net.graph.node_weight(joint).map(|j| j.kind) else {
        return false;
    };
    let Some(trap) = ctx.solution.sizing.traps.get(&ix) else {
        return false;
    };
    let mut serves = trap.size;
    for _ in 0..ctx.book.cleanouts().trap_serves_sizes_more.value {
        serves = serves.next_up().unwrap_or(serves);
    }
    serves >= pipe
}

/// Changes of horizontal direction in a piece and at its lower end, where it goes on in line.
pub fn turns(ctx: &Context<'_>, ix: PieceIx, piece: &Piece) -> Vec<TurnAt> {
    let mut found = Vec::new();
    let mut last = below(ctx, ix, piece);
    let whole = length(piece).unwrap_or_default();
    let mut way = Length::ZERO;
    for (i, leg) in piece.legs.iter().enumerate() {
        let plan = leg.heading.filter(|h| !h.is_vertical());
        if let (Some(a), Some(b)) = (last, plan) {
            let degrees = between(a, b);
            if degrees > 0.0 {
                found.push(TurnAt {
                    piece: ix,
                    degrees,
                    above: whole - way,
                    at: ctx.net.to(ix).filter(|_| i == 0),
                });
            }
        }
        // After an upright leg the drain starts in a direction of its own.
        last = plan;
        way += leg.length.unwrap_or_default();
    }
    found
}

/// The heading of the next piece down, where this one goes on from it: of the same run, or the
/// end of another from which this one goes on in line.
fn below(ctx: &Context<'_>, ix: PieceIx, piece: &Piece) -> Option<Heading> {
    let joint = ctx.net.to(ix)?;
    let under = ctx.net.graph.edge_weight(ctx.net.downstream(joint)?)?;
    let run_of = |p: &PieceIx| ctx.net.graph.edge_weight(*p).map(|p| p.run);
    let goes_on = || {
        let above = ctx.net.upstream(joint);
        let drains = above.iter().filter(|p| {
            ctx.net
                .graph
                .edge_weight(**p)
                .is_some_and(|p| is_level(ctx, p))
        });
        !above.iter().any(|p| run_of(p) == Some(under.run)) && drains.count() == 1
    };
    if under.run != piece.run && !(is_level(ctx, under) && goes_on()) {
        return None;
    }
    under.legs.last()?.heading.filter(|h| !h.is_vertical())
}

/// The angle between two plan headings, in degrees.
fn between(a: Heading, b: Heading) -> f64 {
    let (Some(a), Some(b)) = (a.eighth(), b.eighth()) else {
        return 0.0;
    };
    let apart = a.abs_diff(b);
    apart.min(8 - apart) as f64 * 45.0
}
