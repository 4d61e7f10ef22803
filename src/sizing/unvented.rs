//! Branches that their stack vents: which pieces they are, and what a size must let through.

use crate::codebook::Book;
use crate::network::{Network, PieceIx, Table, TrapIx, VentMethod, level_and_drop};
use crate::units::{Demand, Length, PipeSize, Printer};

/// The longest ways of traps to their stack through a piece, as far as lengths are known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Unvented {
    /// Longest developed length, weir to stack.
    pub length: Length,
    /// Deepest drop.
    pub drop: Length,
}

/// Every piece of an unvented branch.
pub fn unvented(net: &Network) -> Table<PieceIx, Unvented> {
    let mut all: Table<PieceIx, Unvented> = Table::new();
    for (i, trap) in net.traps.iter().enumerate() {
        if trap.vent != VentMethod::SingleStack {
            continue;
        }
        let Some((way, _)) = net.way_to_vented_run(TrapIx(i)) else {
            continue;
        };
        let (level, drop) = level_and_drop(net, &way);
        for piece in way {
            let of = all.or_default(piece);
            of.length = of.length.max(level + drop);
            of.drop = of.drop.max(drop);
        }
    }
    all
}

/// Why a size will not do for a piece of an unvented branch by the book's table of them, in words
/// with the section; none where it will, or the book has no such table.
pub fn refused(
    (book, print): (&Book, Printer),
    size: PipeSize,
    is: Unvented,
    (closets, demand): (u32, Demand),
) -> Option<String> {
    let row = book.unvented_branch(size)?;
    let larger = |is: Length, most: Length| is > most && !is.same(most);
    if let Some(most) = row.closets.filter(|m| closets > m.value) {
        return Some(format!(
            "{} unvented takes {} water closets at most ({})",
            print.size(size),
            most.value,
            most.section
        ));
    }
    if let Some(most) = row.load.filter(|m| !m.value.covers(demand)) {
        return Some(format!(
            "{} unvented carries {} at most ({})",
            print.size(size),
            print.demand(most.value),
            most.section
        ));
    }
    if let Some(most) = row.length.filter(|m| larger(is.length, m.value)) {
        return Some(format!(
            "{} unvented is {} long at most ({})",
            print.size(size),
            print.length(most.value),
            most.section
        ));
    }
    let most = row.drop.filter(|m| larger(is.drop, m.value))?;
    Some(format!(
        "{} unvented drops {} at most ({})",
        print.size(size),
        print.length(most.value),
        most.section
    ))
}
