//! S103 joist-holes-by-the-maker
//!
//! Checks, once a floor, whether drains go across joists that are not of a sawn size. What may be
//! bored through those no code says, and so neither does this tool.
//!
//! Why: engineered joists take holes only where and as large as their maker's table allows; a hole
//! elsewhere takes the floor's strength away.
//!
//! Example: `joists = "11 7/8in"`, `joists_run = "east"` and a branch `north 8'` between them.
//!
//! To do: look the holes up in the maker's table, or run the drain along the joists or below them.
//!
//! Section: IRC R502.8.2.

use std::collections::BTreeMap;

use super::context::{Context, Meta};
use crate::catalogue;
use crate::diagnostics::{Diagnostic, Severity};
use crate::drops;
use crate::job::FloorIx;

/// S103.
pub const META: Meta = Meta::new("S103", "joist-holes-by-the-maker", Severity::Advice);

/// How many are named before the rest is counted.
const NAMED: usize = 4;

/// One finding a floor.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut floors: BTreeMap<FloorIx, Vec<&str>> = BTreeMap::new();
    for crossing in drops::crossings(&ctx.work()) {
        let depth = ctx.job.floors.get(crossing.floor.0).and_then(|f| f.joists);
        if depth.is_none_or(|d| catalogue::sawn_joist(d).is_some()) {
            continue;
        }
        let id = ctx.net.graph[crossing.piece].id.as_str();
        let of_floor = floors.entry(crossing.floor).or_default();
        if !of_floor.contains(&id) {
            of_floor.push(id);
        }
    }
    let found = floors.into_iter();
    found.filter_map(|(f, ids)| said(ctx, f, &ids)).collect()
}

fn said(ctx: &Context<'_>, floor: FloorIx, ids: &[&str]) -> Option<Diagnostic> {
    let floor = ctx.job.floors.get(floor.0)?;
    let (named, more) = ids.split_at(ids.len().min(NAMED));
    let named = match (named, more.len()) {
        ([one], 0) => format!("{one} goes"),
        ([head @ .., last], 0) => format!("{} and {last} go", head.join(", ")),
        (named, more) => format!("{} and {more} more go", named.join(", ")),
    };
    let message = format!(
        "{named} across the {} joists of {}, which are no sawn size: only their maker says \
         what may be bored",
        ctx.print.short(floor.joists?),
        floor.name
    );
    let book = ctx.book;
    let section = book.section("boring-engineered");
    Some(Diagnostic {
        help: Some("look the holes up in the maker's table, or run along the joists".to_owned()),
        section: section
            .or_else(|| book.section("boring"))
            .map(str::to_owned),
        ..META.finding(&floor.name, Some(floor.span.clone()), message)
    })
}
