//! Level offsets of stacks with many branch intervals above them need vents of their own, unless
//! stack and offset are so large that air passes the water.

use std::collections::BTreeMap;

use super::intervals::Intervals;
use super::model::PieceSize;
use super::vent_rules::half;
use crate::codebook::{Book, OffsetRule};
use crate::levels::falls::is_vertical;
use crate::network::{JointKind, Network, PieceIx, RunIx, RunKind, State, Table};
use crate::units::PipeSize;

/// A level offset that needs vents, or a large stack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offset {
    /// Its stack.
    pub stack: RunIx,
    /// Branch intervals above it.
    pub intervals: u32,
    /// The size of stack and offset that needs no vents of the offset: so many sizes over a
    /// building drain of its load, and of the area of the straight stack and its vent together.
    pub least: PipeSize,
}

/// The level offsets of new stacks that the book's rule is about; none where it has none. Offsets
/// below the lowest branch are not meant.
pub fn offsets(
    net: &Network,
    book: &Book,
    all: &BTreeMap<RunIx, Intervals>,
    pieces: &Table<PieceIx, PieceSize>,
) -> Vec<Offset> {
    let Some(rule) = book.vent_stack_rule().and_then(|r| r.offset.as_ref()) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for (stack, intervals) in all {
        let run = net.runs.get(stack.0);
        let new = run.is_some_and(|r| r.kind == RunKind::Stack && r.state != State::Existing);
        for piece in run.filter(|_| new).map_or(&[][..], |r| &r.pieces) {
            let above = above(net, rule, (*stack, intervals), *piece);
            let least = || least(net, book, rule, pieces, (*stack, *piece));
            if let Some((intervals, least)) = above.and_then(|n| Some((n, least()?))) {
                found.push(Offset {
                    stack: *stack,
                    intervals,
                    least,
                });
            }
        }
    }
    found
}

/// The branch intervals above a level offset, where they are as many as the rule is about.
fn above(
    net: &Network,
    rule: &OffsetRule,
    (stack, intervals): (RunIx, &Intervals),
    piece: PieceIx,
) -> Option<u32> {
    let foot = net.graph.node_weight(net.to(piece)?)?.kind;
    if !matches!(foot, JointKind::OffsetFoot(_)) || is_vertical(net, piece) {
        return None;
    }
    let run = net.runs.get(stack.0)?;
    let at = run.pieces.iter().position(|p| *p == piece)?;
    let (below, above) = run.pieces.split_at(at);
    let enters = |p: &PieceIx| intervals.of.get(&net.from(*p)?).copied();
    // Counted from the top, so the lowest one above tells how many there are.
    let count = above.iter().filter_map(enters).max()? + 1;
    let some_below = below.iter().filter_map(enters).next().is_some();
    (count >= rule.from.value && some_below).then_some(count)
}

fn least(
    net: &Network,
    book: &Book,
    rule: &OffsetRule,
    sizes: &Table<PieceIx, PieceSize>,
    (stack, piece): (RunIx, PieceIx),
) -> Option<PipeSize> {
    let mut least = sizes.get(&piece)?.code_size?;
    for _ in 0..rule.larger_by.value {
        least = least.next_up()?;
    }
    let pieces = &net.runs.get(stack.0)?.pieces;
    let code = |p: &PieceIx| sizes.get(p)?.code_size;
    let upright = pieces.iter().filter(|p| is_vertical(net, **p));
    let straight = upright.filter_map(code).max()?;
    let vent = half(book, straight);
    // Areas of round pipes are as the squares of their sizes.
    let square = |s: PipeSize| s.inches() * s.inches();
    let asked = square(straight) + square(vent);
    PipeSize::all().find(|s| *s >= least && square(*s) + 1e-9 >= asked)
}
