//! A104 vent-too-near-the-trap
//!
//! Checks that no dry vent rises nearer to the weir of its trap than the book has it, in diameters
//! of the arm: a crown vent. A water closet holds its own trap and is not meant.
//!
//! Why: so near to the weir each discharge splashes into the vent, and what it carries closes it.
//!
//! Example: `LAV-1 = { kind = "lavatory", arm = "2in" }` with a vent of its own.
//!
//! To do: make the arm longer, so that the vent stands farther from the trap.
//!
//! Section: IPC 909.3, IRC P3105.3.

use super::arm_turns_down::way_to_air;
use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{TrapIx, VentMethod};
use crate::sizing::traps::kind_of;
use crate::units::Length;

/// A104.
pub const META: Meta = Meta::new("A104", "vent-too-near-the-trap", Severity::Error);

/// Vents that rise from the crown of their traps.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let diameters = &ctx.book.arm_rules().crown_diameters;
    let mut found = Vec::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let (Some(fixture), Some(arm)) = (ctx.fixture(TrapIx(i)), trap.arm) else {
            continue;
        };
        let dry = matches!(
            trap.vent,
            VentMethod::Individual
                | VentMethod::Common(_)
                | VentMethod::Island
                | VentMethod::AirAdmittance
        );
        if !dry || trap.vent_piece.is_none() || kind_of(fixture).is_some_and(|k| k.closet) {
            continue;
        }
        let way = way_to_air(ctx, trap);
        let length = |p| ctx.solution.levels.pieces.get(p).and_then(|l| l.length);
        let Some(away) = way.iter().map(length).sum::<Option<Length>>() else {
            continue;
        };
        let Some(size) = ctx.solution.sizing.pieces.get(&arm).map(|s| s.size) else {
            continue;
        };
        let least = Length::from_inches(size.inches()) * diameters.value;
        if way.is_empty() || away >= least || away.same(least) {
            continue;
        }
        let span = fixture.arm.as_ref().map(|a| a.span.clone());
        found.push(Diagnostic {
            help: Some(format!("make its arm {} or longer", print.short(least))),
            section: Some(diameters.section.clone()),
            ..META.finding(
                &fixture.name,
                span.or_else(|| Some(fixture.span.clone())),
                format!(
                    "the vent of {} rises {} from its trap weir, {} nearer than the {} of a {} arm",
                    fixture.name,
                    print.short(away),
                    print.short(ctx.rounded_up(least - away)),
                    print.short(least),
                    print.size(size)
                ),
            )
        });
    }
    found
}
