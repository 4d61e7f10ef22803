//! L104 no-room
//!
//! Checks that every drain has room where its level is known: no end of it stands higher than the
//! outlets upstream of it, or the slab, deck or joists over it, let it at the falls it is laid at,
//! within joists none hangs below their bottom, and under joists with a `soffit` none below that.
//!
//! Why: what does not fit is found out in the trench, or with the saw in a joist.
//!
//! Example: a bathtub 14 ft out on a branch with `invert = "-9in"` at its stack: at 1/4 in per foot
//! the branch has risen past the tub's trap.
//!
//! To do: lower the drain where it begins, lay it flatter, shorten it, or raise the fixture.
//!
//! Section: none; geometry, and roughing figures that are common practice where the job states none.

use super::context::{Context, Meta};
use super::short_of_room::{agreement, short_of_room};
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::{Bound, Room, bounds};
use crate::network::PieceIx;

/// L104.
pub const META: Meta = Meta::new("L104", "no-room", Severity::Error);

/// For each thing that leaves too little room, the drain that it leaves it to.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    // Finer than anyone sets a pipe is no matter.
    let short = short_of_room(ctx, -agreement());
    let found = short.into_iter().map(|(room, ix)| said(ctx, room, ix));
    found.collect()
}

fn said(ctx: &Context<'_>, room: Room, ix: PieceIx) -> Diagnostic {
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
            format!("{id} lies {short} too high for the {bound}"),
            format!("lower it by {short} where it begins, lay it flatter, or shorten it"),
        ),
    };
    Diagnostic {
        help: Some(help),
        ..META.finding(id, piece.span.clone(), message)
    }
}
