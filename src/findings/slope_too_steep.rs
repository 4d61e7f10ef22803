//! D109 slope-too-steep
//!
//! Checks that no drain falls more steeply than the job's limit, or than common practice has it
//! where the job sets none. A drain at 45° or more stands upright and is not meant.
//!
//! Why: on a steep drain the water runs off and leaves the solids behind. Practice of the trade;
//! no model code has the rule.
//!
//! Example: `bb = { into = "main", run = ["north 12'"], fall = "1" }`.
//!
//! To do: lay it flatter and take up the rest of the height upright, at its upper end; or state
//! the limit that holds here: `steepest = "1"` under `[job]`.
//!
//! Section: none; common practice.

use super::context::{Context, Meta, Worst};
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::FallFrom;
use crate::network::{RunKind, System};

/// D109.
pub const META: Meta = Meta::new("D109", "slope-too-steep", Severity::Advice);

/// Drains steeper than is good for them.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let stated = ctx.job.practice.steepest.as_ref().map(|s| s.value);
    let (Some(limit), whose) = (match stated {
        Some(limit) => (Some(limit), "this job's limit"),
        None => (catalogue::steepest().map(|s| s.0), "common practice"),
    }) else {
        return Vec::new();
    };
    let mut worst = Worst::new(ctx);
    for (ix, piece, size) in ctx.sized(System::Waste) {
        let level = ctx.solution.levels.pieces.get(&ix);
        let Some((fall, from)) = level.and_then(|l| Some((l.fall?, l.fall_from))) else {
            continue;
        };
        // The sewer's fall follows from its two ends, outside the building.
        let beyond = matches!(ctx.kind(piece), Some(RunKind::Sewer | RunKind::Discharge));
        let upright = fall.ratio() >= 1.0;
        if beyond || upright || from == FallFrom::Least {
            continue;
        }
        if fall.ratio() <= limit.ratio() || fall.same(limit) {
            continue;
        }
        let practice = &ctx.job.practice.falls;
        let preferred = practice.iter().find(|(s, _)| *s == size.size);
        let span = match from {
            FallFrom::Stated => piece.fall.as_ref().map(|f| f.span.clone()),
            _ => preferred.map(|(_, said)| said.span.clone()),
        };
        let message = format!(
            "{} falls {}, steeper than {whose} of {}: the water runs off and leaves the solids \
             behind",
            piece.id,
            print.fall(fall),
            print.fall(limit)
        );
        let finding = Diagnostic {
            help: Some(format!(
                "let it fall {} or less, and take up the rest upright at its upper end",
                print.fall(limit)
            )),
            ..META.finding(&piece.id, span, message)
        };
        worst.add(piece, fall.ratio(), finding);
    }
    worst.into_findings()
}
