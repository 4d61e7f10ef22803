//! V103 no-vent-outdoors-of-half-the-drain
//!
//! Checks that from each building drain at least one dry vent leads to the open air that nowhere
//! on its way is smaller than the book's part of the drain's required size, a half. Air admittance
//! valves do not lead outdoors, and the vent of an island is not counted.
//!
//! Why: the valves let air in, never out; without one open pipe the pressure of the sewer and of
//! falling water goes through the traps.
//!
//! Example: a house all of whose fixtures have air admittance valves, and no stack.
//!
//! To do: lead one vent through the roof: `V1 = { into = "roof" }`, of the size that the finding
//! names.
//!
//! Section: IPC 904.1, IRC P3102.1; UPC 904.1, where no one vent has a least size, but all together
//! have the cross section of the building drain.

use std::collections::BTreeMap;

use petgraph::visit::EdgeRef;

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{JointIx, JointKind, Network, PieceIx, RunKind, System};
use crate::sizing::building_vent::{outdoors, required};
use crate::sizing::ways::runs_down;
use crate::units::PipeSize;

/// V103.
pub const META: Meta = Meta::new(
    "V103",
    "no-vent-outdoors-of-half-the-drain",
    Severity::Error,
);

/// Building drains that do not breathe.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let (net, print) = (ctx.net, ctx.print);
    let rule = &ctx.book.vent_rule().building_vent;
    let open = widest_ways(ctx);
    let mut serves: BTreeMap<JointIx, usize> = BTreeMap::new();
    for exit in (net.traps.iter()).filter_map(|t| exit_of(net, t.joint?)) {
        *serves.entry(exit).or_default() += 1;
    }
    let mut found = Vec::new();
    for (i, exit) in net.exits.iter().enumerate() {
        let drain = net
            .upstream(*exit)
            .iter()
            .filter_map(|p| {
                let fall = ctx.solution.levels.pieces.get(p).and_then(|l| l.fall);
                required(ctx.book, ctx.solution.sizing.pieces.get(p)?, fall)
            })
            .max();
        let Some(drain) = drain.filter(|_| serves.contains_key(exit)) else {
            continue;
        };
        let widest = open.get(exit).copied();
        if rule.together && widest.is_some() {
            found.extend(short_together(ctx, i, drain));
            continue;
        }
        let enough = |s: &PipeSize| s.inches() + 1e-9 >= drain.inches() * rule.part.value;
        if widest.is_some_and(|s| enough(&s)) {
            continue;
        }
        let least = PipeSize::all().find(enough).unwrap_or(drain);
        let least = least.max(ctx.book.vent_rule().least.value);
        let has = match widest {
            Some(size) => format!("its largest vent outdoors is {}", print.size(size)),
            None => "no vent of it leads outdoors".to_owned(),
        };
        let exit = ctx.job.exits.get(i);
        let name = exit.map_or("exit", |e| e.name.as_str());
        found.push(Diagnostic {
            help: Some(format!(
                "lead one vent of {} or larger through the roof: `into = \"roof\"`",
                print.size(ctx.stocked(least))
            )),
            section: Some(rule.section.clone()),
            ..META.finding(
                name,
                exit.map(|e| e.span.clone()),
                format!(
                    "the building drain at {name} has to be {}, and {has}: it needs one of {}",
                    print.size(drain),
                    print.size(least)
                ),
            )
        });
    }
    found
}

/// All vents outdoors have less of a cross section than the building drain at an exit.
fn short_together(ctx: &Context<'_>, exit: usize, drain: PipeSize) -> Option<Diagnostic> {
    let rule = &ctx.book.vent_rule().building_vent;
    // In square inches of nominal sizes, as the code counts them.
    let area = |s: PipeSize| std::f64::consts::FRAC_PI_4 * s.inches() * s.inches();
    let pieces = &ctx.solution.sizing.pieces;
    let has: f64 = outdoors(ctx.net, pieces).map(|(_, s)| area(s)).sum();
    let asked = area(drain) * rule.part.value;
    if has + 1e-9 >= asked {
        return None;
    }
    let said = ctx.job.exits.get(exit);
    let name = said.map_or("exit", |e| e.name.as_str());
    let number = |n| crate::units::number(n, 1, false);
    Some(Diagnostic {
        help: Some("make the vents through the roof larger, or lead one more outdoors".to_owned()),
        section: Some(rule.section.clone()),
        ..META.finding(
            name,
            said.map(|e| e.span.clone()),
            format!(
                "the building drain at {name} has to be {}, {} sq in, and all vents through the \
                 roof have {} sq in together",
                ctx.print.size(drain),
                number(asked),
                number(has)
            ),
        )
    })
}

/// For each exit the widest way from its drains to the open air: the smallest size on it.
fn widest_ways(ctx: &Context<'_>) -> BTreeMap<JointIx, PipeSize> {
    let net = ctx.net;
    let mut widest: BTreeMap<JointIx, PipeSize> = BTreeMap::new();
    for foot in net.graph.node_indices() {
        let (Some(_), Some(first)) = (net.downstream(foot), vent_from(net, foot)) else {
            continue;
        };
        let (Some(exit), Some(size)) = (exit_of(net, foot), way_outdoors(ctx, first)) else {
            continue;
        };
        let best = widest.entry(exit).or_insert(size);
        *best = size.max(*best);
    }
    widest
}

fn exit_of(net: &Network, joint: JointIx) -> Option<JointIx> {
    let mut feet = runs_down(net, joint).map(|(_, foot)| foot);
    feet.find(|j| net.exits.contains(j))
}

/// The vent that leaves a joint.
fn vent_from(net: &Network, joint: JointIx) -> Option<PieceIx> {
    let vents = net.graph.edges(joint);
    (vents
        .into_iter()
        .find(|e| e.weight().system == System::Vent))
    .map(|e| e.id())
}

/// The smallest size on the way of a vent to the open air; none if it does not lead there.
fn way_outdoors(ctx: &Context<'_>, first: PieceIx) -> Option<PipeSize> {
    let net = ctx.net;
    let (mut at, mut least) = (first, None::<PipeSize>);
    for _ in 0..=net.graph.edge_count() {
        let piece = net.graph.edge_weight(at)?;
        if ctx.kind(piece) == Some(RunKind::IslandVent) {
            return None;
        }
        let size = ctx.solution.sizing.pieces.get(&at)?.size;
        least = Some(least.map_or(size, |l| l.min(size)));
        let end = net.to(at)?;
        if matches!(net.graph.node_weight(end)?.kind, JointKind::Terminal(_)) {
            return least;
        }
        at = vent_from(net, end)?;
    }
    None
}
