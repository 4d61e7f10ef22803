//! D112 sewer-out-of-its-loads
//!
//! Checks the building sewer beyond the wall, where the job states its size: that it carries what
//! the building drain brings, at the fall between the exit and the tap, and, under a book with
//! least loads, that it is not too large to clean itself. A fall that is not known counts as the
//! least that the book lets a drain of that size have.
//!
//! Why: an old 4 in sewer may be too small for what a new floor adds; one that is far too large
//! runs shallow and slow, and what it should carry stays behind.
//!
//! Example: `sewer = { size = 4, length = "60'", tap = "-11'" }` under a building of 200 dfu.
//!
//! To do: lay the sewer at the size that passes, or steeper where the tap lets it; an existing one
//! is for the authority to judge.
//!
//! Section: IPC 710.1, IRC P3005.4.2, UPC 717.1.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::RunKind;
use crate::units::{Demand, Fall, PipeSize};

/// D112.
pub const META: Meta = Meta::new("D112", "sewer-out-of-its-loads", Severity::Error);

/// Sewers that carry too much, or too little.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let sewers = ctx.net.runs.iter().filter(|r| r.kind == RunKind::Sewer);
    let found = sewers.flat_map(|run| run.pieces.iter());
    found.filter_map(|piece| one(ctx, *piece)).collect()
}

fn one(ctx: &Context<'_>, piece: crate::network::PieceIx) -> Option<Diagnostic> {
    let own = ctx.solution.sizing.pieces.get(&piece)?;
    let pipe = ctx.net.graph.edge_weight(piece)?;
    if !own.stated {
        return None;
    }
    let stated = ctx.solution.levels.pieces.get(&piece).and_then(|l| l.fall);
    let least = || Some(ctx.book.least_fall(own.size).ok()?.value);
    let fall = stated.filter(|f| f.ratio() > 0.0).or_else(least)?;
    let (section, message, help) = too_much(ctx, own.size, fall, own.demand)
        .or_else(|| too_little(ctx, own.size, fall, own.demand))?;
    Some(Diagnostic {
        help,
        section: Some(section),
        ..META.finding(
            &pipe.id,
            ctx.size_span(pipe),
            format!("the sewer {} {message}", pipe.id),
        )
    })
}

type Wrong = (String, String, Option<String>);

fn too_much(ctx: &Context<'_>, size: PipeSize, fall: Fall, asked: Demand) -> Option<Wrong> {
    let print = ctx.print;
    let carries = |s: PipeSize| ctx.book.sewer_most(s, fall);
    let (section, message) = match carries(size)? {
        Ok(most) if most.value.covers(asked) => return None,
        Ok(most) => {
            let message = format!(
                "is {} at {} and has {} to carry; it carries {}",
                print.size(size),
                print.fall(fall),
                print.demand(asked),
                print.demand(most.value)
            );
            (most.section, message)
        }
        Err(beyond) => (
            beyond.section,
            format!("is {}: {}", print.size(size), beyond.message),
        ),
    };
    let larger = PipeSize::all()
        .filter(|s| *s > size)
        .find(|s| carries(*s).is_some_and(|c| c.is_ok_and(|c| c.value.covers(asked))));
    let help = larger.map(|s| format!("{} carries it at that fall", print.size(s)));
    Some((section, message, help))
}

fn too_little(ctx: &Context<'_>, size: PipeSize, fall: Fall, brings: Demand) -> Option<Wrong> {
    let print = ctx.print;
    let least = ctx.book.sewer_least(size, fall)?;
    if brings.covers(least.value) {
        return None;
    }
    let message = format!(
        "is {} at {} and has only {} to carry; under {} it does not clean itself",
        print.size(size),
        print.fall(fall),
        print.demand(brings),
        print.demand(least.value)
    );
    let help = "make it smaller, or steeper".to_owned();
    Some((least.section, message, Some(help)))
}
