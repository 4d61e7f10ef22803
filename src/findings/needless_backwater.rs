//! B101 backwater-valve-above-manhole
//!
//! Checks that no fixture discharges through a backwater valve that lies above the rim of the next
//! manhole upstream in the sewer: its flood level rim, or the floor that it stands on, as the
//! book has it. Says nothing where the job does not state the manhole's rim.
//!
//! Why: sewage that backs up leaves by the manhole first, so such a fixture needs no valve; while
//! the valve is closed its water floods the fixtures below it.
//!
//! Example: `BW-1 = { kind = "backwater", on = "main" }` downstream of a bathroom upstairs.
//!
//! To do: let the fixture join the drain downstream of the valve.
//!
//! Section: IPC 714.1, IRC P3008.1.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{JointIx, Network, RunKind, TrapIx};
use crate::units::Length;

/// B101.
pub const META: Meta = Meta::new("B101", "backwater-valve-above-manhole", Severity::Warning);

/// Fixtures behind a valve that need none.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let Some(by_floor) = ctx.book.backwater_by_floor() else {
        return Vec::new();
    };
    if ctx.net.valves.is_empty() {
        return Vec::new();
    }
    let mut found = Vec::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let (Some(fixture), Some(joint)) = (ctx.fixture(TrapIx(i)), trap.joint) else {
            continue;
        };
        let way = way_out(ctx.net, joint);
        let Some(valve) = way.valve.and_then(|v| ctx.net.valves.get(v)) else {
            continue;
        };
        let Some(above) = above_manhole(ctx, TrapIx(i), way.exit, by_floor.value) else {
            continue;
        };
        if above <= Length::ZERO || above.same(Length::ZERO) {
            continue;
        }
        let what = if by_floor.value { "floor" } else { "rim" };
        found.push(Diagnostic {
            help: Some(format!("let it join downstream of {}", valve.id)),
            section: Some(by_floor.section.clone()),
            ..META.finding(
                &fixture.name,
                Some(fixture.span.clone()),
                format!(
                    "the {what} of {} lies {} above the rim of the next manhole upstream, yet it drains \
                     through {}",
                    fixture.name,
                    print.length(above),
                    valve.id
                ),
            )
        });
    }
    found
}

/// How far what a fixture is judged by (its rim, or its floor) lies above the rim of the next
/// manhole upstream; none where one of the two is not known.
pub(super) fn above_manhole(
    ctx: &Context<'_>,
    trap: TrapIx,
    exit: Option<usize>,
    by_floor: bool,
) -> Option<Length> {
    let fixture = ctx.fixture(trap)?;
    let exit = ctx.job.exits.get(exit?)?;
    let manhole = exit.sewer.as_ref()?.manhole_rim?;
    let floor = ctx.floor(trap)?;
    let rim = match by_floor {
        true => Length::ZERO,
        false => ctx.rim(fixture)?,
    };
    Some(floor.level + rim - manhole)
}

/// What a fixture's water passes on its way out.
pub(super) struct WayOut {
    /// The first backwater valve, by index.
    pub(super) valve: Option<usize>,
    /// Whether it is pumped.
    pub(super) pumped: bool,
    /// The exit that the way ends at, by index.
    pub(super) exit: Option<usize>,
}

/// What lies on the way down from a joint.
pub(super) fn way_out(net: &Network, from: JointIx) -> WayOut {
    let mut way = WayOut {
        valve: None,
        pumped: false,
        exit: None,
    };
    let mut at = from;
    for _ in 0..=net.graph.node_count() {
        let here = || net.valves.iter().position(|v| v.joint == at);
        way.valve = way.valve.or_else(here);
        way.exit = net.exits.iter().position(|e| *e == at);
        if way.exit.is_some() {
            break;
        }
        let Some(piece) = net.downstream(at) else {
            break;
        };
        let run = net.graph.edge_weight(piece).map(|p| p.run);
        let kind = run.and_then(|r| net.runs.get(r.0)).map(|r| r.kind);
        way.pumped |= kind == Some(RunKind::Discharge);
        match net.to(piece) {
            Some(next) => at = next,
            None => break,
        }
    }
    way
}
