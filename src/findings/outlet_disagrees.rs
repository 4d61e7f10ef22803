//! L103 outlet-disagrees-with-the-levels
//!
//! Checks that the stated outlet of a fixture, the invert of its arm at the trap above its floor,
//! is what the levels give that come up to it from the exit, as near as anyone sets a pipe. That is
//! a quarter inch.
//!
//! Why: one of the two is wrong, and who roughs in by the outlet finds that the drop does not fit.
//!
//! Example: `LAV-1 = { run = ["up 2'"], arm = "2'", outlet = "18in" }` where the drain lies 10 in
//! below the floor: the arm ends 14 1/2 in above it.
//!
//! To do: make the upright leg longer or shorter by the difference, or state the outlet that
//! follows from it.
//!
//! Section: none.

use super::context::{Context, Meta};
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::TrapIx;
use crate::units::Length;

/// L103.
pub const META: Meta = Meta::new(
    "L103",
    "outlet-disagrees-with-the-levels",
    Severity::Warning,
);

/// Outlets that are stated where the pipe does not come.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let Some(agreement) = catalogue::agreement() else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let Some(fixture) = ctx.fixture(TrapIx(i)) else {
            continue;
        };
        let arm = trap.arm.and_then(|a| ctx.solution.levels.pieces.get(&a));
        let (Some(stated), Some(floor), Some(weir)) = (
            fixture.outlet,
            ctx.floor(TrapIx(i)),
            arm.and_then(|a| a.invert_up),
        ) else {
            continue;
        };
        let comes = weir - floor.level;
        let over = comes - stated;
        if over.abs() <= agreement.value || over.abs().same(agreement.value) {
            continue;
        }
        let (side, cure) = match over > Length::ZERO {
            true => ("above", "shorter"),
            false => ("below", "longer"),
        };
        found.push(Diagnostic {
            help: Some(format!(
                "make the upright leg of its run {} {cure}, or state the outlet as {}",
                print.short(over.abs()),
                print.short(comes)
            )),
            ..META.finding(
                &fixture.name,
                Some(fixture.span.clone()),
                format!(
                    "the arm of {} comes to {} above its floor, {} {side} its stated outlet",
                    fixture.name,
                    print.short(comes),
                    print.short(over.abs())
                ),
            )
        });
    }
    found
}
