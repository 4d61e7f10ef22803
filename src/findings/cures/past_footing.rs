//! A drain that meets a footing passes under or over it with another exit.

use super::super::context::Context;
use super::lower_exit;
use super::subject::{Subject, up};
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, length_words};
use crate::levels::{Bound, FootingAt, FootingPass, Passes, Room};
use crate::network::PieceIx;
use crate::units::Length;

/// The exit lower, to pass under it, and higher, to pass over it.
pub(super) fn cures(ctx: &Context<'_>, pass: &FootingPass) -> Vec<Cure> {
    let (Some(pipe), Some(piece)) = (pass.pipe, pass.piece) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    let subject = at(ctx, piece);
    if let Some(bottom) = pass.bottom {
        all.extend(lower_exit::by(&subject, pipe.high - bottom));
    }
    if let Some(top) = pass.top {
        all.extend(raised(&subject, top - pipe.low));
    }
    all
}

/// What keeps the exit from going low enough to pass under.
pub(super) fn limit(ctx: &Context<'_>, pass: &FootingPass) -> Option<String> {
    let (pipe, piece, bottom) = (pass.pipe?, pass.piece?, pass.bottom?);
    let mut subject = at(ctx, piece);
    subject.short = pipe.high - bottom;
    lower_exit::limit(&subject)
}

/// A subject that only says where the level of a drain comes from.
fn at<'a>(ctx: &'a Context<'a>, piece: PieceIx) -> Subject<'a> {
    // Of the bound nothing is asked but that it is over the pipe.
    let room = Room {
        spare: Length::ZERO,
        bound: Bound::Slab(crate::job::FloorIx(0)),
    };
    Subject::new(ctx, room, piece)
}

fn raised(s: &Subject<'_>, by: Length) -> Option<Cure> {
    let exit = lower_exit::exit(s)?;
    let old = exit.invert.as_ref()?.value;
    let new = old + up(by, s.fine());
    let print = s.ctx.print;
    let value = length_words(new, s.ctx.job.units);
    let (path, called) = lower_exit::path(exit);
    Some(Cure {
        words: format!(
            "raise {called} by {}, to {}, and pass over the footing, through the wall in a sleeve",
            print.short(new - old),
            print.level(new)
        ),
        edits: vec![Edit::write(&path, format!("\"{value}\""))],
    })
}

/// Whether a drain meets a footing.
pub(super) fn meets(pass: &FootingPass) -> bool {
    !matches!(
        pass.passes,
        Passes::Under { .. } | Passes::Over { .. } | Passes::Unknown(_)
    )
}

/// The name that its finding has.
pub(super) fn name<'a>(ctx: &Context<'a>, at: FootingAt) -> Option<&'a str> {
    match at {
        FootingAt::Exit(i) => ctx.job.exits.get(i).map(|e| e.name.as_str()),
        FootingAt::Footing(i) => ctx.job.footings.get(i).map(|f| f.name.as_str()),
    }
}
