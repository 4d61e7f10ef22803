//! L105 footing-conflict
//!
//! Checks that the drain passes clear of the footing at each exit and of each other footing that the
//! job states: under its bottom, or over its top through the wall that stands on it. Says nothing
//! where a level is missing; the note on the sheet says what. A top that is stated below its bottom
//! is told too.
//!
//! Why: a footing with a pipe in it carries less, and a pipe with a footing on it breaks when the
//! house settles. Nobody may cut a footing without its engineer.
//!
//! Example: `footing_top = "-3'"`, `footing_bottom = "-4'"` and an exit at `invert = "-3' 8"`.
//!
//! To do: lower the drain until the top of its outside is under the footing, raise it until its
//! bottom is over the footing and give it a sleeve through the wall, or have the footing stepped
//! down.
//!
//! Section: none for the footing; the sleeve through the wall has the book's.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity, Span};
use crate::levels::{FootingAt, FootingPass, Outside, Passes};
use crate::units::Length;

/// L105.
pub const META: Meta = Meta::new("L105", "footing-conflict", Severity::Error);

/// Footings with a drain in them.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let passes = ctx.solution.levels.footings.iter();
    passes.filter_map(|pass| conflict(ctx, pass)).collect()
}

fn conflict(ctx: &Context<'_>, pass: &FootingPass) -> Option<Diagnostic> {
    if pass.top.zip(pass.bottom).is_some_and(|(t, b)| t < b) {
        let (at, footing, span) = footing_called(ctx, pass.at)?;
        let message = format!("the top of {footing} is stated below its bottom");
        return Some(Diagnostic {
            help: Some("verify both, and state them the other way round".to_owned()),
            ..META.finding(at, span, message)
        });
    }
    let Outside { low, high } = pass.pipe?;
    let print = ctx.print;
    let (at, footing, span) = footing_called(ctx, pass.at)?;
    let drain = pass.piece.and_then(|p| ctx.net.graph.edge_weight(p));
    let drain = drain.and_then(|p| ctx.net.runs.get(p.run.0));
    let drain = drain.map_or("the drain", |r| r.id.as_str());
    // What is not quite nothing does not print as nothing.
    let step = ctx.rounded_up(Length::from_mm(0.02));
    let message = match pass.passes {
        Passes::Through {
            above_bottom,
            below_top,
        } => format!(
            "{drain} goes through {footing}, {} above its bottom and {} below its top",
            print.short(above_bottom),
            print.short(below_top)
        ),
        Passes::CutsBottom { above_bottom } => format!(
            "{drain} cuts {} into the bottom of {footing}",
            print.short(above_bottom.max(step))
        ),
        Passes::CutsTop { below_top } => format!(
            "{drain} cuts {} into the top of {footing}",
            print.short(below_top.max(step))
        ),
        Passes::Under { .. } | Passes::Over { .. } | Passes::Unknown(_) => return None,
    };
    let down = pass.bottom.map(|bottom| {
        let by = print.short(ctx.rounded_up(high - bottom));
        format!("lower it by {by} or more to pass under its bottom")
    });
    let up = pass.top.map(|top| {
        let by = print.short(ctx.rounded_up(top - low));
        let sleeve = sleeve(ctx, pass);
        format!("raise it by {by} or more to pass over its top, through the wall{sleeve}")
    });
    let ways: Vec<String> = down.into_iter().chain(up).collect();
    Some(Diagnostic {
        help: Some(ways.join(", or ")),
        ..META.finding(at, span, message)
    })
}

/// The thing's name, what the footing is called, and where its levels are stated.
pub fn footing_called<'a>(
    ctx: &Context<'a>,
    at: FootingAt,
) -> Option<(&'a str, String, Option<Span>)> {
    Some(match at {
        FootingAt::Exit(i) => {
            let exit = ctx.job.exits.get(i)?;
            let name = match exit.name.as_str() {
                "exit" => "the footing at the exit".to_owned(),
                name => format!("the footing at exit {name}"),
            };
            (&exit.name, name, Some(exit.span.clone()))
        }
        FootingAt::Footing(i) => {
            let footing = ctx.job.footings.get(i)?;
            let name = format!("footing {}", footing.name);
            (&footing.name, name, Some(footing.span.clone()))
        }
    })
}

/// The sleeve that the book asks for in the wall.
fn sleeve(ctx: &Context<'_>, pass: &FootingPass) -> String {
    let size = pass.piece.and_then(|p| ctx.solution.sizing.pieces.get(&p));
    let sleeve = size.and_then(|s| ctx.book.sleeve(s.size));
    sleeve.map_or(String::new(), |s| {
        let size = ctx.print.size(s.value);
        format!(" in a {size} sleeve or under an arch ({})", s.cite())
    })
}
