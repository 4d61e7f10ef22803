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
use crate::network::{JointIx, Network, RunKind, Table, TrapIx};
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
    let mut ways = WaysOut::of(ctx.net);
    let mut found = Vec::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let (Some(fixture), Some(joint)) = (ctx.fixture(TrapIx(i)), trap.joint) else {
            continue;
        };
        let way = ways.from(joint);
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
#[derive(Clone, Copy)]
pub(super) struct WayOut {
    /// The first backwater valve, by index.
    pub(super) valve: Option<usize>,
    /// Whether it is pumped.
    pub(super) pumped: bool,
    /// The exit that the way ends at, by index.
    pub(super) exit: Option<usize>,
}

/// The ways out of a network: what lies below a joint is found out once, whoever drains through it.
pub(super) struct WaysOut<'a> {
    net: &'a Network,
    valves: Table<JointIx, usize>,
    exits: Table<JointIx, usize>,
    known: Table<JointIx, WayOut>,
}

impl<'a> WaysOut<'a> {
    /// None looked up yet.
    pub(super) fn of(net: &'a Network) -> Self {
        let first = |mut all: Table<JointIx, usize>, (i, joint): (usize, JointIx)| {
            all.or_insert_with(joint, || i);
            all
        };
        let valves = net.valves.iter().map(|v| v.joint).enumerate();
        let exits = net.exits.iter().copied().enumerate();
        WaysOut {
            net,
            valves: valves.fold(Table::new(), first),
            exits: exits.fold(Table::new(), first),
            known: Table::new(),
        }
    }

    /// What lies on the way down from a joint.
    pub(super) fn from(&mut self, from: JointIx) -> WayOut {
        let net = self.net;
        // Down to what is known, or to the end; each joint with whether it is pumped from there.
        let mut above: Vec<(JointIx, bool)> = Vec::new();
        let mut at = from;
        let mut way = loop {
            if let Some(known) = self.known.get(&at) {
                break *known;
            }
            let exit = self.exits.get(&at).copied();
            let piece = net.downstream(at).filter(|_| exit.is_none());
            let next = piece.and_then(|p| net.to(p));
            // A way has no more joints than the network; the bound is for a network with a cycle.
            let (Some(piece), Some(next), true) =
                (piece, next, above.len() <= net.graph.node_count())
            else {
                break WayOut {
                    valve: self.valves.get(&at).copied(),
                    pumped: false,
                    exit,
                };
            };
            let run = net.graph.edge_weight(piece).map(|p| p.run);
            let kind = run.and_then(|r| net.runs.get(r.0)).map(|r| r.kind);
            above.push((at, kind == Some(RunKind::Discharge)));
            at = next;
        };
        for (joint, pumped) in above.into_iter().rev() {
            way.valve = self.valves.get(&joint).copied().or(way.valve);
            way.pumped |= pumped;
            self.known.insert(joint, way);
        }
        way
    }
}
