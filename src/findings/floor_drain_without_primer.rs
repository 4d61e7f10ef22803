//! T101 floor-drain-without-primer
//!
//! Checks that something keeps the seal of every seldom used trap, floor drains above all.
//!
//! Why: a dry trap is an open pipe to the sewer.
//!
//! Example: `FD-1 = { kind = "floor drain", floor = "basement" }`.
//!
//! To do: name a fixture near by whose use feeds a primer: `primed_by = "LAV-1"`; or waive it and
//! name the barrier device that is set instead.
//!
//! Section: IPC 1002.4, IRC P3201.2.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::TrapIx;
use crate::sizing::traps::kind_of;

/// T101.
pub const META: Meta = Meta::new("T101", "floor-drain-without-primer", Severity::Warning);

/// Seldom used traps that nothing primes.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    if !ctx.book.trap_rules().primer.value {
        return Vec::new();
    }
    let traps = ctx.net.traps.iter().enumerate();
    traps
        .filter(|(_, t)| t.primed_by.is_none() && t.joint.is_some())
        .filter_map(|(i, _)| {
            let fixture = ctx.fixture(TrapIx(i))?;
            kind_of(fixture).filter(|k| k.needs_primer)?;
            Some(Diagnostic {
                help: Some("name a fixture near by: `primed_by = \"…\"`".to_owned()),
                section: Some(ctx.book.trap_rules().primer.section.clone()),
                ..META.finding(
                    &fixture.name,
                    Some(fixture.span.clone()),
                    format!("nothing keeps the trap of {} from drying out", fixture.name),
                )
            })
        })
        .collect()
}
