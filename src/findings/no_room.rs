//! L104 no-room
//!
//! Checks that every drain has room where its level is known: no end of it stands higher than the
//! outlets upstream of it, or the slab, deck or joists over it, let it at the falls it is laid at,
//! within joists none hangs below their bottom, and under joists with a soffit none below that.
//!
//! Why: what does not fit is found out in the trench, or with the saw in a joist.
//!
//! Example: a bathtub 14 ft out on a branch with `invert = "-9in"` at its stack: at 1/4 in per foot
//! the branch has risen past the tub's trap.
//!
//! To do: one of the cures that stand beside the finding. Each was written into the job and worked
//! through: flatter falls, a shorter rise, a lower exit or inlet, a branch that meets its stack
//! elsewhere, a shorter run, a larger pipe where it may fall less, a raised fixture, an ejector. They
//! leave the `spare` that the job keeps. Falls that it only prefers have been laid flatter before.
//!
//! Section: none; geometry, and roughing figures that are common practice where the job states none.

use std::collections::{BTreeMap, BTreeSet};

use super::below_the_exit::below;
use super::context::{Context, Meta};
use super::short_of_room::{all_short, short_of_room};
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::{Bound, Room, bounds};
use crate::network::{PieceIx, TrapIx};
use crate::sizing::ways::way_down;
use crate::units::Length;

/// L104.
pub const META: Meta = Meta::new("L104", "no-room", Severity::Error);

/// For each thing that leaves too little room, the drain that it leaves it to.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let short = shortages(ctx).into_iter();
    short.map(|(room, ix)| said(ctx, room, ix)).collect()
}

/// For each thing that leaves too little room, the drain that it leaves it to, and how little.
pub(super) fn shortages(ctx: &Context<'_>) -> Vec<(Room, PieceIx)> {
    // Finer than anyone sets a pipe is no matter.
    let mut short = short_of_room(ctx, -catalogue::fine());
    let low = only_low(ctx);
    short.retain(|(_, ix)| !low.contains(ix));
    short
}

/// By how much each drain lacks room.
pub(super) fn lacking(ctx: &Context<'_>) -> BTreeMap<PieceIx, Length> {
    let low = only_low(ctx);
    let all = all_short(ctx, -catalogue::fine()).into_iter();
    let all = all.filter(|(ix, _)| !low.contains(ix));
    all.map(|(ix, room)| (ix, -room.spare)).collect()
}

/// The drains that serve nothing but fixtures below their exit: those are L108's.
fn only_low(ctx: &Context<'_>) -> BTreeSet<PieceIx> {
    let mut low: BTreeSet<PieceIx> = BTreeSet::new();
    let mut other: BTreeSet<PieceIx> = BTreeSet::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let set = match below(ctx, TrapIx(i)).is_some() {
            true => &mut low,
            false => &mut other,
        };
        let way = trap.joint.into_iter().flat_map(|j| way_down(ctx.net, j));
        // Where one has passed before, all below is known.
        for (_, piece) in way {
            if !set.insert(piece) {
                break;
            }
        }
    }
    low.retain(|p| !other.contains(p));
    low
}

/// The finding, without its cures.
pub(super) fn said(ctx: &Context<'_>, room: Room, ix: PieceIx) -> Diagnostic {
    let piece = &ctx.net.graph[ix];
    let id = &piece.id;
    let short = ctx.print.short(ctx.rounded_up(-room.spare));
    let bound = bounds::words(ctx.job, ctx.net, room.bound);
    let (message, help) = match room.bound {
        Bound::Soffit(_) => (
            format!("{id} hangs {short} too low for the {bound}"),
            format!("raise it by {short}, lay it flatter, or shorten it"),
        ),
        Bound::JoistBottom(_) => (
            format!("{id} hangs {short} below the {bound}"),
            format!("raise it by {short}, lay it flatter, or shorten it"),
        ),
        _ => (
            format!(
                "{id} lies {short} too high: its limit is {}",
                bounds::with_article(&bound)
            ),
            format!("lower it by {short} where it begins, lay it flatter, or shorten it"),
        ),
    };
    Diagnostic {
        help: Some(help),
        ..META.finding(id, piece.span.clone(), message)
    }
}
