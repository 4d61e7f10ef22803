//! What is closed before the water goes in.

use std::collections::BTreeMap;

use super::model::{Closing, Closure, Lift};
use crate::job::FloorIx;
use crate::network::{JointKind, TrapIx};
use crate::sizing::traps::kind_of;
use crate::solve::Work;
use crate::units::{Length, PipeSize};

/// What openings are gathered by: how they are closed, their size and floor.
type Kind = (Closing, PipeSize, Option<usize>);

/// Openings of one kind: what they belong to, the lowest level and the most head.
type Openings = (Vec<String>, Option<Length>, Option<Length>);

/// Every opening below the roof, those of one kind, size and floor together.
pub(super) fn closures(work: &Work<'_>, lifts: &[Lift]) -> Vec<Closure> {
    let net = work.net;
    let mut all: BTreeMap<Kind, Openings> = BTreeMap::new();
    let mut add = |kind: Kind, of: &str, level: Option<Length>| {
        let row = all.entry(kind).or_default();
        row.0.push(of.to_owned());
        let lower = |a: Option<Length>, b: Length| Some(a.map_or(b, |a| a.min(b)));
        let more = |a: Option<Length>, b: Length| Some(a.map_or(b, |a| a.max(b)));
        if let Some(level) = level {
            row.1 = lower(row.1, level);
            if let Some(head) = head(lifts, level) {
                row.2 = more(row.2, head);
            }
        }
    };
    let size = |piece| work.solution.sizing.pieces.get(&piece).map(|s| s.size);
    let inverts = &work.solution.levels.pieces;
    for (i, exit) in net.exits.iter().enumerate() {
        let above = net.upstream(*exit);
        let name = work.job.exits.get(i).map_or("exit", |e| e.name.as_str());
        for piece in above {
            let level = inverts.get(&piece).and_then(|l| l.invert_down);
            if let Some(size) = size(piece) {
                add((Closing::ExitPlug, size, None), name, level);
            }
        }
    }
    for lift in lifts.iter().skip(1) {
        let floor = work.job.floors.iter().position(|f| f.name == lift.plug_at);
        for run in stacks_at(work, lift.bottom) {
            add((Closing::TestTee, run.1, floor), run.0, Some(lift.bottom));
        }
    }
    for (i, trap) in net.traps.iter().enumerate() {
        let Some((arm, fixture)) = trap.arm.zip(work.job.fixtures.get(trap.fixture)) else {
            continue;
        };
        let kind = kind_of(fixture);
        let with = match kind {
            Some(k) if k.closet => Closing::ClosetCap,
            Some(k) if k.floor_drain => Closing::DrainPlug,
            _ => Closing::ArmCap,
        };
        let level = inverts.get(&arm).and_then(|l| l.invert_up);
        let floor = floor_of(work, TrapIx(i));
        if let Some(size) = size(arm) {
            add((with, size, floor.map(|f| f.0)), &fixture.name, level);
        }
    }
    for (i, cleanout) in net.cleanouts.iter().enumerate() {
        let level = net.downstream(cleanout.joint);
        let level = level.and_then(|p| inverts.get(&p)?.invert_up);
        let floor = net.runs.get(cleanout.run.0).and_then(|r| r.floor);
        if let Some(size) = work.solution.fittings.cleanouts.get(&i) {
            let kind = (Closing::Cleanout, *size, floor.map(|f| f.0));
            add(kind, &cleanout.id, level);
        }
    }
    for joint in net.graph.node_indices() {
        let Some(node) = net.graph.node_weight(joint) else {
            continue;
        };
        let JointKind::Valve(at) = node.kind else {
            continue;
        };
        use petgraph::visit::EdgeRef;
        let vents = net
            .graph
            .edges_directed(joint, petgraph::Direction::Incoming);
        for vent in vents {
            if let Some(size) = size(vent.id()) {
                let floor = at.level.floor().map(|f| f.0);
                add((Closing::ValveCap, size, floor), &node.id, None);
            }
        }
    }
    let closure = |((with, size, floor), (of, lowest, head)): (Kind, Openings)| Closure {
        with,
        size,
        floor: floor
            .and_then(|f| work.job.floors.get(f))
            .map_or_else(String::new, |f| f.name.clone()),
        of,
        lowest,
        head,
    };
    all.into_iter().map(closure).collect()
}

/// The most head that an opening at a level stands under, in whatever lift.
fn head(lifts: &[Lift], level: Length) -> Option<Length> {
    let over = lifts
        .iter()
        .filter(|l| l.bottom <= level + Length::from_mm(0.5) && level <= l.top);
    over.map(|l| l.top - level).reduce(Length::max)
}

/// The stacks and risers that stand upright at a level, by name, with their size there.
fn stacks_at<'a>(work: &Work<'a>, level: Length) -> Vec<(&'a str, PipeSize)> {
    let net = work.net;
    let mut found: Vec<(&'a str, PipeSize)> = Vec::new();
    for (piece, levels) in &work.solution.levels.pieces {
        let ends = levels.invert_down.zip(levels.invert_up);
        let passes = ends.is_some_and(|(low, high)| low <= level && level < high);
        let upright = levels.fall.is_none();
        let Some(p) = net.graph.edge_weight(*piece).filter(|_| passes && upright) else {
            continue;
        };
        let (Some(run), Some(size)) = (
            net.runs.get(p.run.0),
            work.solution.sizing.pieces.get(piece),
        ) else {
            continue;
        };
        found.push((run.id.as_str(), size.size));
    }
    found.sort();
    found.dedup();
    found
}

fn floor_of(work: &Work<'_>, trap: TrapIx) -> Option<FloorIx> {
    let fixture = work.net.traps.get(trap.0)?.fixture;
    work.net.draft.fixtures.get(fixture)?.floor
}
