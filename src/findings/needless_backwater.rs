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
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{JointIx, Network, TrapIx};
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
        let (valve, exit) = way_out(ctx.net, joint);
        let manhole = exit
            .and_then(|e| ctx.job.exits.get(e))
            .and_then(|e| e.sewer.as_ref()?.manhole_rim);
        let floor = ctx
            .net
            .draft
            .fixtures
            .get(trap.fixture)
            .and_then(|f| f.floor);
        let floor = floor.and_then(|f| ctx.job.floors.get(f.0));
        let rim = match by_floor.value {
            true => Some(Length::ZERO),
            false => fixture
                .rim
                .or_else(|| catalogue::kind(&fixture.kind.value).map(|k| k.default_rim.height)),
        };
        let (Some(valve), Some(manhole), Some(floor), Some(rim)) = (valve, manhole, floor, rim)
        else {
            continue;
        };
        let Some(valve) = ctx.net.valves.get(valve) else {
            continue;
        };
        let above = floor.level + rim - manhole;
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

/// The first backwater valve on the way down from a joint, and the exit that the way ends at.
fn way_out(net: &Network, from: JointIx) -> (Option<usize>, Option<usize>) {
    let mut at = from;
    let mut valve = None;
    for _ in 0..=net.graph.node_count() {
        valve = valve.or_else(|| net.valves.iter().position(|v| v.joint == at));
        if let Some(exit) = net.exits.iter().position(|e| *e == at) {
            return (valve, Some(exit));
        }
        match net.downstream(at).and_then(|p| net.to(p)) {
            Some(next) => at = next,
            None => break,
        }
    }
    (valve, None)
}
