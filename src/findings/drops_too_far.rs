//! M106 drops-too-far-into-its-vent
//!
//! Checks how far the drain of a fixture drops into a combination drain and vent.
//!
//! Why: water that falls far fills the pipe below, which is the others' vent.
//!
//! Example: `LAV-3 = { into = "floor", run = ["up 9'"] }` where `floor` is a combination drain and
//! vent and 8 ft may be.
//!
//! To do: give the fixture a vent of its own (`vent`), or lead the drain higher.
//!
//! Section: IPC 915.2.1, IRC P3111.2.1, UPC 910.3.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::falls::is_vertical;
use crate::network::{TrapIx, VentMethod};
use crate::units::Length;

/// M106.
pub const META: Meta = Meta::new("M106", "drops-too-far-into-its-vent", Severity::Error);

/// Fixtures that drop too far.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let rules = ctx.book.combination_rules();
    let Some(most) = rules.and_then(|r| r.most_drop.as_ref()) else {
        return Vec::new();
    };
    let found = drops_into_vents(ctx).into_iter();
    let found = found.filter_map(|(trap, length)| {
        let fixture = ctx.fixture(trap)?;
        (length > most.value && !length.same(most.value)).then_some(())?;
        let more: Length = length - most.value;
        Some(Diagnostic {
            help: Some(format!(
                "give {} a vent of its own: `vent = \"…\"`",
                fixture.name
            )),
            section: Some(most.section.clone()),
            ..META.finding(
                &fixture.name,
                Some(fixture.span.clone()),
                format!(
                    "{} drops {} into a combination drain and vent, {} more than the {} that it may",
                    fixture.name,
                    ctx.print.length(length),
                    ctx.print.length(ctx.rounded_up(more)),
                    ctx.print.length(most.value)
                ),
            )
        })
    });
    found.collect()
}

/// How far each fixture drops into a combination drain and vent, where that is known.
pub fn drops_into_vents(ctx: &Context<'_>) -> Vec<(TrapIx, Length)> {
    let traps = ctx.net.traps.iter().enumerate();
    let known = traps.filter_map(|(i, trap)| {
        (trap.vent == VentMethod::Combination).then_some(())?;
        let drop = ctx.net.downstream(trap.vent_fitting?)?;
        is_vertical(ctx.net, drop).then_some(())?;
        let length = ctx.solution.levels.pieces.get(&drop)?.length?;
        Some((TrapIx(i), length))
    });
    known.collect()
}
