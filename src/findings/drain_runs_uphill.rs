//! D111 drain-runs-uphill
//!
//! Checks that no leg of a drain goes down: legs are read walking upstream, so water would have to
//! climb it.
//!
//! Why: it stands in the dip as in a second trap, and what it carries settles there.
//!
//! Example: `bath = { into = "main", run = ["west 4'", "down 1'", "west 3'"] }`.
//!
//! To do: turn the leg to `up`, if it was written walking downstream; else pump it.
//!
//! Section: IPC 704.1, IRC P3005.3.

use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{RunKind, System};
use crate::units::{Heading, Length};

/// D111.
pub const META: Meta = Meta::new("D111", "drain-runs-uphill", Severity::Error);

/// Drains whose water would have to climb.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut worst = Worst::new(ctx);
    for (_, piece, size) in ctx.sized(System::Waste) {
        let down = piece
            .legs
            .iter()
            .filter(|l| l.heading == Some(Heading::Down));
        let dips: Vec<Length> = down.filter_map(|l| l.length).collect();
        if dips.is_empty() || ctx.kind(piece) == Some(RunKind::Discharge) {
            continue;
        }
        let dip: Length = dips.into_iter().sum();
        let name = ctx
            .net
            .runs
            .get(piece.run.0)
            .map_or(piece.id.as_str(), |r| r.id.as_str());
        let message = format!(
            "{name} goes down {} walking upstream: its water would have to climb that",
            ctx.print.length(dip)
        );
        let section = ctx.book.least_fall(size.size).ok().map(|f| f.section);
        let finding = Diagnostic {
            help: Some("write legs from the downstream end up: `up`, where the water falls".into()),
            section,
            ..META.finding(name, piece.span.clone(), message)
        };
        worst.add(piece, dip, finding);
    }
    worst.into_findings()
}
