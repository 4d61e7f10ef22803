//! Trap arms.

use super::model::Measure;
use super::worst::Worst;
use crate::findings::Context;
use crate::network::{PieceIx, TrapIx, VentMethod};
use crate::sizing::traps::kind_of;
use crate::units::Length;

/// The longest arm for its limit.
pub(super) fn lengths(ctx: &Context<'_>) -> Option<Measure> {
    worst(ctx, |name, trap, arm| {
        let length = ctx.solution.levels.pieces.get(&arm)?.length?;
        let size = ctx.solution.sizing.traps.get(&trap)?.size;
        let row = ctx.book.trap_arm(size).ok()?;
        let most = row.value.length;
        let measure = Measure {
            what: "length of a trap arm".to_owned(),
            section: row.cite().to_owned(),
            applied: 0,
            at: format!("{name}, {}", ctx.print.size(size)),
            has: ctx.print.length(length),
            limit: ctx.print.length(most),
            margin: ctx.print.length((most - length).max(Length::ZERO)),
            kept: length <= most || length.same(most),
        };
        Some((length / most, measure))
    })
}

/// The arm that falls most for its size.
pub(super) fn falls(ctx: &Context<'_>) -> Option<Measure> {
    let most_of = ctx.book.arm_rules().fall_diameters.as_ref()?;
    worst(ctx, |name, _, arm| {
        let level = ctx.solution.levels.pieces.get(&arm)?;
        let falls = level.fall?.over(level.horizontal?);
        let size = ctx.solution.sizing.pieces.get(&arm)?.size;
        let most = Length::from_inches(size.inches() * most_of.value);
        let measure = Measure {
            what: "fall of a trap arm".to_owned(),
            section: most_of.cite().to_owned(),
            applied: 0,
            at: format!("{name}, {}", ctx.print.size(size)),
            has: ctx.print.short(falls),
            limit: ctx.print.short(most),
            margin: ctx.print.short((most - falls).max(Length::ZERO)),
            kept: falls <= most || falls.same(most),
        };
        Some((falls / most, measure))
    })
}

/// The worst of the arms that have the usual limits: those of closets and on stacks that are their
/// own vent have others, or none, and rules by themselves.
fn worst(
    ctx: &Context<'_>,
    measure: impl Fn(&str, TrapIx, PieceIx) -> Option<(f64, Measure)>,
) -> Option<Measure> {
    let mut worst = Worst::default();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let (Some(fixture), Some(arm)) = (ctx.fixture(TrapIx(i)), trap.arm) else {
            continue;
        };
        let closet = kind_of(fixture).is_some_and(|k| k.closet);
        if closet || matches!(trap.vent, VentMethod::SingleStack | VentMethod::WasteStack) {
            continue;
        }
        if let Some((bad, measure)) = measure(&fixture.name, TrapIx(i), arm) {
            worst.add(bad, measure);
        }
    }
    worst.done()
}
