//! M104 too-many-on-one-vent
//!
//! Checks that one circuit vent, or one upright wet vent where the book counts them, serves no more
//! fixtures than the book allows.
//!
//! Why: one vent gives so much air; with more fixtures flowing at once the farthest traps are
//! siphoned.
//!
//! Example: `b2 = { method = "circuit" }` with nine closets on it.
//!
//! To do: lead some of them into a drain of their own, or give them vents (`vent`).
//!
//! Section: IPC 914.1, IRC P3110.1, UPC 908.1 and 911.1.

use std::collections::BTreeMap;

use super::context::{Context, Meta};
use super::methods_said::{branch_vent, drain};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{BranchMethod, BranchVent, TrapIx, VentMethod};
use crate::sizing::ways::is_upright;

/// M104.
pub const META: Meta = Meta::new("M104", "too-many-on-one-vent", Severity::Error);

/// Circuit vents that serve too many fixtures.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut found = upright(ctx);
    let Some(rules) = ctx.book.circuit_rules() else {
        return found;
    };
    found.extend(on_circuits(ctx).into_iter().filter_map(|(vent, count)| {
        let most = rules.fixtures.value;
        (count > most as usize).then_some(())?;
        let run = ctx.net.runs.get(vent.run.0)?;
        let said = drain(ctx, vent.run).and_then(|d| d.method.as_ref());
        Some(Diagnostic {
            help: Some(format!(
                "lead {} of them into another drain, or give them vents of their own",
                count - most as usize
            )),
            section: Some(rules.fixtures.section.clone()),
            ..META.finding(
                &run.id,
                said.map(|s| s.span.clone()).or(run.span.clone()),
                format!(
                    "the circuit vent of {} serves {count} fixtures, where {most} may be",
                    run.id
                ),
            )
        })
    }));
    found
}

/// How many fixtures each circuit vent serves.
pub fn on_circuits<'a>(ctx: &Context<'a>) -> Vec<(&'a BranchVent, usize)> {
    let vents = ctx.net.branch_vents.iter();
    let circuits = vents.filter(|v| v.method == BranchMethod::Circuit);
    let served = |vent: &BranchVent| {
        let served = vent.traps.iter();
        served.filter(|t| branch_vent(ctx, **t).is_some()).count()
    };
    circuits.map(|vent| (vent, served(vent))).collect()
}

/// Upright wet vents that vent too many fixtures: told of the one past the last that may be.
fn upright(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let Some(rules) = ctx.book.upright_wet_rules() else {
        return Vec::new();
    };
    // By the fixture whose dry vent it is, which counts as one.
    let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
    let mut found = Vec::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let VentMethod::Wet(by) = trap.vent else {
            continue;
        };
        if !is_upright(ctx.net, TrapIx(i)) {
            continue;
        }
        let count = counts.entry(by.0).or_insert(1);
        *count += 1;
        let (Some(fixture), Some(other)) = (ctx.fixture(TrapIx(i)), ctx.fixture(by)) else {
            continue;
        };
        if *count <= rules.fixtures.value {
            continue;
        }
        found.push(Diagnostic {
            help: Some(format!(
                "give {} a vent of its own: `vent = \"…\"`",
                fixture.name
            )),
            section: Some(rules.fixtures.section.clone()),
            ..META.finding(
                &fixture.name,
                Some(fixture.span.clone()),
                format!(
                    "{} is the {count}th fixture on the upright wet vent of {}, where {} may be",
                    fixture.name, other.name, rules.fixtures.value
                ),
            )
        });
    }
    found
}
