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
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{TrapIx, VentMethod};

/// V106.
pub const META: Meta = Meta::new("V106", "method-not-in-the-book", Severity::Error);

/// Traps vented by a method that the book lacks.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let methods = ctx.book.methods();
    let traps = ctx.net.traps.iter().enumerate();
    let found = traps.filter_map(|(i, trap)| {
        let word = word(&trap.vent)?;
        if methods.get(word).is_some() {
            return None;
        }
        let fixture = ctx.fixture(TrapIx(i))?;
        let said = fixture.vented_by.as_ref().map(|s| s.span.clone());
        let said = said.or(fixture.vent.as_ref().map(|s| s.span.clone()));
        let info = &methods.info;
        let section = info.amended_by.as_ref().unwrap_or(&info.section);
        Some(Diagnostic {
            help: Some(format!("give {} a vent by another method", fixture.name)),
            section: Some(section.clone()),
            ..META.finding(
                &fixture.name,
                Some(said.unwrap_or(fixture.span.clone())),
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

/// The method's word in a book; none where there is nothing to ask.
fn word(method: &VentMethod) -> Option<&'static str> {
    Some(match method {
        VentMethod::Individual => "individual",
        VentMethod::Common(_) => "common",
        VentMethod::Wet(_) => "wet vent",
        VentMethod::Island => "island",
        VentMethod::StackVent => "stack vent",
        VentMethod::AirAdmittance => "air admittance valve",
        VentMethod::Combination => "combination",
        VentMethod::Indirect | VentMethod::None => return None,
    })
}
