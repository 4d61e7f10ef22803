//! B102 fixture-below-manhole-without-valve
//!
//! Checks that every fixture which lies below the rim of the next manhole upstream in the sewer
//! drains through a backwater valve, or is pumped: by its flood level rim, or by the floor that
//! it stands on, as the book has it. Says nothing where the job does not state the manhole's rim.
//!
//! Why: when the sewer stops up it fills to that rim before it runs out in the street, and until
//! then it runs out of every fixture that lies lower.
//!
//! Example: a bathroom in the basement on `main`, with no valve in it.
//!
//! To do: gather such fixtures on one branch and set a valve in it:
//! `BW-1 = { kind = "backwater", on = "bb", station = "2'" }`.
//!
//! Section: IPC 714.1, IRC P3008.1.

use super::context::{Context, Meta};
use super::needless_backwater::{WaysOut, above_manhole};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::TrapIx;
use crate::units::Length;

/// B102.
pub const META: Meta = Meta::new(
    "B102",
    "fixture-below-manhole-without-valve",
    Severity::Error,
);

/// Fixtures that the sewer can come up through.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let Some(by_floor) = ctx.book.backwater_by_floor() else {
        return Vec::new();
    };
    let what = if by_floor.value { "floor" } else { "rim" };
    let mut found = Vec::new();
    for (trap, above) in open_to_the_sewer(ctx, by_floor.value) {
        let Some(fixture) = ctx.fixture(trap) else {
            continue;
        };
        if above >= Length::ZERO || above.same(Length::ZERO) {
            continue;
        }
        found.push(Diagnostic {
            help: Some(
                "set a backwater valve in the branch that it and its like drain into: \
                 `{ kind = \"backwater\", on = \"…\" }` under `[valves]`"
                    .to_owned(),
            ),
            section: Some(by_floor.section.clone()),
            ..META.finding(
                &fixture.name,
                Some(fixture.span.clone()),
                format!(
                    "the {what} of {} lies {} below the rim of the next manhole upstream, and no \
                     backwater valve keeps the sewer out of it",
                    fixture.name,
                    print.length(ctx.rounded_up(above.abs()))
                ),
            )
        });
    }
    found
}

/// Fixtures that drain by gravity through no backwater valve, each with how far its rim, or its floor,
/// lies above the rim of the next manhole upstream, where both are known.
pub fn open_to_the_sewer(ctx: &Context<'_>, by_floor: bool) -> Vec<(TrapIx, Length)> {
    let mut ways = WaysOut::of(ctx.net);
    let traps = ctx.net.traps.iter().enumerate();
    let open = traps.filter_map(|(i, trap)| {
        let way = ways.from(trap.joint?);
        let open = way.valve.is_none() && !way.pumped;
        let above = above_manhole(ctx, TrapIx(i), way.exit, by_floor)?;
        open.then_some((TrapIx(i), above))
    });
    open.collect()
}
