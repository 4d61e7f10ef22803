//! Inverts from the exits up.

use std::collections::BTreeSet;

use super::bores::Bores;
use super::centres::{Centres, uprights};
use super::falls::{Falls, is_vertical, leg_is_vertical};
use super::joins::joined;
use super::legs::{horizontal, length};
use super::model::{FallFrom, Highest, PieceLevels};
use crate::codebook::Book;
use crate::job::Job;
use crate::network::{JointKind, Network, Piece, PieceIx, RunKind, Table};
use crate::sizing::Sizing;
use crate::units::{Fall, Heading, Length};

/// Levels of all waste pieces, and the ids of those whose length is missing.
///
/// From each exit up, so every piece finds the invert of what it joins. Where a length is not
/// known, what lies beyond it is not known either, until a branch states its invert from its
/// floor, or hangs from its fixtures, or a fixture states its outlet.
pub fn walk(
    job: &Job,
    net: &Network,
    book: &Book,
    sizing: &Sizing,
    falls: &Falls,
    highest: &Table<PieceIx, Highest>,
    ordered: &[PieceIx],
) -> (Table<PieceIx, PieceLevels>, Vec<String>) {
    let mut table: Table<PieceIx, PieceLevels> = Table::new();
    let mut missing = Vec::new();
    let bores = Bores::new(job, net);
    for &piece in ordered.iter().rev() {
        let (Some(p), Some(size)) = (net.graph.edge_weight(piece), sizing.pieces.get(&piece))
        else {
            continue;
        };
        let kind = net.runs.get(p.run.0).map(|r| r.kind);
        let upright = is_vertical(net, piece);
        let (fall, fall_from) = match falls.at(job, net, book, piece, size.size) {
            Ok((fall, from)) if !upright => (Some(fall), from),
            _ => (None, FallFrom::Least),
        };
        let mut levels = PieceLevels {
            fall: fall.filter(|_| kind != Some(RunKind::Discharge)),
            fall_from,
            length: length(p),
            horizontal: horizontal(p),
            invert_down: None,
            invert_up: None,
            hung: false,
            step: None,
        };
        match kind {
            Some(RunKind::Discharge) => {}
            Some(RunKind::Sewer) => sewer(job, net, piece, &mut levels),
            _ => {
                start(
                    job,
                    net,
                    (sizing, &bores),
                    (piece, p),
                    (&table, highest),
                    &mut levels,
                );
                levels.invert_up = climb(p, levels.invert_down, fall);
                if upright && kind == Some(RunKind::Stack) {
                    between(job, net, piece, &mut levels);
                }
                if kind == Some(RunKind::Arm) && levels.invert_up.is_none() {
                    from_outlet(job, net, piece, p, fall, &mut levels);
                }
                if levels.length.is_none() && kind != Some(RunKind::Stack) {
                    missing.push(p.id.clone());
                }
            }
        }
        table.insert(piece, levels);
    }
    stacks(net, ordered, &mut table);
    let filled = drops(net, sizing, &bores, job, &mut table);
    let centres = Centres {
        net,
        sizing,
        bores: &bores,
        levels: &table,
    };
    for (piece, whole) in uprights(&centres) {
        if let Some(levels) = table.get_mut(&piece) {
            levels.length = Some(whole);
        }
    }
    missing.retain(|id| !filled.contains(id));
    missing.sort();
    (table, missing)
}

/// The pieces of stacks between branches whose inverts follow from their fixtures: each ends where
/// the lowest branch meets it.
fn stacks(net: &Network, ordered: &[PieceIx], table: &mut Table<PieceIx, PieceLevels>) {
    for &piece in ordered.iter().rev() {
        let kind = |p: PieceIx| {
            let run = net.graph.edge_weight(p)?.run;
            Some(net.runs.get(run.0)?.kind)
        };
        if kind(piece) != Some(RunKind::Stack) || !is_vertical(net, piece) {
            continue;
        }
        let below = net.to(piece).and_then(|j| net.downstream(j));
        let reached = below.and_then(|b| table.get(&b)?.invert_up);
        let entering = net.from(piece).map(|j| net.upstream(j)).unwrap_or_default();
        let branches = entering
            .into_iter()
            .filter(|p| kind(*p) == Some(RunKind::Branch));
        let met = branches.filter_map(|p| table.get(&p)?.invert_down);
        let met = met.reduce(Length::min);
        let Some(levels) = table.get_mut(&piece) else {
            continue;
        };
        levels.invert_down = levels.invert_down.or(reached);
        levels.invert_up = levels.invert_up.or(met);
        if let (Some(down), Some(up), None) = (levels.invert_down, levels.invert_up, levels.length)
        {
            levels.length = Some(up - down).filter(|l| *l > Length::ZERO);
        }
    }
}

/// A drop whose length nobody gave, between a drain and an arm that hangs from its fixture's stated
/// outlet, is as long as those two lie apart. Gives the ids of those that were worked out.
fn drops(
    net: &Network,
    sizing: &Sizing,
    bores: &Bores<'_>,
    job: &Job,
    table: &mut Table<PieceIx, PieceLevels>,
) -> BTreeSet<String> {
    let mut filled = BTreeSet::new();
    let open: Vec<(PieceIx, Length)> = table
        .iter()
        .filter(|(p, l)| l.length.is_none() && is_vertical(net, **p))
        .filter_map(|(p, l)| Some((*p, l.invert_down?)))
        .collect();
    for (drop, down) in open {
        let Some(p) = net.graph.edge_weight(drop) else {
            continue;
        };
        let of_fixture = net.runs.get(p.run.0).map(|r| r.kind) == Some(RunKind::FixtureDrain);
        if !of_fixture || p.legs.len() != 1 {
            continue;
        }
        let arms = net.from(drop).map(|j| net.upstream(j)).unwrap_or_default();
        // Of several the lowest: the others come in over it.
        let up = arms.into_iter().filter_map(|arm| {
            let step = joined(job, net, sizing, bores, arm, drop)?;
            Some(table.get(&arm)?.invert_down? - step)
        });
        let up = up.reduce(Length::min);
        if let (Some(up), Some(levels)) = (up.filter(|up| *up > down), table.get_mut(&drop)) {
            levels.invert_up = Some(up);
            levels.length = Some(up - down);
            filled.insert(p.id.clone());
        }
    }
    filled
}

/// The invert at a piece's downstream end.
fn start(
    job: &Job,
    net: &Network,
    (sizing, bores): (&Sizing, &Bores<'_>),
    (piece, p): (PieceIx, &Piece),
    (table, highest): (&Table<PieceIx, PieceLevels>, &Table<PieceIx, Highest>),
    levels: &mut PieceLevels,
) {
    let Some(to) = net.to(piece) else {
        return;
    };
    if let Some(i) = net.exits.iter().position(|e| *e == to) {
        levels.invert_down = job
            .exits
            .get(i)
            .and_then(|e| e.invert.as_ref())
            .map(|s| s.value);
        return;
    }
    if let Some(stated) = stated_invert(job, net, piece, p) {
        levels.invert_down = Some(stated);
        return;
    }
    let Some(below) = net.downstream(to) else {
        return;
    };
    let Some(under) = net.graph.edge_weight(below) else {
        return;
    };
    let of_stack =
        |r: crate::network::RunIx| net.runs.get(r.0).is_some_and(|r| r.kind == RunKind::Stack);
    let reached = table.get(&below).and_then(|l| l.invert_up);
    if of_stack(p.run) {
        // A stack stands on the invert of its drain; an offset's level leg hangs from its floor.
        levels.step = Some(Length::ZERO);
        levels.invert_down = reached;
        return;
    }
    if of_stack(under.run) && is_vertical(net, below) {
        // Where a branch meets its stack is decided by its fixtures, not by the stack: it hangs as
        // high as they let it.
        let high = highest.get(&piece).filter(|h| h.complete);
        if let Some(limit) = high.and_then(|h| h.down) {
            levels.invert_down = Some(limit.invert - job.practice.spare.unwrap_or_default());
            levels.hung = true;
        }
        return;
    }
    if let Some(joint) = net.graph.node_weight(to)
        && joint.kind == JointKind::Basin
    {
        levels.invert_down = inlet(job, &joint.id);
        return;
    }
    let Some(rise) = joined(job, net, sizing, bores, piece, below) else {
        return;
    };
    levels.step = Some(rise);
    levels.hung = table.get(&below).is_some_and(|l| l.hung);
    levels.invert_down = reached.map(|j| j + rise);
}

/// The invert of a basin's inlet, as stated.
fn inlet(job: &Job, basin: &str) -> Option<Length> {
    let basin = job.basins.iter().find(|b| b.name == basin)?;
    let floor = job.floors.get(basin.floor?.0)?;
    Some(floor.level + basin.inlet.as_ref()?.value)
}

/// An invert that the job states from a floor: of a branch where it meets its stack, and of a
/// stack's offset at its lower end.
fn stated_invert(job: &Job, net: &Network, piece: PieceIx, p: &Piece) -> Option<Length> {
    let run = net.runs.get(p.run.0)?;
    if run.kind == RunKind::Stack {
        let to = net.to(piece)?;
        if !matches!(net.graph.node_weight(to)?.kind, JointKind::OffsetFoot(_)) {
            return None;
        }
        let stack = job.stacks.iter().find(|s| s.name == run.id)?;
        // The n-th offset of the stack, counted from its base.
        let n = run
            .pieces
            .iter()
            .filter(|q| {
                net.to(**q)
                    .and_then(|j| net.graph.node_weight(j))
                    .is_some_and(|j| matches!(j.kind, JointKind::OffsetFoot(_)))
            })
            .position(|q| *q == piece)?;
        let offset = stack.offsets.get(n)?;
        let level = job.floors.get(offset.floor.0)?.level;
        return Some(level + offset.invert.as_ref()?.value);
    }
    if run.pieces.first() != Some(&piece) {
        return None;
    }
    let level = job.floors.get(run.floor?.0)?.level;
    Some(level + run.invert.as_ref()?.value)
}

/// A stack's upright piece whose upper end has a level of its own: it ends there, and its length
/// is what lies between its two ends, whatever was reckoned from floor to floor.
fn between(job: &Job, net: &Network, piece: PieceIx, levels: &mut PieceLevels) {
    let Some(joint) = net.from(piece) else { return };
    let stated = net.upstream(joint).into_iter().find_map(|q| {
        let above = net.graph.edge_weight(q)?;
        stated_invert(job, net, q, above)
    });
    let Some(up) = stated else { return };
    levels.invert_up = Some(up);
    if let Some(down) = levels.invert_down {
        // What is stated the wrong way round has no length to speak of.
        levels.length = Some(up - down).filter(|l| *l > Length::ZERO);
    }
}

/// The invert at the upper end: level legs rise by the fall, upright ones by their length.
pub(super) fn climb(p: &Piece, from: Option<Length>, fall: Option<Fall>) -> Option<Length> {
    let mut level = from?;
    for leg in &p.legs {
        let length = leg.length?;
        level += rise(leg, length, fall)?;
    }
    Some(level)
}

/// How much higher a leg's upper end lies, if it is this long.
pub(super) fn rise(
    leg: &crate::network::NetLeg,
    length: Length,
    fall: Option<Fall>,
) -> Option<Length> {
    if leg.heading == Some(Heading::Down) {
        return Some(-length);
    }
    // A 45° leg climbs as far as it goes across, which is what its length says.
    if leg_is_vertical(leg) {
        return Some(length);
    }
    Some(fall?.over(length))
}

/// An arm that nothing below gives a level hangs from its fixture's outlet.
fn from_outlet(
    job: &Job,
    net: &Network,
    piece: PieceIx,
    p: &Piece,
    fall: Option<Fall>,
    levels: &mut PieceLevels,
) {
    let Some(JointKind::Trap(trap)) = net
        .from(piece)
        .and_then(|j| net.graph.node_weight(j))
        .map(|j| j.kind)
    else {
        return;
    };
    let fixture = net
        .traps
        .get(trap.0)
        .and_then(|t| job.fixtures.get(t.fixture));
    let outlet = fixture.and_then(|f| f.outlet);
    let floor = fixture
        .and_then(|f| f.floor)
        .and_then(|f| job.floors.get(f.0));
    let (Some(outlet), Some(floor)) = (outlet, floor) else {
        return;
    };
    let up = floor.level + outlet;
    levels.invert_up = Some(up);
    levels.invert_down = climb(p, Some(Length::ZERO), fall).map(|drop| up - drop);
}

/// The sewer beyond the wall: from the exit's invert to the tap's, both as stated.
fn sewer(job: &Job, net: &Network, piece: PieceIx, levels: &mut PieceLevels) {
    let Some(from) = net.from(piece) else { return };
    let exit = net
        .exits
        .iter()
        .position(|e| *e == from)
        .and_then(|i| job.exits.get(i));
    let Some(exit) = exit else { return };
    levels.invert_up = exit.invert.as_ref().map(|s| s.value);
    levels.invert_down = exit.sewer.as_ref().and_then(|s| s.tap);
    levels.fall = match (levels.invert_up, levels.invert_down, levels.horizontal) {
        (Some(up), Some(down), Some(run)) if run.mm() > 0.0 => {
            Some(Fall::from_ratio((up - down) / run))
        }
        _ => None,
    };
    levels.fall_from = FallFrom::Stated;
}
