//! L106 room-below-spare
//!
//! Checks that every drain keeps the room that the job asks for. That is `spare` under `[job]`. Says
//! nothing where the job asks for none, and where there is no room at all, which is L104.
//!
//! Why: what fits to the quarter inch on paper does not fit once a joist has sagged or a closet bend
//! is the next size up; the room to keep is there for that.
//!
//! Example: `spare = "1in"` and a branch that could rise only 1/2 in before it meets the deck.
//!
//! To do: lower the drain where it begins, lay it flatter, or ask for less.
//!
//! Section: none; the job's own practice.

use super::context::{Context, Meta};
use super::short_of_room::short_of_room;
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::{Room, bounds};
use crate::network::PieceIx;
use crate::units::Length;

/// L106.
pub const META: Meta = Meta::new("L106", "room-below-spare", Severity::Warning);

/// For each thing that leaves less than is to be kept, the drain that it leaves it to.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let Some(spare) = ctx.job.practice.spare else {
        return Vec::new();
    };
    // A branch that hangs by what is to be kept has just that.
    let wanted = spare - Length::from_mm(0.01);
    let short = short_of_room(ctx, wanted).into_iter();
    let some = short.filter(|(room, _)| -room.spare <= catalogue::fine());
    some.map(|(room, ix)| said(ctx, spare, room, ix)).collect()
}

fn said(ctx: &Context<'_>, spare: Length, room: Room, ix: PieceIx) -> Diagnostic {
    let piece = &ctx.net.graph[ix];
    let left = room.spare.max(Length::ZERO);
    let lacks = ctx.print.short(ctx.rounded_up(spare - room.spare));
    let has = match ctx.rounded_down(left) {
        none if none.same(Length::ZERO) => "no room".to_owned(),
        left => format!("{} of room", ctx.print.short(left)),
    };
    let message = format!(
        "{} has {has} to the {}, {lacks} less than this job keeps",
        piece.id,
        bounds::words(ctx.job, ctx.net, room.bound),
    );
    let help = match room.bound.is_below() {
        true => format!("raise it by {lacks}, lay it flatter, or shorten it"),
        false => format!("lower it by {lacks} where it begins, lay it flatter, or shorten it"),
    };
    Diagnostic {
        help: Some(help),
        ..META.finding(&piece.id, piece.span.clone(), message)
    }
}
