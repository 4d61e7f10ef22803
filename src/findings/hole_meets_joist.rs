//! S104 hole-meets-joist
//!
//! Checks each hole through a floor whose joists the job lays out: that its edge, clearance
//! included, keeps clear of the joist next to it. `joists`, `joists_run`, `spacing` and
//! `first_joist` lay them out.
//! Sawn joists are taken to be 1 1/2 in thick; of others `joist_width` says it, or nothing is said.
//! Says nothing of holes whose place nobody knows, and of pipes that are there already.
//!
//! Why: a joist is never bored from above. A pipe that comes down on one is moved before the walls
//! are, or the joist is cut and headed off, which is the framer's to decide.
//!
//! Example: `joists_run = "east"`, `spacing = "16in"`, `first_joist = "0"` and a closet whose drain
//! comes down 16 1/2 in north of plan zero.
//!
//! To do: move the pipe by what the finding names, or the joists, or frame an opening.
//!
//! Section: IRC R502.8.1 and R502.10; only the geometry is worked out.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::drops::{self, Hole, Meets};

/// S104.
pub const META: Meta = Meta::new("S104", "hole-meets-joist", Severity::Warning);

/// Holes that stand on joists.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    // Few jobs say where their joists stand; the others cost nothing.
    if !drops::joists_laid_out(ctx.job) {
        return Vec::new();
    }
    let list = drops::drops(&ctx.work());
    let said = |h: &Hole| said(ctx, list.called(h.level), h);
    list.holes.iter().filter_map(said).collect()
}

fn said(ctx: &Context<'_>, floor: &str, hole: &Hole) -> Option<Diagnostic> {
    let Some(Meets::Joist {
        joist,
        least,
        other,
        fits,
        ..
    }) = &hole.meets
    else {
        return None;
    };
    let print = ctx.print;
    let by = |l| print.short(ctx.rounded_up(l));
    let message = format!(
        "the {} hole for {} through {floor} meets joist {joist}, counted from the first",
        print.short(hole.bored?),
        hole.named(),
    );
    let help = match fits {
        true => format!(
            "move it {} {}, or {} {}; or move the joists, or frame an opening",
            by(least.0),
            least.1.word(),
            by(other.0),
            other.1.word()
        ),
        false => "it is wider than any bay: frame an opening, or divide the pipe".to_owned(),
    };
    let piece = ctx.net.graph.edge_weight(hole.piece)?;
    Some(Diagnostic {
        help: Some(help),
        section: ctx.book.section("boring").map(str::to_owned),
        ..META.finding(piece.id.clone(), piece.span.clone(), message)
    })
}
