//! A102 arm-falls-more-than-one-diameter
//!
//! Checks that no trap arm falls by more than its diameter on its whole length. A water closet
//! has no limit.
//!
//! Why: where the arm's crown at the vent lies below the trap's weir, the vent cannot break the
//! siphon.
//!
//! Example: `LAV-1 = { kind = "lavatory", arm = "5'", fall = "1/2" }`: 2 1/2 in of fall on a 1 1/2 in arm.
//!
//! To do: lay it flatter, or bring the vent nearer.
//!
//! Section: IPC 909.2, IRC P3105.2.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{TrapIx, VentMethod};
use crate::sizing::traps::kind_of;
use crate::units::{Fall, Length};

/// A102.
pub const META: Meta = Meta::new("A102", "arm-falls-more-than-one-diameter", Severity::Error);

/// Arms that fall too far.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let rules = ctx.book.arm_rules();
    let mut found = Vec::new();
    let Some(diameters) = &rules.fall_diameters else {
        return found;
    };
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let (Some(fixture), Some(arm)) = (ctx.fixture(TrapIx(i)), trap.arm) else {
            continue;
        };
        let exempt = kind_of(fixture).is_some_and(|k| k.closet) && rules.closet_exempt.value;
        let other = matches!(
            trap.vent,
            VentMethod::SingleStack | VentMethod::Combination | VentMethod::Indirect
        );
        if exempt || other {
            continue;
        }
        let (Some(level), Some(size)) = (
            ctx.solution.levels.pieces.get(&arm),
            ctx.solution.sizing.pieces.get(&arm),
        ) else {
            continue;
        };
        let (Some(fall), Some(run)) = (level.fall, level.horizontal) else {
            continue;
        };
        let drop = fall.over(run);
        let most = Length::from_inches(size.size.inches()) * diameters.value;
        if drop <= most || drop.same(most) {
            continue;
        }
        let piece = ctx.net.graph.edge_weight(arm);
        let span = piece
            .and_then(|p| p.fall.as_ref())
            .map(|f| f.span.clone())
            .or_else(|| fixture.arm.as_ref().map(|a| a.span.clone()))
            .or_else(|| Some(fixture.span.clone()));
        let flatter = Fall::from_ratio(most / run);
        let least = ctx.book.least_fall(size.size).ok().map(|f| f.value);
        let help = match least {
            Some(least) if !ctx.book.meets(flatter, least) => format!(
                "set the vent within {} of the trap",
                print.length(most / least.ratio())
            ),
            _ => format!("let it fall {} at most", print.fall(flatter)),
        };
        found.push(Diagnostic {
            help: Some(help),
            section: Some(rules.section.clone()),
            ..META.finding(
                &fixture.name,
                span,
                format!(
                    "the arm of {} falls {} on its {}, {} more than its diameter",
                    fixture.name,
                    print.short(drop),
                    print.length(run),
                    print.short(drop - most)
                ),
            )
        });
    }
    found
}
