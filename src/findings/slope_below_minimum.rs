//! D105 slope-below-minimum
//!
//! Checks every stated fall against the least that the book gives for the size of the drain, and
//! that of the sewer outside, which follows from its two ends.
//!
//! Why: too flat a drain does not scour itself and fills with what it carries.
//!
//! Example: `kb = { into = "S1", size = 2, fall = "1/8" }`: a 2 in drain falls 1/4 in per ft at least.
//!
//! To do: give it the fall that the finding names, or a larger size that may lie flatter.
//!
//! Section: IPC 704.1, IRC P3005.3.

use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::FallFrom;
use crate::network::{RunKind, System};

/// D105.
pub const META: Meta = Meta::new("D105", "slope-below-minimum", Severity::Error);

/// Drains flatter than the book's least.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let mut worst = Worst::new(ctx);
    for (ix, piece, size) in ctx.sized(System::Waste) {
        let Some(level) = ctx.solution.levels.pieces.get(&ix) else {
            continue;
        };
        let Some(fall) = level.fall.filter(|_| level.fall_from == FallFrom::Stated) else {
            continue;
        };
        let Ok(least) = ctx.book.least_fall(size.size) else {
            continue;
        };
        if ctx.book.meets(fall, least.value) {
            continue;
        }
        let sewer = ctx.kind(piece) == Some(RunKind::Sewer);
        let falls = match fall.ratio() > 0.0 {
            true => format!("falls {}", print.fall(fall)),
            false => "does not fall at all".to_owned(),
        };
        let message = format!(
            "{} {falls}; a {} drain falls {} at least",
            piece.id,
            print.size(size.size),
            print.fall(least.value)
        );
        let span = piece.fall.as_ref().map(|f| f.span.clone());
        let span = span.or_else(|| piece.span.clone());
        let help = match sewer {
            true => {
                "the exit's invert, the tap's and the length between them decide: verify them, \
                     and raise the exit or find a lower tap"
                    .to_owned()
            }
            false => format!("let it fall {}", print.fall(least.value)),
        };
        let finding = Diagnostic {
            help: Some(help),
            section: Some(least.section.clone()),
            ..META.finding(&piece.id, span, message)
        };
        worst.add(piece, least.value.ratio() - fall.ratio(), finding);
    }
    worst.into_findings()
}
