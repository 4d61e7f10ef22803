//! Trap arms.

use super::model::Measure;
use crate::findings::Context;
use crate::network::{TrapIx, VentMethod};
use crate::sizing::traps::kind_of;
use crate::units::Length;

/// The longest arm for its limit.
pub(super) fn lengths(ctx: &Context<'_>) -> Option<Measure> {
    let mut worst: Option<(f64, Measure)> = None;
    let mut applied = 0;
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let (Some(fixture), Some(arm)) = (ctx.fixture(TrapIx(i)), trap.arm) else {
            continue;
        };
        let closet = kind_of(fixture).is_some_and(|k| k.closet);
        // Those that have limits of their own, or none, are rules by themselves.
        if closet || matches!(trap.vent, VentMethod::SingleStack | VentMethod::WasteStack) {
            continue;
        }
        let length = ctx.solution.levels.pieces.get(&arm).and_then(|l| l.length);
        let size = ctx.solution.sizing.traps.get(&TrapIx(i)).map(|t| t.size);
        let Some((length, size)) = length.zip(size) else {
            continue;
        };
        let Ok(row) = ctx.book.trap_arm(size) else {
            continue;
        };
        applied += 1;
        let most = row.value.length;
        let full = length / most;
        if worst.as_ref().is_some_and(|(w, _)| full <= *w) {
            continue;
        }
        let measure = Measure {
            what: "length of a trap arm".to_owned(),
            section: row.cite().to_owned(),
            applied: 0,
            at: format!("{}, {}", fixture.name, ctx.print.size(size)),
            has: ctx.print.length(length),
            limit: ctx.print.length(most),
            margin: ctx.print.length((most - length).max(Length::ZERO)),
            kept: length <= most || length.same(most),
        };
        worst = Some((full, measure));
    }
    worst.map(|(_, m)| Measure { applied, ..m })
}

/// The arm that falls most for its size.
pub(super) fn falls(ctx: &Context<'_>) -> Option<Measure> {
    let rules = ctx.book.arm_rules();
    let most_of = rules.fall_diameters.as_ref()?;
    let mut worst: Option<(f64, Measure)> = None;
    let mut applied = 0;
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let (Some(fixture), Some(arm)) = (ctx.fixture(TrapIx(i)), trap.arm) else {
            continue;
        };
        let closet = kind_of(fixture).is_some_and(|k| k.closet);
        if closet || matches!(trap.vent, VentMethod::SingleStack | VentMethod::WasteStack) {
            continue;
        }
        let levels = ctx.solution.levels.pieces.get(&arm);
        let falls = levels.and_then(|l| Some(l.fall?.over(l.horizontal?)));
        let size = ctx.solution.sizing.pieces.get(&arm).map(|s| s.size);
        let Some((falls, size)) = falls.zip(size) else {
            continue;
        };
        applied += 1;
        let most = Length::from_inches(size.inches() * most_of.value);
        let full = falls / most;
        if worst.as_ref().is_some_and(|(w, _)| full <= *w) {
            continue;
        }
        let measure = Measure {
            what: "fall of a trap arm".to_owned(),
            section: most_of.cite().to_owned(),
            applied: 0,
            at: format!("{}, {}", fixture.name, ctx.print.size(size)),
            has: ctx.print.short(falls),
            limit: ctx.print.short(most),
            margin: ctx.print.short((most - falls).max(Length::ZERO)),
            kept: falls <= most || falls.same(most),
        };
        worst = Some((full, measure));
    }
    worst.map(|(_, m)| Measure { applied, ..m })
}
