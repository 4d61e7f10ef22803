//! Trap arms.

use super::model::Measure;
use super::worst::Worst;
use crate::findings::{Context, measured};
use crate::network::{PieceIx, TrapIx, VentMethod};
use crate::sizing::traps::kind_of;
use crate::units::Length;

/// The arm with the least left of its limit. A book gives it by the size of the trap.
pub(super) fn lengths(ctx: &Context<'_>) -> Option<Measure> {
    worst(ctx, |name, trap, pieces| {
        let levels = &ctx.solution.levels.pieces;
        let length = pieces.iter().map(|p| levels.get(p)?.length);
        let length = length.sum::<Option<Length>>()?;
        let size = ctx.solution.sizing.traps.get(&trap)?.size;
        let row = ctx.book.trap_arm(size).ok()?;
        let most = row.value.length;
        let measure = Measure {
            what: "length of a trap arm".to_owned(),
            section: row.cite().to_owned(),
            provenance: Some(row.provenance),
            applied: 0,
            at: format!("{name}, trap {}", ctx.print.size(size)),
            has: ctx.print.length(length),
            limit: ctx.print.length(most),
            margin: ctx.print.length((most - length).max(Length::ZERO)),
            kept: Some(length <= most || length.same(most)),
        };
        Some((length - most, measure))
    })
}

/// The arm with the least left of the fall that its size allows: its own, not its trap's.
pub(super) fn falls(ctx: &Context<'_>) -> Option<Measure> {
    let most_of = ctx.book.arm_rules().fall_diameters.as_ref()?;
    worst(ctx, |name, _, pieces| {
        let falls = pieces.iter().map(|p| {
            let level = ctx.solution.levels.pieces.get(p)?;
            Some(level.fall?.over(level.horizontal?))
        });
        let falls = falls.sum::<Option<Length>>()?;
        let size = ctx.solution.sizing.pieces.get(pieces.first()?)?.size;
        let most = Length::from_inches(size.inches() * most_of.value);
        let measure = Measure {
            what: "fall of a trap arm".to_owned(),
            section: most_of.cite().to_owned(),
            provenance: Some(most_of.provenance),
            applied: 0,
            at: format!("{name}, arm {}", ctx.print.size(size)),
            has: ctx.print.short(falls),
            limit: ctx.print.short(most),
            margin: ctx.print.short((most - falls).max(Length::ZERO)),
            kept: Some(falls <= most || falls.same(most)),
        };
        Some((falls - most, measure))
    })
}

/// The arm of a trap that has the usual limits: those of closets and on stacks that are their own
/// vent have others, or none, and rules by themselves.
pub(super) fn limited(ctx: &Context<'_>, ix: TrapIx) -> Option<PieceIx> {
    let trap = ctx.net.traps.get(ix.0)?;
    let closet = kind_of(ctx.fixture(ix)?).is_some_and(|k| k.closet);
    let other = matches!(trap.vent, VentMethod::SingleStack | VentMethod::Indirect);
    trap.arm.filter(|_| !closet && !other)
}

/// The worst of the arms that have the usual limits, measured over what their rules measure: by how
/// much each is over its limit, what is left being below nought.
fn worst(
    ctx: &Context<'_>,
    measure: impl Fn(&str, TrapIx, &[PieceIx]) -> Option<(Length, Measure)>,
) -> Option<Measure> {
    let mut worst = Worst::default();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let ix = TrapIx(i);
        let (Some(fixture), Some(_)) = (ctx.fixture(ix), limited(ctx, ix)) else {
            continue;
        };
        let pieces = measured(ctx, ix, trap);
        // The one with the least left, not the one that has taken the largest part of its own limit.
        if let Some((over, measure)) = measure(&fixture.name, ix, &pieces) {
            worst.add(over.mm(), measure);
        }
    }
    worst.done()
}
