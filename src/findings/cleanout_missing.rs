//! C101 cleanout-missing
//!
//! Checks that a cleanout stands near the exit, at changes of horizontal direction that the book
//! counts (one serves all within its reach), and at each stack's base where the book asks for it.
//! A trap that can be taken off serves a pipe one size larger. Lengths that nobody gave are not
//! held against a drain.
//!
//! Why: a drain that cannot be rodded is dug up.
//!
//! Example: a building drain whose only cleanout is at its far end.
//!
//! To do: add one under `[cleanouts]`: `CO-1 = { on = "main", station = "1'" }`.
//!
//! Section: IPC 708.1, IRC P3005.2; UPC 707.4, where turns are added up from one cleanout to the
//! next.

use std::collections::BTreeSet;

use super::cleanout_ways::{has_cleanout, is_level_drain, opens_within, turns};
use super::context::{Context, Meta, Worst};
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::length;
use crate::network::{RunIx, RunKind, State};
use crate::units::Length;

/// C101.
pub const META: Meta = Meta::new("C101", "cleanout-missing", Severity::Error);

/// Places without a cleanout that the book asks for.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut found = at_exits(ctx);
    found.extend(at_turns(ctx));
    found.extend(at_bases(ctx));
    found.extend(at_upper_ends(ctx));
    found
}

fn at_exits(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let rule = &ctx.book.cleanouts().junction_within;
    let mut found = Vec::new();
    for (i, exit) in ctx.net.exits.iter().enumerate() {
        let drains = ctx.net.upstream(*exit);
        let new = drains.iter().any(|p| {
            ctx.net
                .graph
                .edge_weight(*p)
                .is_some_and(|p| p.state != State::Existing)
        });
        if !new || opens_within(ctx, *exit, Length::ZERO, rule.value, None) {
            continue;
        }
        let (name, span) = ctx
            .job
            .exits
            .get(i)
            .map_or(("exit", None), |e| (e.name.as_str(), Some(e.span.clone())));
        found.push(Diagnostic {
            help: Some(format!(
                "set one on the building drain, at most {} up from the exit",
                ctx.print.length(rule.value)
            )),
            section: Some(rule.section.clone()),
            ..META.finding(
                name,
                span,
                format!(
                    "no cleanout stands within {} of the junction of building drain and sewer",
                    ctx.print.length(rule.value)
                ),
            )
        });
    }
    found
}

fn at_turns(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let rules = ctx.book.cleanouts();
    if rules.turns_added {
        return turns_added(ctx);
    }
    let mut worst = Worst::new(ctx);
    for ix in ctx.net.graph.edge_indices() {
        let Some(piece) = ctx.net.graph.edge_weight(ix) else {
            continue;
        };
        if !is_level_drain(ctx, piece) {
            continue;
        }
        let size = ctx.solution.sizing.pieces.get(&ix).map(|s| s.size);
        for turn in turns(ctx, ix, piece) {
            let Some(above) = ctx.net.from(turn.piece) else {
                continue;
            };
            if turn.degrees <= rules.turn_degrees.value
                || turn.at.is_some_and(|joint| has_cleanout(ctx, joint))
                || opens_within(ctx, above, turn.above, rules.turn_reach.value, size)
            {
                continue;
            }
            let run = ctx.net.runs.get(piece.run.0);
            let finding = Diagnostic {
                help: Some(format!(
                    "set one at the turn, or within {} upstream of it",
                    ctx.print.length(rules.turn_reach.value)
                )),
                section: Some(rules.turn_degrees.section.clone()),
                ..META.finding(
                    &piece.id,
                    run.and_then(|r| r.span.clone()).or(piece.span.clone()),
                    format!(
                        "{} turns by {} degrees and no cleanout reaches the turn",
                        piece.id, turn.degrees
                    ),
                )
            };
            worst.add(piece, turn.degrees, finding);
        }
    }
    worst.into_findings()
}

/// Turns of one drain that add up to more than the book lets be between two cleanouts.
fn turns_added(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let rules = ctx.book.cleanouts();
    let mut found = Vec::new();
    for run in &ctx.net.runs {
        let mut sum = 0.0;
        let mut most: f64 = 0.0;
        for &ix in &run.pieces {
            let Some(piece) = ctx.net.graph.edge_weight(ix) else {
                continue;
            };
            if !is_level_drain(ctx, piece) {
                sum = 0.0;
                continue;
            }
            if ctx.net.to(ix).is_some_and(|j| has_cleanout(ctx, j)) {
                sum = 0.0;
            }
            for turn in turns(ctx, ix, piece) {
                let own = turn.at.and_then(|j| ctx.net.downstream(j));
                let own = own.and_then(|p| ctx.net.graph.edge_weight(p));
                let in_run = own.is_none_or(|p| p.run == piece.run);
                if in_run && !turn.at.is_some_and(|j| has_cleanout(ctx, j)) {
                    sum += turn.degrees;
                }
                most = most.max(sum);
            }
        }
        if most <= rules.turn_degrees.value + 1e-9 {
            continue;
        }
        found.push(Diagnostic {
            help: Some("set a cleanout at the turn that goes past that".to_owned()),
            section: Some(rules.turn_degrees.section.clone()),
            ..META.finding(
                &run.id,
                run.span.clone(),
                format!(
                    "the turns of {} add up to {most} degrees between its cleanouts, and no \
                     more than {} degrees may",
                    run.id, rules.turn_degrees.value
                ),
            )
        });
    }
    found
}

fn at_bases(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let rule = &ctx.book.cleanouts().base_of_stack;
    if !rule.value {
        return Vec::new();
    }
    let cleaned: BTreeSet<RunIx> = ctx.net.cleanouts.iter().map(|c| c.run).collect();
    let mut found = Vec::new();
    for (i, run) in ctx.net.runs.iter().enumerate() {
        if run.kind != RunKind::Stack || run.state == State::Existing {
            continue;
        }
        let base = run.pieces.first().and_then(|p| ctx.net.to(*p));
        let on_stack = cleaned.contains(&RunIx(i));
        if on_stack || base.is_some_and(|b| has_cleanout(ctx, b)) {
            continue;
        }
        found.push(Diagnostic {
            help: Some(format!("set one on {} near its base", run.id)),
            section: Some(rule.section.clone()),
            ..META.finding(
                &run.id,
                run.span.clone(),
                format!("no cleanout stands near the base of {}", run.id),
            )
        });
    }
    found
}

/// Building drains and branches of them with no cleanout where they begin.
fn at_upper_ends(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let Some(rule) = &ctx.book.cleanouts().upper_end else {
        return Vec::new();
    };
    let building = |kind| matches!(kind, RunKind::BuildingDrain | RunKind::BuildingBranch);
    let mut found = Vec::new();
    for run in &ctx.net.runs {
        let top = run.pieces.last().and_then(|p| ctx.net.from(*p));
        let Some(top) = top.filter(|_| building(run.kind) && run.state != State::Existing) else {
            continue;
        };
        let pieces = run.pieces.iter();
        let lengths = pieces.map(|p| length(ctx.net.graph.edge_weight(*p)?));
        let Some(total) = lengths.sum::<Option<Length>>() else {
            continue;
        };
        let long = total >= rule.value || total.same(rule.value);
        let goes_on = match ctx.net.upstream(top).as_slice() {
            [one] => (ctx.net.graph.edge_weight(*one))
                .and_then(|p| ctx.kind(p))
                .is_some_and(building),
            _ => false,
        };
        if !long || goes_on || has_cleanout(ctx, top) {
            continue;
        }
        found.push(Diagnostic {
            help: Some("set one at its upper end".to_owned()),
            section: Some(rule.section.clone()),
            ..META.finding(
                &run.id,
                run.span.clone(),
                format!("no cleanout stands at the upper end of {}", run.id),
            )
        });
    }
    found
}
