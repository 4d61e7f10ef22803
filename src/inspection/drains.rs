//! Loads and falls of drains.

use std::collections::BTreeMap;

use super::model::Measure;
use super::worst::Worst;
use crate::catalogue;
use crate::findings::Context;
use crate::levels::FallFrom;
use crate::network::{Piece, RunKind, System};
use crate::units::{Demand, Fall};

/// The fullest drain of each table.
pub(super) fn loads(ctx: &Context<'_>) -> Vec<Measure> {
    let mut worst: BTreeMap<String, Worst> = BTreeMap::new();
    for (_, piece, size) in ctx.sized(System::Waste) {
        let Some(most) = size.capacity else { continue };
        let (has, may) = match (size.demand, most) {
            (Demand::Units(a), Demand::Units(b)) => (a.dfu(), b.dfu()),
            (Demand::Flow(a), Demand::Flow(b)) => (a.gpm(), b.gpm()),
            _ => continue,
        };
        if may <= 0.0 || has <= 0.0 {
            continue;
        }
        let working = &size.working;
        let table = working
            .table
            .clone()
            .unwrap_or_else(|| working.section.clone());
        let full = has / may;
        let left = ((may - has) / may * 100.0).round();
        let measure = Measure {
            what: "load of a drain".to_owned(),
            section: table.clone(),
            provenance: working.provenance,
            applied: 0,
            at: format!("{}, {}", piece.id, ctx.print.size(size.size)),
            has: ctx.print.demand(size.demand),
            limit: ctx.print.demand(most),
            margin: format!("{left}% of it"),
            kept: Some(full <= 1.0 + 1e-9),
        };
        worst.entry(table).or_default().add(full, measure);
    }
    worst.into_values().filter_map(Worst::done).collect()
}

/// What drains leave by each exit, and how loads were counted, in words.
pub(super) fn at_exits(ctx: &Context<'_>) -> String {
    let sizes = &ctx.solution.sizing.pieces;
    let exits = ctx.net.exits.iter().zip(&ctx.job.exits);
    let each = exits.flat_map(|(joint, exit)| {
        let into = ctx.net.upstream(*joint).into_iter();
        let sizes = into.filter_map(|p| sizes.get(&p));
        let name = match exit.name.as_str() {
            "exit" => "exit".to_owned(),
            name => format!("exit `{name}`"),
        };
        sizes.map(move |s| format!("{name}: {}", ctx.print.demand(s.demand)))
    });
    let each: Vec<String> = each.collect();
    let method = &ctx.solution.sizing.load_method;
    match each.is_empty() {
        true => method.clone(),
        false => format!("Load at the {}. {method}", each.join(", ")),
    }
}

/// Whether a pipe is none of the building's drains: the sewer beyond the exit, what is pumped.
fn beyond(ctx: &Context<'_>, piece: &Piece) -> bool {
    matches!(ctx.kind(piece), Some(RunKind::Sewer | RunKind::Discharge))
}

/// The flattest drain against the book's least fall.
pub(super) fn falls(ctx: &Context<'_>) -> Option<Measure> {
    let mut worst = Worst::default();
    let inside = ctx.sized(System::Waste).filter(|(_, p, _)| !beyond(ctx, p));
    for (ix, piece, size) in inside {
        let fall = ctx.solution.levels.pieces.get(&ix).and_then(|l| l.fall);
        let (Some(fall), Ok(least)) = (fall, ctx.book.least_fall(size.size)) else {
            continue;
        };
        let over = fall.ratio() - least.value.ratio();
        let measure = Measure {
            what: "least fall".to_owned(),
            section: least.cite().to_owned(),
            provenance: Some(least.provenance),
            applied: 0,
            at: format!("{}, {}", piece.id, ctx.print.size(size.size)),
            has: ctx.print.fall(fall),
            limit: ctx.print.fall(least.value),
            margin: ctx.print.fall(Fall::from_ratio(over.max(0.0))),
            kept: Some(ctx.book.meets(fall, least.value)),
        };
        worst.add(-over, measure);
    }
    worst.done()
}

/// The steepest drain that is not upright.
pub(super) fn steepest(ctx: &Context<'_>) -> Option<Measure> {
    let stated = ctx.job.practice.steepest.as_ref().map(|s| s.value);
    let (most, source) = match stated {
        Some(most) => (most, "as the job states"),
        None => catalogue::steepest()?,
    };
    let falls = ctx.sized(System::Waste).filter_map(|(ix, piece, _)| {
        let level = ctx.solution.levels.pieces.get(&ix)?;
        let fall = level.fall?;
        // What falls by the code's own least is as flat as it may be.
        let counts =
            !beyond(ctx, piece) && fall.ratio() < 1.0 && level.fall_from != FallFrom::Least;
        counts.then_some((fall, piece))
    });
    let all: Vec<_> = falls.collect();
    let (fall, piece) = *all
        .iter()
        .reduce(|a, b| if b.0.ratio() > a.0.ratio() { b } else { a })?;
    Some(Measure {
        what: "steepest fall".to_owned(),
        section: source.to_owned(),
        provenance: None,
        applied: all.len(),
        at: piece.id.clone(),
        has: ctx.print.fall(fall),
        limit: ctx.print.fall(most),
        margin: ctx
            .print
            .fall(Fall::from_ratio((most.ratio() - fall.ratio()).max(0.0))),
        kept: Some(fall <= most || fall.same(most)),
    })
}

/// The smallest drain that carries a water closet.
pub(super) fn closets(ctx: &Context<'_>) -> Option<Measure> {
    let serves = &ctx.solution.sizing.serves;
    let carries = |ix| serves.get(&ix).is_some_and(|s| s.closets > 0);
    let all: Vec<_> = ctx
        .sized(System::Waste)
        .filter(|(ix, ..)| carries(*ix))
        .collect();
    let smallest = all.iter().min_by_key(|(.., size)| size.size)?;
    let least = ctx.book.closet_least();
    Some(Measure {
        what: "drain of a water closet".to_owned(),
        section: least.cite().to_owned(),
        provenance: Some(least.provenance),
        applied: all.len(),
        at: smallest.1.id.clone(),
        has: ctx.print.size(smallest.2.size),
        limit: ctx.print.size(least.value),
        margin: match smallest.2.size == least.value {
            true => "none: as small as it may be".to_owned(),
            false => "larger".to_owned(),
        },
        kept: Some(smallest.2.size >= least.value),
    })
}
