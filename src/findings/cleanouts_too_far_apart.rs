//! C102 cleanouts-too-far-apart
//!
//! Checks that no stretch of level drain is longer than the book's spacing without a cleanout.
//! Lengths that nobody gave are not held against a drain.
//!
//! Why: a rod has an end.
//!
//! Example: a building drain of 130 ft with one cleanout near the exit.
//!
//! To do: add one under `[cleanouts]` so that none is farther than that from the next.
//!
//! Section: IPC 708.1, IRC P3005.2.

use std::collections::BTreeMap;

use super::cleanout_ways::{has_cleanout, is_level_drain};
use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::length;
use crate::network::{JointIx, PieceIx, System};
use crate::sizing::order::order;
use crate::units::Length;

/// C102.
pub const META: Meta = Meta::new("C102", "cleanouts-too-far-apart", Severity::Error);

/// The way from the upper end of a level drain down to the next cleanout.
#[derive(Clone, Copy, Debug)]
pub struct Since {
    /// The drain.
    pub piece: PieceIx,
    /// What is known of the way: so long at the least.
    pub least: Length,
    /// Whether all of it is known.
    pub known: bool,
}

/// The way from the upper end of each level drain down to the next cleanout, or to where the drain
/// ends without one, from the exits up. With a most, the count starts again beyond a piece at which
/// it is passed, so that it is told once.
pub fn since_cleanouts(ctx: &Context<'_>, most: Option<Length>) -> Vec<Since> {
    let mut ways = Vec::new();
    let mut since: BTreeMap<JointIx, (Length, bool)> = BTreeMap::new();
    for ix in order(ctx.net, System::Waste).into_iter().rev() {
        let (Some(piece), Some((from, to))) = (
            ctx.net.graph.edge_weight(ix),
            ctx.net.graph.edge_endpoints(ix),
        ) else {
            continue;
        };
        if !is_level_drain(ctx, piece) {
            continue;
        }
        let none = (Length::ZERO, true);
        let (start, known) = match has_cleanout(ctx, to) {
            true => none,
            false => since.get(&to).copied().unwrap_or(none),
        };
        let own = length(piece);
        let (way, known) = (start + own.unwrap_or_default(), known && own.is_some());
        let passed = most.is_some_and(|most| way > most && !way.same(most));
        since.insert(from, if passed { none } else { (way, known) });
        ways.push(Since {
            piece: ix,
            least: way,
            known,
        });
    }
    ways
}

/// Stretches without a cleanout that are too long.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let rule = &ctx.book.cleanouts().spacing;
    let mut found = Vec::new();
    for since in since_cleanouts(ctx, Some(rule.value)) {
        let (piece, way) = (&ctx.net.graph[since.piece], since.least);
        if way <= rule.value || way.same(rule.value) {
            continue;
        }
        let run = ctx.net.runs.get(piece.run.0);
        found.push(Diagnostic {
            help: Some(format!(
                "set one on {} not more than {} from the next",
                run.map_or(piece.id.as_str(), |r| &r.id),
                ctx.print.length(rule.value)
            )),
            section: Some(rule.section.clone()),
            ..META.finding(
                &piece.id,
                run.and_then(|r| r.span.clone()).or(piece.span.clone()),
                format!(
                    "at the upper end of {} the next cleanout is {} down the drain, {} too far",
                    piece.id,
                    ctx.print.length(way),
                    ctx.print.length(way - rule.value)
                ),
            )
        });
    }
    found
}
