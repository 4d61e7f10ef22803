//! Branches with one vent for several traps: what their sizes have to keep to.

use std::collections::{BTreeMap, BTreeSet};

use super::model::PieceSize;
use super::waste::Basis;
use crate::codebook::Book;
use crate::levels::falls::is_vertical;
use crate::network::{BranchMethod, Network, PieceIx, RunKind, Table, TrapIx, VentMethod};
use crate::units::{PipeSize, Printer};

/// Pieces of combination drains and vents.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Combinations {
    /// Pieces of the branches and the upright connections down to them, the only upright pipe that
    /// such a system has; and whether each branch joins a building drain or a branch of it.
    pub branches: BTreeMap<PieceIx, bool>,
    /// The traps' own drains into them.
    pub own: BTreeSet<PieceIx>,
}

impl Combinations {
    /// Of a network.
    pub fn of(net: &Network) -> Combinations {
        let mut all = Combinations::default();
        let vents = net.branch_vents.iter();
        for vent in vents.filter(|v| v.method == BranchMethod::Combination) {
            let Some(run) = net.runs.get(vent.run.0) else {
                continue;
            };
            let building = run.kind != RunKind::Branch;
            all.branches
                .extend(run.pieces.iter().map(|p| (*p, building)));
            for trap in &vent.traps {
                let own = own_drain(net, *trap);
                let upright = own.iter().filter(|p| is_vertical(net, **p));
                all.branches.extend(upright.map(|p| (*p, building)));
                all.own.extend(own);
            }
        }
        all
    }
    /// Whether a piece is of one, its traps' own drains counted.
    pub fn contains(&self, piece: PieceIx) -> bool {
        self.branches.contains_key(&piece) || self.own.contains(&piece)
    }
}

/// A trap's arm and drop, if it is vented by a combination drain and vent.
fn own_drain(net: &Network, trap: TrapIx) -> Vec<PieceIx> {
    let Some(t) = net
        .traps
        .get(trap.0)
        .filter(|t| t.vent == VentMethod::Combination)
    else {
        return Vec::new();
    };
    let drop = t.vent_fitting.and_then(|j| net.downstream(j)).filter(|p| {
        let run = net
            .graph
            .edge_weight(*p)
            .and_then(|p| net.runs.get(p.run.0));
        run.is_some_and(|r| r.kind == RunKind::FixtureDrain)
    });
    t.arm.into_iter().chain(drop).collect()
}

/// The size so many sizes smaller; none where the list has none.
pub fn smaller_by(size: PipeSize, by: u32) -> Option<PipeSize> {
    let mut at = size;
    for _ in 0..by {
        at = PipeSize::all().rev().find(|s| *s < at)?;
    }
    Some(at)
}

/// The size so many sizes larger, or the largest there is.
pub fn larger_by(size: PipeSize, by: u32) -> PipeSize {
    (0..by).fold(size, |at, _| at.next_up().unwrap_or(at))
}

/// By how many sizes a combination drain and vent is larger than another drain.
pub fn combination_larger(book: &Book) -> u32 {
    let rules = book.combination_rules();
    let by = rules.and_then(|r| r.larger_by.as_ref());
    by.map_or(0, |by| by.value)
}

/// The part of a branch that a circuit vent serves is of the size that its whole load asks for.
pub fn keep_circuits(basis: &Basis<'_>, sizes: &mut Table<PieceIx, PieceSize>) {
    let print = Printer {
        units: basis.job.units,
    };
    let vents = basis.net.branch_vents.iter();
    for vent in vents.filter(|v| v.method == BranchMethod::Circuit) {
        let Some(rules) = basis.book.circuit_rules() else {
            continue;
        };
        let part = basis.net.vented_part(vent);
        // All of it drains through the lowest piece.
        let Some(whole) = part.first().and_then(|p| sizes.get(p)).cloned() else {
            continue;
        };
        let Some(code) = whole.code_size else {
            continue;
        };
        for piece in part {
            let Some(size) = sizes.get_mut(piece) else {
                continue;
            };
            if size.code_size.is_some_and(|c| c >= code) {
                continue;
            }
            size.code_size = Some(code);
            size.working.steps.push(format!(
                "circuit vented: of the size that the whole load of {} dfu asks for, {} ({})",
                print.load(whole.load),
                print.size(code),
                rules.info.section
            ));
            if !size.stated && size.size < whole.size && !whole.stated {
                size.size = whole.size;
            } else if !size.stated && size.size < code {
                let stock = &basis.job.practice.stock;
                size.size = stock.iter().copied().find(|s| *s >= code).unwrap_or(code);
            }
            if size.size == whole.size {
                size.capacity = whole.capacity;
            }
        }
    }
}
