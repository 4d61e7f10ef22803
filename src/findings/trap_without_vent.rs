//! V102 trap-without-vent
//!
//! Checks that every trap has a vent, by a method that book and job allow.
//!
//! Why: without air the trap is siphoned or blown, and the sewer's gas comes into the room.
//!
//! Example: a floor drain that the job gives no vent and for which none could be proposed.
//!
//! To do: give the fixture a vent, let it share one (`vent`), or wet-vent it (`vented_by`).
//!
//! Section: IPC 901, IRC P3101.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{TrapIx, VentMethod};

/// V102.
pub const META: Meta = Meta::new("V102", "trap-without-vent", Severity::Error);

/// Traps without a vent.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let traps = ctx.net.traps.iter().enumerate();
    traps
        .filter(|(_, t)| t.vent == VentMethod::None && t.joint.is_some())
        .filter_map(|(i, _)| {
            let fixture = ctx.fixture(TrapIx(i))?;
            Some(Diagnostic {
                help: Some(format!(
                    "give {} a vent: `vent = \"…\"`, or `vented_by = \"…\"` for a wet vent",
                    fixture.name
                )),
                section: ctx.book.section("vent-needed").map(str::to_owned),
                ..META.finding(
                    &fixture.name,
                    Some(fixture.span.clone()),
                    format!("the trap of {} has no vent", fixture.name),
                )
            })
        })
        .collect()
}
