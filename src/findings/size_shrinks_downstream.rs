//! D104 size-shrinks-downstream
//!
//! Checks that no drain is smaller than a drain that flows into it. A 4 by 3 closet bend or
//! flange is no decrease.
//!
//! Why: what passed the larger pipe lodges at the step.
//!
//! Example: `main = { into = "exit", run = ["size 3", "north 12'", "size 4", "north 20'"] }`: read
//! from the exit up, so 4 in flows into 3 in.
//!
//! To do: make the lower part as large as the upper, or the upper as small as its load allows.
//!
//! Section: IPC 704.2, IRC P3005.1.

use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{Network, PieceIx, RunKind, System};
use crate::sizing::class::of_one_trap;
use crate::sizing::waste::past_bend;
use crate::units::PipeSize;

/// D104.
pub const META: Meta = Meta::new("D104", "size-shrinks-downstream", Severity::Error);

/// Pieces that are smaller than one that flows into them.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let sizes = &ctx.solution.sizing;
    let closet = ctx.book.closet_least().value;
    let mut worst = Worst::new(ctx);
    for (ix, piece, size) in ctx.sized(System::Waste) {
        if ctx.kind(piece) == Some(RunKind::Discharge) {
            continue;
        }
        let Some(joint) = ctx.net.from(ix) else {
            continue;
        };
        let above = ctx.net.upstream(joint).into_iter().filter_map(|p| {
            let s = sizes.pieces.get(&p)?;
            let closets = sizes.serves.get(&p).is_some_and(|s| s.closets > 0);
            let bend = closets && is_bend(ctx.net, p);
            Some((p, past_bend(s.size, bend.then_some(closet))))
        });
        let largest: Option<(PieceIx, PipeSize)> = above.max_by_key(|(_, s)| *s);
        let Some((larger, above)) = largest.filter(|(_, s)| *s > size.size) else {
            continue;
        };
        let id = ctx.net.graph.edge_weight(larger).map(|p| p.id.as_str());
        let message = format!(
            "{} is {}; {} flows into it and is {}",
            piece.id,
            print.size(size.size),
            id.unwrap_or_default(),
            print.size(above)
        );
        let finding = Diagnostic {
            help: Some(format!("make {} {}", piece.id, print.size(above))),
            section: ctx.book.section("size-decrease").map(str::to_owned),
            ..META.finding(&piece.id, ctx.size_span(piece), message)
        };
        worst.add(piece, above, finding);
    }
    worst.into_findings()
}

/// Whether a piece is the arm or fixture drain of one closet, where the bend or flange sits.
fn is_bend(net: &Network, piece: PieceIx) -> bool {
    let kind = net
        .graph
        .edge_weight(piece)
        .and_then(|p| net.runs.get(p.run.0))
        .map(|r| r.kind);
    matches!(kind, Some(RunKind::Arm | RunKind::FixtureDrain)) && of_one_trap(net, piece)
}
