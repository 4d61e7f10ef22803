//! M103 too-far-from-its-stack
//!
//! Checks that what a single stack serves stands near enough to it: the level distance that the
//! book gives for a water closet or another fixture, or the length, drop and bends that it gives
//! for the size of the branch.
//!
//! Why: an unvented branch has its air from the stack alone; a long or winding one fills on its
//! way and siphons the traps on it.
//!
//! Example: `S1 = { method = "single stack" }` and a lavatory 15 ft from it, where 12 ft may be.
//!
//! To do: bring the fixture nearer, make its branch larger where the book goes by sizes, or give
//! it a vent of its own (`vent`).
//!
//! Section: IPC 917.4.

use super::context::{Context, Meta};
use crate::codebook::Found;
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::falls::leg_is_vertical;
use crate::network::{PieceIx, TrapIx, VentMethod};
use crate::sizing::traps::kind_of;
use crate::units::{Heading, Length, PipeSize};

/// M103.
pub const META: Meta = Meta::new("M103", "too-far-from-its-stack", Severity::Error);

/// Fixtures of single stacks that stand too far from them.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let traps = ctx.net.traps.iter().enumerate();
    let single = traps.filter(|(_, t)| t.vent == VentMethod::SingleStack);
    let found = single.filter_map(|(i, _)| one(ctx, TrapIx(i)));
    found.collect()
}

/// A limit that a way does not keep: what is wrong, in words, with the section.
type Broken = (String, String);

fn one(ctx: &Context<'_>, trap: TrapIx) -> Option<Diagnostic> {
    let fixture = ctx.fixture(trap)?;
    let (way, _) = ctx.net.way_to_vented_run(trap)?;
    let (what, section) = by_distance(ctx, trap, &way).or_else(|| by_size(ctx, &way))?;
    Some(Diagnostic {
        help: Some(format!(
            "bring {} nearer to its stack, or give it a vent: `vent = \"…\"`",
            fixture.name
        )),
        section: Some(section),
        ..META.finding(
            &fixture.name,
            Some(fixture.span.clone()),
            format!("{} {what}", fixture.name),
        )
    })
}

fn more(is: Length, most: Length) -> bool {
    is > most && !is.same(most)
}

/// The level distance from the stack, where the book limits that.
fn by_distance(ctx: &Context<'_>, trap: TrapIx, way: &[PieceIx]) -> Option<Broken> {
    let Reach { has, most, .. } = distance(ctx, trap, way)?;
    more(has, most.value).then(|| {
        let what = format!(
            "drains {} level to its stack, {} more than the {} that it may unvented",
            ctx.print.length(has),
            ctx.print.length(ctx.rounded_up(has - most.value)),
            ctx.print.length(most.value)
        );
        (what, most.section)
    })
}

/// Length, drop and bends by the size of the branch, where the book has a table of them.
fn by_size(ctx: &Context<'_>, way: &[PieceIx]) -> Option<Broken> {
    let print = ctx.print;
    let size = narrowest(ctx, way)?;
    let is = |reach: Reach| {
        let words = format!(
            "drains to its stack by {} of unvented {} {}, where {} may be",
            print.length(reach.has),
            print.size(size),
            reach.what,
            print.length(reach.most.value)
        );
        (words, reach.most.section)
    };
    let mut lengths = lengths(ctx, way)?.into_iter();
    if let Some(broken) = lengths.find(|r| more(r.has, r.most.value)) {
        return Some(is(broken));
    }
    let most = ctx.book.unvented_branch(size)?.bends?;
    let bends = bends(ctx, way);
    (bends > most.value).then(|| {
        let what = format!(
            "turns {bends} times a quarter on its way to its stack, where {} {} may unvented",
            print.size(size),
            most.value
        );
        (what, most.section)
    })
}

/// How far a fixture of a single stack is from it, by one of its limits.
pub struct Reach {
    /// What is measured.
    pub what: &'static str,
    /// How much it is.
    pub has: Length,
    /// The most that it may be.
    pub most: Found<Length>,
}

/// How far each fixture of a single stack is from it, by every limit of the book that is a length, where
/// that is known.
pub fn reaches(ctx: &Context<'_>) -> Vec<(TrapIx, Reach)> {
    let traps = ctx.net.traps.iter().enumerate();
    let single = traps.filter(|(_, t)| t.vent == VentMethod::SingleStack);
    let each = single.flat_map(|(i, _)| {
        let trap = TrapIx(i);
        let way = ctx.net.way_to_vented_run(trap).map(|w| w.0);
        let way = way.unwrap_or_default();
        let sized = lengths(ctx, &way).unwrap_or_default();
        let all = distance(ctx, trap, &way).into_iter().chain(sized);
        all.map(|r| (trap, r)).collect::<Vec<_>>()
    });
    each.collect()
}

fn distance(ctx: &Context<'_>, trap: TrapIx, way: &[PieceIx]) -> Option<Reach> {
    let rules = ctx.book.single_stack_rules()?;
    let closet = kind_of(ctx.fixture(trap)?).is_some_and(|k| k.closet);
    let enters = way.last().and_then(|p| ctx.net.to(*p))?;
    let fitting = ctx.solution.fittings.joints.get(&enters);
    let by_tee = fitting.is_some_and(|f| f.name.contains("sanitary tee"));
    let most = rules.distance(closet, by_tee)?;
    let mut level = Length::ZERO;
    for piece in way {
        level += ctx.solution.levels.pieces.get(piece)?.horizontal?;
    }
    Some(Reach {
        what: "level distance",
        has: level,
        most: most.clone(),
    })
}

/// The narrowest part of a way is what limits it.
fn narrowest(ctx: &Context<'_>, way: &[PieceIx]) -> Option<PipeSize> {
    let sizes = way.iter().filter_map(|p| ctx.solution.sizing.pieces.get(p));
    sizes.map(|s| s.size).min()
}

fn lengths(ctx: &Context<'_>, way: &[PieceIx]) -> Option<Vec<Reach>> {
    let row = ctx.book.unvented_branch(narrowest(ctx, way)?)?;
    let (mut length, mut drop) = (Length::ZERO, Length::ZERO);
    for piece in way {
        let own = ctx.solution.levels.pieces.get(piece)?.length?;
        length += own;
        let weight = ctx.net.graph.edge_weight(*piece)?;
        if weight.legs.iter().all(leg_is_vertical) {
            drop += own;
        }
    }
    let reach = |what, has, most: Option<Found<Length>>| most.map(|most| Reach { what, has, most });
    let all = [
        reach("branch", length, row.length),
        reach("drop", drop, row.drop),
    ];
    Some(all.into_iter().flatten().collect())
}

/// Quarter bends on a way: the turns between its legs, upright ones too; two eighths count one.
fn bends(ctx: &Context<'_>, way: &[PieceIx]) -> u32 {
    let pieces = way.iter().filter_map(|p| ctx.net.graph.edge_weight(*p));
    // Legs are read walking upstream, the way goes down.
    let headings: Vec<_> = pieces
        .flat_map(|p| p.legs.iter().rev().map(|l| l.heading))
        .collect();
    let mut eighths = 0;
    for pair in headings.windows(2) {
        if let [Some(a), Some(b)] = pair {
            eighths += match (a.is_vertical(), b.is_vertical()) {
                (true, true) => 0,
                (false, false) => between(*a, *b),
                _ => 2,
            };
        }
    }
    eighths.div_ceil(2)
}

/// The turn from one heading in plan to another, in eighths of a circle.
fn between(a: Heading, b: Heading) -> u32 {
    let (Some(a), Some(b)) = (a.eighth(), b.eighth()) else {
        return 0;
    };
    let turn = a.abs_diff(b) as u32;
    turn.min(8_u32.saturating_sub(turn))
}
