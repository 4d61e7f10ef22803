//! V104 dry-vent-flat-below-the-rim
//!
//! Checks that a vent whose legs the job states rises as far above the flood level rim of
//! every fixture that it serves as the book has it, before it turns level. The vent of an island goes
//! another way.
//!
//! Why: when the drain stops up, waste rises into the flat part and stays there; nothing washes a
//! dry vent out again.
//!
//! Example: `V1 = { run = ["up 1'", "east 6'"], into = "S1" }` for a lavatory whose rim stands 2 ft
//! above the fitting.
//!
//! To do: let it rise by the length that the finding names before it turns.
//!
//! Section: IPC 905.4, IRC P3104.4.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::{Leg, Vent};
use crate::network::{PieceIx, TrapIx};
use crate::units::{Heading, Length};

/// V104.
pub const META: Meta = Meta::new("V104", "dry-vent-flat-below-the-rim", Severity::Error);

/// Vents that turn level too low.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    ctx.job.vents.iter().filter_map(|v| flat(ctx, v)).collect()
}

fn flat(ctx: &Context<'_>, vent: &Vent) -> Option<Diagnostic> {
    let print = ctx.print;
    let upright = vent.run.iter().take_while(|l| l.heading.is_vertical());
    let rise = climb(upright);
    let turn = vent.run.iter().find(|l| !l.heading.is_vertical())?;
    if vent.kind.as_ref().is_some_and(|k| k.value == "island") {
        return None;
    }
    let clear = ctx.book.tie_in().value;
    // The fixture whose rim lies highest over the flat part.
    let (trap, over) = feet(ctx, vent)
        .into_iter()
        .flat_map(|(piece, level)| {
            let traps = ctx.net.traps.iter().enumerate();
            let served = traps.filter(move |(_, t)| t.vent_piece == Some(piece));
            served.filter_map(move |(i, _)| {
                let fixture = ctx.fixture(TrapIx(i))?;
                let rim = ctx.floor(TrapIx(i))?.level + ctx.rim(fixture)?;
                Some((fixture, level + rise - rim))
            })
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    if over >= clear || over.same(clear) {
        return None;
    }
    let where_ = match over < Length::ZERO {
        true => format!("{} below", print.short(over.abs())),
        false => format!("{} above", print.short(over)),
    };
    Some(Diagnostic {
        help: Some(format!(
            "let it rise {} before it turns",
            print.length(ctx.rounded_up(rise + clear - over))
        )),
        section: ctx.book.section("vent-rise").map(str::to_owned),
        ..META.finding(
            &vent.name,
            Some(turn.span.clone()),
            format!(
                "{} turns level {where_} the rim of {}, {} lower than the {} above it",
                vent.name,
                trap.name,
                print.short(ctx.rounded_up(clear - over)),
                print.short(clear)
            ),
        )
    })
}

/// How far legs that start at a drain climb.
pub(super) fn climb<'l>(legs: impl Iterator<Item = &'l Leg>) -> Length {
    legs.map(|l| match l.heading {
        Heading::Up => l.length,
        Heading::Down => -l.length,
        _ => Length::ZERO,
    })
    .sum()
}

/// The pieces of a stated vent that rise from drains, each with the level it starts at.
pub(super) fn feet(ctx: &Context<'_>, vent: &Vent) -> Vec<(PieceIx, Length)> {
    let net = ctx.net;
    let run = net.run_by_id(&vent.name).and_then(|r| net.runs.get(r.0));
    let pieces = run.map_or(&[][..], |r| &r.pieces);
    pieces
        .iter()
        .filter_map(|p| {
            let below = net.downstream(net.from(*p)?)?;
            let level = ctx.solution.levels.pieces.get(&below)?.invert_up?;
            Some((*p, level))
        })
        .collect()
}
