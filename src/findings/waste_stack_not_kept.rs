//! M107 waste-stack-not-kept
//!
//! Checks that the drain of each fixture joins a waste stack by itself, and that the stack does not
//! step aside between its lowest and its highest connection where the book forbids that.
//!
//! Why: the stack is the vent of every trap on it; what shares a branch is vented by nothing, and
//! at an offset water closes the way of the air.
//!
//! Example: `S2 = { method = "waste stack" }` and a drain into it that takes two sinks.
//!
//! To do: lead each drain to the stack by itself, or vent the fixtures by another method.
//!
//! Section: IPC 913.1 and 913.2, IRC P3109.1 and P3109.2.

use std::collections::BTreeMap;

use super::context::{Context, Meta};
use super::methods_said::stack;
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{JointKind, PieceIx, RunIx, StackMethod, TrapIx, VentMethod};

/// M107.
pub const META: Meta = Meta::new("M107", "waste-stack-not-kept", Severity::Error);

/// Waste stacks that are not laid as one.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let Some(rules) = ctx.book.waste_stack_rules() else {
        return Vec::new();
    };
    let mut found = Vec::new();
    // By the piece that joins the stack: the first fixture that comes through it.
    let mut first: BTreeMap<PieceIx, TrapIx> = BTreeMap::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let way = ctx.net.way_to_stack(TrapIx(i));
        let (Some((way, _)), Some(fixture)) = (way, ctx.fixture(TrapIx(i))) else {
            continue;
        };
        let Some(last) = way.last().filter(|_| trap.vent == VentMethod::WasteStack) else {
            continue;
        };
        let by = *first.entry(*last).or_insert(TrapIx(i));
        let other = ctx.fixture(by).filter(|_| by != TrapIx(i));
        let Some(other) = other else { continue };
        found.push(Diagnostic {
            help: Some(format!(
                "lead the drain of {} to the stack by itself",
                fixture.name
            )),
            section: Some(rules.info.section.clone()),
            ..META.finding(
                &fixture.name,
                Some(fixture.span.clone()),
                format!(
                    "{} shares the way of {} to a waste stack",
                    fixture.name, other.name
                ),
            )
        });
    }
    if !rules.offsets.value {
        found.extend(ctx.net.own_vents.iter().filter_map(|(run, own)| {
            (own.method == StackMethod::Waste).then_some(())?;
            offset(ctx, *run)
        }));
    }
    found
}

/// A stack that steps aside between its connections.
fn offset(ctx: &Context<'_>, run: RunIx) -> Option<Diagnostic> {
    let pieces = &ctx.net.runs.get(run.0)?.pieces;
    let joints: Vec<_> = pieces.iter().filter_map(|p| ctx.net.from(*p)).collect();
    let kind = |j: &crate::network::JointIx| ctx.net.graph.node_weight(*j).map(|j| j.kind);
    let enters = |j: &&crate::network::JointIx| kind(j) == Some(JointKind::StackJunction);
    let low = joints.iter().position(|j| enters(&j))?;
    let high = joints.iter().rposition(|j| enters(&j))?;
    let between = joints.get(low..=high)?;
    let steps = between
        .iter()
        .any(|j| kind(j) == Some(JointKind::OffsetHead));
    steps.then_some(())?;
    let said = stack(ctx, run)?;
    let section = ctx.book.waste_stack_rules()?.offsets.section.clone();
    let span = said.offsets.first().map(|o| o.span.clone());
    Some(Diagnostic {
        help: Some("let it stand straight, or vent what drains into it otherwise".to_owned()),
        section: Some(section),
        ..META.finding(
            &said.name,
            span.or(Some(said.span.clone())),
            format!(
                "the waste stack {} steps aside between its lowest and its highest drain",
                said.name
            ),
        )
    })
}
