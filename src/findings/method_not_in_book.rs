//! V106 method-not-in-the-book
//!
//! Checks that every trap is vented by a method that the book in force has. A town may have taken one
//! out that the model code allows.
//!
//! Why: what the code does not have needs its own approval, and is refused without.
//!
//! Example: `vented_by = "LAV-1"` under a town's book that takes out the wet vent.
//!
//! To do: give the trap a vent by another method, an individual one at best.
//!
//! Section: that of the venting methods: IPC 903.1, IRC P3101.2, or the town's own.

use super::context::{Context, Meta};
use super::methods_said::{Told, said};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::TrapIx;

/// V106.
pub const META: Meta = Meta::new("V106", "method-not-in-the-book", Severity::Error);

/// Traps vented by a method that the book lacks.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let methods = ctx.book.methods();
    let mut told = Told::default();
    let traps = ctx.net.traps.iter().enumerate();
    let found = traps.filter_map(|(i, trap)| {
        let word = trap.vent.word()?;
        if methods.get(word).is_some() {
            return None;
        }
        let fixture = ctx.fixture(TrapIx(i))?;
        let span = said(ctx, TrapIx(i), trap).unwrap_or(fixture.span.clone());
        if !told.first(&span) {
            return None;
        }
        let info = &methods.info;
        let section = info.amended_by.as_ref().unwrap_or(&info.section);
        Some(Diagnostic {
            help: Some(format!("give {} a vent by another method", fixture.name)),
            section: Some(section.clone()),
            ..META.finding(
                &fixture.name,
                Some(span),
                format!(
                    "{} is vented by {word}, which {} does not have",
                    fixture.name,
                    ctx.book.id()
                ),
            )
        })
    });
    found.collect()
}
