//! L102 position-and-run-disagree
//!
//! Checks that where a thing states its plan position and its way as well, the way leads
//! there, as near as anyone sets a pipe: a stack's run to its base, a fixture's run and arm to where
//! it stands. That is a quarter inch.
//! An arm may turn on its way, so one that is longer than the crow flies is not meant. Positions
//! and stations are compared when the drains are laid out (N015).
//!
//! Why: the drawing is made from the run and the set-out from the position; one of the two is
//! wrong.
//!
//! Example: `S1 = { station = "10'", run = ["east 4'"], at = ["5'", "10'"] }` on a drain that runs
//! north from plan zero: the run ends a foot short.
//!
//! To do: correct the one that was measured less well.
//!
//! Section: none.

use super::context::{Context, Meta};
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity, Span};
use crate::job::{Fixture, Leg, Stack};
use crate::network::draft::{Root, Who};
use crate::network::kinds::ways;
use crate::network::{Point, go, point_at};
use crate::units::Length;

/// L102.
pub const META: Meta = Meta::new("L102", "position-and-run-disagree", Severity::Warning);

/// Runs that do not lead to the plan positions of what they serve.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let Some(agreement) = catalogue::agreement().map(|a| a.value) else {
        return Vec::new();
    };
    let fixtures = ctx.job.fixtures.iter().enumerate();
    let fixtures = fixtures.filter_map(|(i, f)| {
        let off = fixture(ctx, i, f)?;
        Some((f.name.as_str(), f.span.clone(), off, "its run and arm"))
    });
    let stacks = ctx.job.stacks.iter().enumerate();
    let stacks = stacks.filter_map(|(i, s)| {
        let off = stack(ctx, i, s)?;
        Some((s.name.as_str(), s.span.clone(), off, "its run"))
    });
    let off = stacks.chain(fixtures);
    off.filter(|(_, _, off, _)| *off > agreement && !off.same(agreement))
        .map(|found| finding(ctx, found))
        .collect()
}

fn finding(ctx: &Context<'_>, (name, span, off, way): (&str, Span, Length, &str)) -> Diagnostic {
    let message = format!(
        "the plan position of {name} lies {} from where {way} lead{} to",
        ctx.print.length(off),
        if way == "its run" { "s" } else { "" }
    );
    Diagnostic {
        help: Some(format!(
            "the drawing follows {way}; correct `at`, or the lengths"
        )),
        ..META.finding(name, Some(span), message)
    }
}

/// How far a stack's stated position lies from the end of its stated run.
fn stack(ctx: &Context<'_>, index: usize, stack: &Stack) -> Option<Length> {
    let at = stack.at.filter(|_| !stack.run.is_empty())?;
    let draft = &ctx.net.draft;
    let lateral = draft.parent(*draft.stacks.get(index)?)?;
    let start = draft.runs.get(lateral)?.origin?;
    Some(apart(end(start, &stack.run), at))
}

/// How far a fixture's stated position lies from where its stated run and arm can reach.
fn fixture(ctx: &Context<'_>, index: usize, fixture: &Fixture) -> Option<Length> {
    let at = fixture.at?;
    let draft = &ctx.net.draft;
    let Some(Root::Run(run)) = draft.fixtures.get(index)?.home else {
        return None;
    };
    let arm = fixture.arm.as_ref()?.value;
    let run = draft.runs.get(run)?;
    let entrant = run.entrants.iter().find(|e| e.who == Who::Fixture(index))?;
    let (start, _) = point_at(run.origin?, &run.legs, entrant.station?)?;
    let far = apart(end(start, &fixture.run), at);
    if !fixture.run.is_empty() {
        return Some(beyond(far, arm));
    }
    // Without a run of its own the way is straight, and square off the drain. What has its outlet
    // in the wall may have a drop on the way, which takes the rest.
    Some(match ways(&fixture.kind.value).wall {
        true => beyond(arm, far),
        false => (far - arm).abs(),
    })
}

/// By how much one length is longer than another.
fn beyond(length: Length, other: Length) -> Length {
    (length - other).max(Length::ZERO)
}

/// Where legs lead in plan.
fn end(start: Point, legs: &[Leg]) -> Point {
    legs.iter()
        .fold(start, |at, leg| go(at, leg.heading, leg.length))
}

/// How far two places lie from each other.
fn apart(a: Point, b: Point) -> Length {
    let (east, north) = ((b.0 - a.0).mm(), (b.1 - a.1).mm());
    Length::from_mm((east * east + north * north).sqrt())
}
