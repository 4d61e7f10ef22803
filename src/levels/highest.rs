//! The highest that each drain may lie, from the fixtures down: no end of a pipe may stand higher
//! than the outlets upstream of it, or the slab, deck or joists over them, allow at these falls.

use super::falls::{Falls, is_vertical, leg_is_vertical};
use super::joins::joined;
use super::legs::length;
use super::lying::{Leg, Lying};
use super::model::{Bound, Highest, Limit};
use super::walk::rise as rise_of;
use crate::catalogue;
use crate::codebook::Book;
use crate::job::Job;
use crate::network::{JointIx, JointKind, Network, PieceIx, RunKind, Table, TrapIx};
use crate::sizing::Sizing;
use crate::units::Length;

/// By waste piece, at its two ends; `ordered` are the waste pieces from the traps down.
///
/// A stack takes up whatever height there is, so nothing above it bounds what lies below it. A drop
/// of unknown length does the same from nothing up. Beyond a level pipe of unknown length only what
/// lies over the pipe itself is known, and that end is left unbounded.
pub fn highest(
    (job, net, book): (&Job, &Network, &Book),
    lying: &Lying<'_>,
    sizing: &Sizing,
    falls: &Falls,
    ordered: &[PieceIx],
) -> Table<PieceIx, Highest> {
    let mut table: Table<PieceIx, Highest> = Table::new();
    for &piece in ordered {
        let (Some(p), Some(size)) = (net.graph.edge_weight(piece), sizing.pieces.get(&piece))
        else {
            continue;
        };
        let kind = net.runs.get(p.run.0).map(|r| r.kind);
        let stack = kind == Some(RunKind::Stack);
        if stack || matches!(kind, Some(RunKind::Sewer | RunKind::Discharge)) {
            continue;
        }
        let own = |leg: usize| {
            // What stands upright passes whatever lies over it.
            if p.legs.get(leg).is_some_and(leg_is_vertical) {
                return None;
            }
            lying.highest(Leg {
                piece,
                size: size.size,
                leg,
            })
        };
        let fall = match is_vertical(net, piece) {
            true => None,
            false => falls.at(job, net, book, piece, size.size).ok(),
        };
        let fall = fall.map(|f| f.0);
        // What lies over each level leg, at both its ends, as far up as lengths are known.
        let mut over: Vec<(Limit, Length)> = Vec::new();
        let mut level = Some(Length::ZERO);
        for (i, leg) in p.legs.iter().enumerate() {
            let end = level.and_then(|l| Some(l + rise_of(leg, leg.length?, fall)?));
            if let Some(limit) = own(i) {
                over.extend([level, end].into_iter().flatten().map(|l| (limit, l)));
            }
            level = end;
        }
        let whole = level;
        let mut up: Vec<Limit> = own(p.legs.len().saturating_sub(1)).into_iter().collect();
        if let Some(whole) = whole {
            up.extend(over.iter().map(|(limit, at)| Limit {
                invert: limit.invert + (whole - *at),
                bound: limit.bound,
            }));
        }
        let mut known = true;
        let from = net.from(piece);
        if let Some(trap) = from.and_then(|j| trap_at(net, j)) {
            up.extend(outlet(job, net, trap));
        }
        for q in from.into_iter().flat_map(|j| net.upstream(j)) {
            let on_stack = net.graph.edge_weight(q).and_then(|p| net.runs.get(p.run.0));
            if on_stack.is_some_and(|r| r.kind == RunKind::Stack) {
                continue;
            }
            let above = table.get(&q);
            known &= above.is_some_and(|h| h.complete);
            let step = joined(job, net, sizing, &lying.bores, q, piece).unwrap_or_default();
            up.extend(above.and_then(|h| h.down).map(|l| Limit {
                invert: l.invert - step,
                bound: l.bound,
            }));
        }
        let up = least(up);
        let rise = match (is_vertical(net, piece), length(p)) {
            // A drop that nobody measured is as long as it has to be.
            (true, None) => Some(Length::ZERO),
            _ => whole,
        };
        let down = over.iter().map(|(limit, at)| Limit {
            invert: limit.invert - *at,
            bound: limit.bound,
        });
        let mut down: Vec<Limit> = down.collect();
        if let (Some(up), Some(rise)) = (up, rise) {
            down.push(Limit {
                invert: up.invert - rise,
                bound: up.bound,
            });
        }
        table.insert(
            piece,
            Highest {
                up,
                down: least(down),
                complete: known && rise.is_some(),
            },
        );
    }
    table
}

/// The trap at a joint.
fn trap_at(net: &Network, joint: JointIx) -> Option<TrapIx> {
    match net.graph.node_weight(joint)?.kind {
        JointKind::Trap(trap) => Some(trap),
        _ => None,
    }
}

/// The highest that the arm of a trap may lie at its weir: at the fixture's outlet, as stated or as
/// its kind usually has it.
fn outlet(job: &Job, net: &Network, trap: TrapIx) -> Option<Limit> {
    let t = net.traps.get(trap.0)?;
    let fixture = job.fixtures.get(t.fixture)?;
    let usual = catalogue::kind(&fixture.kind.value).map(|k| k.default_outlet.height);
    let height = fixture.outlet.or(usual)?;
    let floor = net.draft.fixtures.get(t.fixture)?.floor?;
    Some(Limit {
        invert: job.floors.get(floor.0)?.level + height,
        bound: Bound::Outlet(trap),
    })
}

fn least(limits: Vec<Limit>) -> Option<Limit> {
    limits
        .into_iter()
        .min_by(|a, b| a.invert.total_cmp(&b.invert))
}
