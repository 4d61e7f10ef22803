//! S102 joist-bored-too-large
//!
//! Checks each drain that goes across sawn joists: that the hole for its outside is no larger than
//! may be bored, and leaves enough wood over it and under it where the pipe's level is known. A drain
//! that gets no farther across than the joists stand apart lies in its bay. Says nothing where the
//! job does not state which way the joists run, of existing drains, of the offsets of stacks, and of
//! clearance round the pipe, which the hole needs besides.
//!
//! Why: a joist with too large a hole, or one too near to its edge, no longer carries its floor.
//!
//! Example: `joists = "9 1/4in"`, `joists_run = "east"` and a 3 in branch `north 8'`: 3 1/2 in outside
//! where 3 in may be bored.
//!
//! To do: run it along the joists, hang it below them, or frame an opening out with headers.
//!
//! Section: IRC R502.8.1; IBC 2308.4.2.4.

use super::context::{Context, Meta, Worst};
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity};
use crate::drops::{self, Crossing};
use crate::levels::{Holes, holes};
use crate::units::Length;

/// S102.
pub const META: Meta = Meta::new("S102", "joist-bored-too-large", Severity::Error);

/// Drains whose holes no joist bears.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut worst = Worst::new(ctx);
    for crossing in drops::crossings(&ctx.work()) {
        let Some(holes) = holes(ctx.job, ctx.book, crossing.floor) else {
            continue;
        };
        let found = too_large(ctx, &crossing, &holes).or_else(|| edge(ctx, &crossing, &holes));
        if let Some((badness, finding)) = found {
            worst.add(&ctx.net.graph[crossing.piece], badness, finding);
        }
    }
    worst.into_findings()
}

/// A hole that the joist bears nowhere; worse than any that only lies badly.
fn too_large(
    ctx: &Context<'_>,
    crossing: &Crossing,
    holes: &Holes,
) -> Option<((u8, f64), Diagnostic)> {
    let outside = crossing.outside.filter(|o| !holes.take(*o))?;
    let print = ctx.print;
    let id = &ctx.net.graph[crossing.piece].id;
    let floor = ctx.job.floors.get(crossing.floor.0)?;
    let limit = ctx.rounded_down(holes.largest().max(Length::ZERO));
    let message = format!(
        "{id} is {} outside and goes across the {} joists of {}: {} is the largest hole that may be \
         bored in them, clearance included",
        print.short(ctx.rounded_up(outside)),
        holes.joists,
        floor.name,
        print.short(limit),
    );
    let help = "run it along the joists, hang it below them, or frame an opening out with headers";
    let badness = (1, (outside - holes.largest()).mm());
    Some((
        badness,
        said(ctx, crossing, holes, message, help.to_owned()),
    ))
}

/// A hole with too little wood over it or under it.
fn edge(ctx: &Context<'_>, crossing: &Crossing, holes: &Holes) -> Option<((u8, f64), Diagnostic)> {
    let print = ctx.print;
    let ends = crossing.ends?;
    let sides = ends.iter().flat_map(|e| {
        let over = (holes.top - e.high, "over", "lower");
        let under = (e.low - holes.bottom, "under", "raise");
        [over, under]
    });
    let (left, side, way) = sides.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let lacks = holes.edge - left;
    if lacks <= catalogue::fine() {
        return None;
    }
    let id = &ctx.net.graph[crossing.piece].id;
    let floor = ctx.job.floors.get(crossing.floor.0)?;
    let joists = format!("the {} joists of {}", holes.joists, floor.name);
    let edge = print.short(holes.edge);
    let message = match left <= Length::ZERO {
        true => format!(
            "{id} goes across {joists} with no wood {side} its hole; {edge} stay {side} a hole"
        ),
        false => format!(
            "{id} goes across {joists} with {} of wood {side} its hole; {edge} stay {side} a hole",
            print.short(ctx.rounded_down(left)),
        ),
    };
    let hung = ctx.solution.levels.pieces.get(&crossing.piece);
    let hung = hung.is_some_and(|l| l.hung);
    if hung && way == "raise" {
        // It hangs as high as it can.
        let help = "it hangs as high as its fixtures let it: run it along the joists, hang it below \
                    them, or frame an opening out with headers";
        let badness = (0, lacks.mm());
        return Some((
            badness,
            said(ctx, crossing, holes, message, help.to_owned()),
        ));
    }
    let help = format!(
        "{way} it by {}, run it along the joists, or hang it below them; between two holes {} stay",
        print.short(ctx.rounded_up(lacks)),
        print.short(holes.apart),
    );
    Some(((0, lacks.mm()), said(ctx, crossing, holes, message, help)))
}

fn said(
    ctx: &Context<'_>,
    crossing: &Crossing,
    holes: &Holes,
    message: String,
    help: String,
) -> Diagnostic {
    let piece = &ctx.net.graph[crossing.piece];
    Diagnostic {
        help: Some(help),
        section: Some(holes.most.section.clone()),
        ..META.finding(&piece.id, piece.span.clone(), message)
    }
}
