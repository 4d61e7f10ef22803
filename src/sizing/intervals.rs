//! Branch intervals of a stack.

use std::collections::BTreeMap;

use crate::codebook::Book;
use crate::job::{FloorIx, Job};
use crate::network::{JointIx, JointKind, Network, PieceIx, RunIx, RunKind};
use crate::units::Length;

/// The branch intervals of one stack.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Intervals {
    /// How many there are.
    pub count: u32,
    /// The interval of each joint at which something enters, counted from the top, from 0.
    pub of: BTreeMap<JointIx, u32>,
}

/// Counts the branch intervals of every stack.
///
/// An interval is a length of stack of at least [`Book::branch_interval_height`] between branch
/// connections, counted down from the highest; connections nearer than that to the top of an
/// interval fall within it. A connection's height is that of the floor that its branch or fixture
/// serves. One without a floor counts with the connection above it, so that a stack is never
/// credited with more intervals than are sure.
pub fn intervals(job: &Job, net: &Network, book: &Book) -> BTreeMap<RunIx, Intervals> {
    let height = book.branch_interval_height().value;
    let mut all = BTreeMap::new();
    for (i, run) in net.runs.iter().enumerate() {
        if run.kind == RunKind::Stack {
            all.insert(RunIx(i), of_stack(job, net, RunIx(i), &run.pieces, height));
        }
    }
    all
}

fn of_stack(
    job: &Job,
    net: &Network,
    stack: RunIx,
    pieces: &[PieceIx],
    height: Length,
) -> Intervals {
    let mut found = Intervals::default();
    let mut top: Option<Length> = None;
    // Pieces stand from the base up; the count goes down from the top.
    for joint in pieces.iter().rev().filter_map(|p| net.from(*p)) {
        let enters: Vec<PieceIx> = net
            .upstream(joint)
            .into_iter()
            .filter(|p| net.graph.edge_weight(*p).is_some_and(|p| p.run != stack))
            .collect();
        let is_trap = matches!(
            net.graph.node_weight(joint).map(|j| j.kind),
            Some(JointKind::Trap(_))
        );
        if enters.is_empty() && !is_trap {
            continue;
        }
        let level = enters
            .iter()
            .filter_map(|p| level_of(job, net, *p))
            .max_by(Length::total_cmp);
        match (top, level) {
            (_, _) if found.count == 0 => {
                found.count = 1;
                top = level;
            }
            (None, Some(level)) => top = Some(level),
            (Some(high), Some(level)) if (high - level).mm() + 0.01 >= height.mm() => {
                found.count += 1;
                top = Some(level);
            }
            _ => {}
        }
        found.of.insert(joint, found.count.saturating_sub(1));
    }
    found.count = found.count.max(1);
    found
}

/// The level of what a piece serves.
fn level_of(job: &Job, net: &Network, piece: PieceIx) -> Option<Length> {
    let floor = floor_of(job, net, piece)?;
    job.floors.get(floor.0).map(|f| f.level)
}

/// The floor of what a piece serves: its run's, else that of a fixture upstream.
pub fn floor_of(job: &Job, net: &Network, piece: PieceIx) -> Option<FloorIx> {
    let run = net.runs.get(net.graph.edge_weight(piece)?.run.0)?;
    run.floor.or_else(|| {
        let above = super::loads::traps_above(net, net.from(piece)?);
        above.iter().find_map(|t| {
            job.fixtures
                .get(net.traps.get(t.0)?.fixture)
                .and_then(|f| f.floor)
        })
    })
}
