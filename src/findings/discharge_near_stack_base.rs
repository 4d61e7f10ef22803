//! E101 discharge-too-near-the-base-of-a-stack
//!
//! Checks that the pumped discharge of a basin joins a drain no nearer along the drains to the
//! base of any stack than the book has it, upstream or downstream. Places whose distance nobody
//! gave are not judged.
//!
//! Why: the pump throws all its flow at once; where a stack's water piles up already, it fills the
//! drain and blows into the stack's lowest branches.
//!
//! Example: `EJ-1 = { into = "main", station = "20'" }` with S1 at `station = "15'"`.
//!
//! To do: let it join farther off.
//!
//! Section: IPC 712.3.5, IRC P3007.3.5.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::Basin;
use crate::network::{JointIx, Network, PieceIx, RunIx, RunKind};
use crate::sizing::ways::way_to;
use crate::units::Length;

/// E101.
pub const META: Meta = Meta::new(
    "E101",
    "discharge-too-near-the-base-of-a-stack",
    Severity::Error,
);

/// Discharges that join near the bases of stacks.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let basins = ctx.job.basins.iter();
    basins.filter_map(|basin| near(ctx, basin)).collect()
}

fn near(ctx: &Context<'_>, basin: &Basin) -> Option<Diagnostic> {
    let (net, print) = (ctx.net, ctx.print);
    let least = ctx.book.discharge_distance()?;
    let discharge = net.graph.edge_indices().find(|p| {
        let piece = net.graph.edge_weight(*p);
        let from = net.from(*p).and_then(|j| net.graph.node_weight(j));
        piece.and_then(|p| ctx.kind(p)) == Some(RunKind::Discharge)
            && from.is_some_and(|j| j.id == basin.name)
    })?;
    let joint = net.to(discharge)?;
    let (away, stack) = (0..net.runs.len())
        .map(RunIx)
        .filter(|r| net.is_stack(*r))
        .filter_map(|r| {
            let run = net.runs.get(r.0)?;
            let base = net.to(*run.pieces.first()?)?;
            Some((along(ctx, joint, base)?, run))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    if away >= least.value || away.same(least.value) {
        return None;
    }
    let short = print.length(ctx.rounded_up(least.value - away));
    let span = basin.station.as_ref().map(|s| s.span.clone());
    Some(Diagnostic {
        help: Some(format!("let it join {short} farther from {}", stack.id)),
        section: Some(least.section.clone()),
        ..META.finding(
            &basin.name,
            span.or_else(|| Some(basin.span.clone())),
            format!(
                "the discharge of {} joins {} from the base of {}, {short} nearer than {}",
                basin.name,
                print.length(away),
                stack.id,
                print.length(least.value)
            ),
        )
    })
}

/// How far it is from one place to another along drains that lie; none if it is not known, or if
/// no drains lead there.
fn along(ctx: &Context<'_>, a: JointIx, b: JointIx) -> Option<Length> {
    let net = ctx.net;
    let (from_a, from_b) = (way_to(net, a, b), way_to(net, b, a));
    if end(net, a, &from_a)? != end(net, b, &from_b)? {
        return None;
    }
    let both = from_a.iter().chain(&from_b);
    both.map(|p| {
        let run = net.graph.edge_weight(*p)?.run;
        let level = ctx.solution.levels.pieces.get(p)?;
        level.length.filter(|_| !net.is_stack(run))
    })
    .sum()
}

fn end(net: &Network, from: JointIx, way: &[PieceIx]) -> Option<JointIx> {
    way.last().map_or(Some(from), |p| net.to(*p))
}
