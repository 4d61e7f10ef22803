//! M102 fixture-not-for-its-method
//!
//! Checks that a fixture is of a kind that its venting method takes: no water closet or urinal on a
//! waste stack; only what the book names, without a disposer, on a combination drain and vent; only
//! fixtures of a bathroom group on a wet vent, and on an upright one none of more load than the book
//! lets it.
//!
//! Why: these methods count on little water that comes gently; a closet's flush fills the pipe that
//! is the others' vent.
//!
//! Example: `S2 = { method = "waste stack" }` and a urinal on it.
//!
//! To do: lead the fixture elsewhere, or vent what drains there by another method.
//!
//! Section: IPC 912.1, 913.1 and 915.1; IRC P3108.1, P3109.1 and P3111.1; UPC 908.1 and 910.1.

use super::context::{Context, Meta};
use crate::catalogue::Kind;
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{TrapIx, VentMethod};
use crate::sizing::traps::kind_of;
use crate::sizing::ways::{is_common_of_levels, is_upright};

/// M102.
pub const META: Meta = Meta::new("M102", "fixture-not-for-its-method", Severity::Error);

/// Fixtures that their method does not take.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let traps = ctx.net.traps.iter().enumerate();
    let found = traps.filter_map(|(i, trap)| {
        let method = ctx.book.methods().get(trap.vent.word()?)?;
        let fixture = ctx.fixture(TrapIx(i))?;
        let kind = kind_of(fixture)?;
        let refused = method.refuses(kind.word, &fixture.with);
        let refused = refused.map(|words| (words, method.section.clone()));
        let (refuses, section) = refused.or_else(|| wet(ctx, TrapIx(i), kind))?;
        Some(Diagnostic {
            help: Some(format!(
                "lead {} elsewhere, or give it a vent: `vent = \"…\"`",
                fixture.name
            )),
            section: Some(section),
            ..META.finding(
                &fixture.name,
                Some(fixture.kind.span.clone()),
                format!(
                    "{} is vented by {}, which {refuses}",
                    fixture.name, method.word
                ),
            )
        })
    });
    found.collect()
}

/// Why a wet vent does not take a fixture, with the section: it is of no bathroom group, or too
/// much for an upright one. Two that share a vent at different levels are of any kind, but the
/// upper one is no closet.
fn wet(ctx: &Context<'_>, trap: TrapIx, kind: &Kind) -> Option<(String, String)> {
    let VentMethod::Wet(by) = ctx.net.traps.get(trap.0)?.vent else {
        return None;
    };
    let upright = is_upright(ctx.net, trap);
    if let Some(rules) = ctx.book.upright_wet_rules().filter(|_| upright) {
        let load = ctx.solution.sizing.traps.get(&trap)?.load;
        return (load > rules.most_load.value).then(|| {
            let words = format!(
                "takes no fixture of more than {} dfu upright",
                ctx.print.load(rules.most_load.value)
            );
            (words, rules.most_load.section.clone())
        });
    }
    if is_common_of_levels(ctx.job, ctx.net, &ctx.wet_served, trap)
        && ctx.book.has_common_vent_table()
    {
        let upper = kind_of(ctx.fixture(by)?)?;
        return upper.closet.then(|| {
            let section = ctx.book.methods().get("common").map(|m| m.section.clone());
            let words = "takes no water closet as the upper of two on one vent".to_owned();
            (words, section.unwrap_or_default())
        });
    }
    let only = &ctx.book.wet_vent_rules()?.bath_group_only;
    (only.value && !kind.bath_group).then(|| {
        let words = format!("takes no {}: it is of no bathroom group", kind.word);
        (words, only.section.clone())
    })
}
