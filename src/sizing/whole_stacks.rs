//! What a stack's size follows from beyond the load of each part: it keeps its size going up, is of
//! one size where its own vent serves its traps, and is larger where it steps aside unvented.

use super::class::{Class, class};
use super::model::PieceSize;
use super::offsets::offsets;
use super::waste::Basis;
use super::ways::way_down;
use crate::codebook::{Beyond, Book, Found};
use crate::network::{OwnVent, PieceIx, StackMethod, Table};
use crate::units::{Demand, PipeSize, Printer};

/// Going up, a stack gets no smaller than the part of its largest required size that the book
/// says, where the book has that rule; one whose own vent serves its traps may have to keep all
/// of it.
pub fn keep_stacks(basis: &Basis<'_>, sizes: &mut Table<PieceIx, PieceSize>) {
    let print = Printer {
        units: basis.job.units,
    };
    for (stack, intervals) in basis.intervals {
        let whole = basis.net.own_vents.get(stack);
        let whole = whole.and_then(|own| one_size(basis.book, own));
        let Some(part) = whole.or_else(|| basis.book.stack_least_part()) else {
            continue;
        };
        let pieces = basis.net.runs.get(stack.0).map_or(&[][..], |r| &r.pieces);
        let code = |p: &PieceIx| sizes.get(p).and_then(|s| s.code_size);
        let Some(largest) = pieces.iter().filter_map(code).max() else {
            continue;
        };
        let Some(least) =
            PipeSize::all().find(|s| s.inches() + 1e-9 >= largest.inches() * part.value)
        else {
            continue;
        };
        for piece in pieces {
            let Some(size) = sizes
                .get_mut(piece)
                .filter(|s| s.code_size.is_some_and(|c| c < least))
            else {
                continue;
            };
            size.code_size = Some(least);
            size.working.steps.push(format!(
                "going up, the stack keeps {} of its largest required size, {}: {} ({})",
                if part.value < 1.0 { "part" } else { "all" },
                print.size(largest),
                print.size(least),
                part.section
            ));
            if !size.stated && size.size < least {
                let stock = &basis.job.practice.stock;
                size.size = stock.iter().copied().find(|s| *s >= least).unwrap_or(least);
                let most = match basis.net.own_vents.get(stack) {
                    Some(own) => capacity(basis.book, own, size.size, intervals.count),
                    None => basis.book.stack(size.size, intervals.count),
                };
                size.capacity = most.ok().map(|f| f.value);
            }
        }
    }
}

/// Whether a stack whose own vent serves its traps is of one size throughout, as the part of its
/// largest required size that it keeps.
fn one_size(book: &Book, own: &OwnVent) -> Option<Found<f64>> {
    let rule = match own.method {
        StackMethod::Single => book.single_stack_rules()?.one_size.clone()?,
        StackMethod::Waste => book.waste_stack_rules()?.one_size.clone()?,
    };
    rule.value.then(|| rule.map(|_| 1.0))
}

/// What a stack whose own vent serves its traps carries: by its own table, else as any stack.
pub fn capacity(
    book: &Book,
    own: &OwnVent,
    size: PipeSize,
    intervals: u32,
) -> Result<Found<Demand>, Beyond> {
    let found = match own.method {
        StackMethod::Single => book.single_stack(size, own.height),
        StackMethod::Waste => book.waste_stack(size),
    };
    found.unwrap_or_else(|| book.stack(size, intervals))
}

/// Stacks whose level offsets would need vents are laid so large that these need none, where the job
/// states no size; what follows downstream is no smaller.
pub fn past_offsets(basis: &Basis<'_>, sizes: &mut Table<PieceIx, PieceSize>) {
    let net = basis.net;
    let print = Printer {
        units: basis.job.units,
    };
    let rule = basis.book.vent_stack_rule().and_then(|r| r.offset.as_ref());
    let section = rule.map_or("", |r| r.larger_by.section.as_str());
    for offset in offsets(net, basis.book, basis.intervals, sizes) {
        let stock = &basis.job.practice.stock;
        let stocked = stock.iter().copied().find(|s| *s >= offset.least);
        let least = stocked.unwrap_or(offset.least);
        let pieces = net.runs.get(offset.stack.0).map_or(&[][..], |r| &r.pieces);
        let base = pieces.first().and_then(|p| net.to(*p));
        let below = base.into_iter().flat_map(|j| way_down(net, j)).map(|d| d.1);
        let all: Vec<PieceIx> = pieces.iter().copied().chain(below).collect();
        for piece in all {
            let class = class(net, piece);
            let fixed = matches!(class, Class::Sewer | Class::Discharge);
            let Some(size) = sizes.get_mut(&piece) else {
                continue;
            };
            if fixed || size.stated || size.size >= least {
                continue;
            }
            let most = match class {
                Class::Stack(run) => {
                    let count = basis.intervals.get(&run).map_or(1, |i| i.count);
                    basis.book.stack(least, count)
                }
                _ => (basis.falls)
                    .at(basis.job, net, basis.book, piece, least)
                    .and_then(|(fall, _)| basis.book.building_drain(least, fall)),
            };
            size.capacity = most.ok().map(|f| f.value);
            size.size = least;
            size.working.steps.push(format!(
                "so large that its level offset needs no vents: {} ({section})",
                print.size(least)
            ));
        }
    }
}
