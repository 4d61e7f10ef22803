//! L107 fall-flattened
//!
//! Checks which drains are laid flatter than the job prefers, because more does not fit.
//!
//! Why: what is preferred is not always what can be built, and whoever sets the pipe must know that
//! this one has no fall to give away.
//!
//! Example: `fall = { "3" = "1/4" }` under `[job]`, and a main of 40 ft that has 8 in of room.
//!
//! To do: nothing, if the flatter fall will do; else a lower exit, or, for a branch that hangs on its
//! stack, a shorter run.
//!
//! Section: none; the book's least fall is kept.

use std::collections::BTreeMap;

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::{Bound, FallFrom, Flattened, bounds};
use crate::network::{RunIx, RunKind};
use crate::units::Fall;

/// L107.
pub const META: Meta = Meta::new("L107", "fall-flattened", Severity::Advice);

/// One for each run, with the flattest of its falls.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut flat: BTreeMap<RunIx, (Fall, Fall, Bound)> = BTreeMap::new();
    let mut pieces: BTreeMap<RunIx, Vec<&str>> = BTreeMap::new();
    for (ix, level) in ctx.solution.levels.pieces.iter() {
        let FallFrom::Flattened(Flattened::Room(bound)) = level.fall_from else {
            continue;
        };
        let (Some(piece), Some(fall)) = (ctx.net.graph.edge_weight(*ix), level.fall) else {
            continue;
        };
        // An arm or a drop has what its drain has, and is not laid with a laser.
        if matches!(ctx.kind(piece), Some(RunKind::Arm | RunKind::FixtureDrain)) {
            continue;
        }
        let size = ctx.solution.sizing.pieces.get(ix).map(|s| s.size);
        let falls = &ctx.job.practice.falls;
        let preferred = falls.iter().find(|(s, _)| Some(*s) == size);
        let Some((_, preferred)) = preferred else {
            continue;
        };
        pieces.entry(piece.run).or_default().push(&piece.id);
        let known = flat
            .entry(piece.run)
            .or_insert((fall, preferred.value, bound));
        if fall.ratio() < known.0.ratio() {
            *known = (fall, preferred.value, bound);
        }
    }
    let found = flat
        .into_iter()
        .filter_map(|(run, (fall, preferred, bound))| {
            let flat = pieces.remove(&run)?;
            let run = ctx.net.runs.get(run.0)?;
            // Of a drain that is only in part laid flatter the part is named.
            let (named, fall_word) = match flat.len() < run.pieces.len() {
                true => (flat.join(" and "), if flat.len() > 1 { "fall" } else { "falls" }),
                false => (run.id.clone(), "falls"),
            };
            let message = format!(
                "{named} {fall_word} {}, not the {} that this job prefers: more does not fit, the limit \
                 being {}",
                ctx.print.fall(fall),
                ctx.print.fall(preferred),
                bounds::with_article(&bounds::words(ctx.job, ctx.net, bound))
            );
            Some(Diagnostic {
                help: Some(match run.kind {
                    RunKind::Branch => "a shorter run gives the preferred fall back".to_owned(),
                    _ => "a lower exit or a shorter run gives the preferred fall back".to_owned(),
                }),
                ..META.finding(&run.id, run.span.clone(), message)
            })
        });
    found.collect()
}
