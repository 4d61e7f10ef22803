//! L108 below-the-exit
//!
//! Checks that every fixture that drains by gravity has its outlet above the invert of its exit.
//!
//! Why: water does not run up. Such a fixture wants a basin and a pump, and the earlier that is
//! known the cheaper it is.
//!
//! Example: a floor drain in a pit 4 ft below the basement, and an exit 2 ft below it.
//!
//! To do: let it drain into an ejector basin, whose pump lifts it to the drain; or lower the exit.
//!
//! Section: IPC 712.1, IRC P3007.1.

use super::context::{Context, Meta};
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{RunKind, TrapIx};
use crate::sizing::ways::runs_down;
use crate::units::Length;

/// L108.
pub const META: Meta = Meta::new("L108", "below-the-exit", Severity::Error);

/// Fixtures whose outlet is no higher than the exit.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let traps = (0..ctx.net.traps.len()).map(TrapIx);
    let found = traps.filter_map(|trap| {
        let below = below(ctx, trap)?;
        let fixture = ctx.fixture(trap)?;
        let message = format!(
            "the outlet of {} lies {} below the exit: it cannot drain there by gravity",
            fixture.name,
            ctx.print.short(ctx.rounded_up(below))
        );
        Some(Diagnostic {
            help: Some("let it drain into an ejector basin".to_owned()),
            section: ctx.book.section("sumps").map(str::to_owned),
            ..META.finding(&fixture.name, Some(fixture.span.clone()), message)
        })
    });
    found.collect()
}

/// How far the outlet of a trap lies below the invert of the exit that it drains to by gravity.
pub(super) fn below(ctx: &Context<'_>, trap: TrapIx) -> Option<Length> {
    let weir = ctx.net.traps.get(trap.0)?.joint?;
    let mut last = None;
    for (run, foot) in runs_down(ctx.net, weir) {
        let kind = ctx.net.runs.get(run.0)?.kind;
        if kind == RunKind::Discharge {
            return None;
        }
        // Beyond the wall the water is the sewer's.
        if kind == RunKind::Sewer {
            break;
        }
        last = Some(foot);
    }
    let exit = ctx.net.exits.iter().position(|e| Some(*e) == last)?;
    let invert = ctx.job.exits.get(exit)?.invert.as_ref()?.value;
    let fixture = ctx.fixture(trap)?;
    let usual = catalogue::kind(&fixture.kind.value).map(|k| k.default_outlet.height);
    let outlet = ctx.floor(trap)?.level + fixture.outlet.or(usual)?;
    (outlet <= invert).then(|| invert - outlet)
}
