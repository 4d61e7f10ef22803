//! T102 trap-too-far-below-its-fixture
//!
//! Checks that no trap's weir lies farther below its fixture's outlet than the book allows,
//! whatever depth the main, the branch or a stated outlet gives it. The outlet of a tub, a shower
//! or a floor drain is taken at the finished floor, or at the rim where that lies lower; that of a
//! bowl that stands clear of the floor as far below its rim as the deepest of its kind. Closets
//! hold their own trap, and a standpipe has a rule of its own.
//!
//! Why: water that falls too far arrives so fast that it carries the seal along with it.
//!
//! Example: a bathtub over `invert = "-4'"`, with nothing between it and its branch.
//!
//! To do: raise the branch by a leg up where it leaves its drain, or set the trap higher on a
//! vented drop of its own.
//!
//! Section: IPC 1002.1, IRC P3201.6.

use super::context::{Context, Meta};
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::TrapIx;
use crate::units::Length;

/// T102.
pub const META: Meta = Meta::new("T102", "trap-too-far-below-its-fixture", Severity::Error);

/// Traps whose weir lies too low.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let rule = &ctx.book.trap_rules().outlet_to_weir;
    let most = rule.value;
    let low = |(trap, below): (TrapIx, Length)| {
        let fixture = ctx.fixture(trap)?;
        (below > most && !below.same(most)).then_some(())?;
        let help = format!(
            "raise its branch by a leg `up`, or its trap on a vented drop, by {} or more",
            print.length(ctx.rounded_up(below - most))
        );
        Some(Diagnostic {
            help: Some(help),
            section: Some(rule.section.clone()),
            ..META.finding(
                &fixture.name,
                Some(fixture.span.clone()),
                format!(
                    "the trap weir of {} lies {} below its outlet, {} more than the {} allowed",
                    fixture.name,
                    print.length(below),
                    print.length(ctx.rounded_up(below - most)),
                    print.length(most)
                ),
            )
        })
    };
    below_outlets(ctx).into_iter().filter_map(low).collect()
}

/// How far the weir of each trap lies below its fixture's outlet, where both are known: not of closets,
/// nor of standpipes.
pub fn below_outlets(ctx: &Context<'_>) -> Vec<(TrapIx, Length)> {
    let traps = ctx.net.traps.iter().enumerate();
    let known = traps.filter_map(|(i, trap)| {
        let ix = TrapIx(i);
        let fixture = ctx.fixture(ix)?;
        let kind = catalogue::kind(&fixture.kind.value)?;
        (!kind.closet && !kind.washer).then_some(())?;
        let weir = ctx.solution.levels.pieces.get(&trap.arm?)?.invert_up?;
        let floor = ctx.floor(ix)?;
        let rim = fixture.rim.unwrap_or(kind.default_rim.height);
        let outlet = match kind.deepest_bowl {
            Some(bowl) => rim + bowl.height,
            None => rim.min(Length::ZERO),
        };
        Some((ix, floor.level + outlet - weir))
    });
    known.collect()
}
