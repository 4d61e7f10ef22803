//! Limits of venting methods: of single stacks, circuit vents, combination drains and vents.

use std::collections::BTreeMap;

use super::model::Measure;
use super::worst::Worst;
use crate::codebook::Found;
use crate::findings::{
    Context, below_outlets, drops_into_vents, falls_of_vents, on_circuits, reaches,
};
use crate::network::BranchMethod;
use crate::units::{Fall, Length};

/// The fixture of a single stack that is nearest to each of its limits.
pub(super) fn from_stacks(ctx: &Context<'_>) -> Vec<Measure> {
    let mut worst: BTreeMap<&str, Worst> = BTreeMap::new();
    for (trap, reach) in reaches(ctx) {
        let Some(fixture) = ctx.fixture(trap) else {
            continue;
        };
        let what = match reach.what {
            "branch" => "length of an unvented branch",
            "drop" => "drop in an unvented branch",
            _ => "level distance from a single stack",
        };
        let measure = length(ctx, what, &fixture.name, (reach.has, &reach.most));
        let over = reach.has - reach.most.value;
        worst.entry(what).or_default().add(over.mm(), measure);
    }
    worst.into_values().filter_map(Worst::done).collect()
}

/// A length against the most that it may be.
fn length(
    ctx: &Context<'_>,
    what: &str,
    at: &str,
    (has, most): (Length, &Found<Length>),
) -> Measure {
    Measure {
        what: what.to_owned(),
        section: most.cite().to_owned(),
        provenance: Some(most.provenance),
        applied: 0,
        at: at.to_owned(),
        has: ctx.print.length(has),
        limit: ctx.print.length(most.value),
        margin: ctx.print.length((most.value - has).max(Length::ZERO)),
        kept: Some(has <= most.value || has.same(most.value)),
    }
}

/// The circuit vent that serves the most fixtures.
pub(super) fn circuits(ctx: &Context<'_>) -> Option<Measure> {
    let most = &ctx.book.circuit_rules()?.fixtures;
    let mut worst = Worst::default();
    for (vent, count) in on_circuits(ctx) {
        let run = ctx.net.runs.get(vent.run.0).map_or("", |r| r.id.as_str());
        let left = most.value as usize - count.min(most.value as usize);
        let measure = Measure {
            what: "fixtures on one circuit vent".to_owned(),
            section: most.cite().to_owned(),
            provenance: Some(most.provenance),
            applied: 0,
            at: run.to_owned(),
            has: count.to_string(),
            limit: most.value.to_string(),
            margin: left.to_string(),
            kept: Some(count <= most.value as usize),
        };
        worst.add(count as f64, measure);
    }
    worst.done()
}

/// The steepest branch that is its own fixtures' vent, by how it vents them.
pub(super) fn falls(ctx: &Context<'_>) -> Vec<Measure> {
    let mut circuit = Worst::default();
    let mut combination = Worst::default();
    for own in falls_of_vents(ctx) {
        let most = own.most;
        let left = most.value.ratio() - own.fall.ratio();
        let (what, worst) = match own.method {
            BranchMethod::Circuit => ("fall of a branch with a circuit vent", &mut circuit),
            BranchMethod::Combination => ("fall of a combination drain and vent", &mut combination),
        };
        let measure = Measure {
            what: what.to_owned(),
            section: most.cite().to_owned(),
            provenance: Some(most.provenance),
            applied: 0,
            at: ctx.net.graph[own.piece].id.clone(),
            has: ctx.print.fall(own.fall),
            limit: ctx.print.fall(most.value),
            margin: ctx.print.fall(Fall::from_ratio(left.max(0.0))),
            kept: Some(own.fall <= most.value || own.fall.same(most.value)),
        };
        worst.add(-left, measure);
    }
    [circuit, combination]
        .into_iter()
        .filter_map(Worst::done)
        .collect()
}

/// The fixture that drops farthest into a combination drain and vent.
pub(super) fn drops(ctx: &Context<'_>) -> Option<Measure> {
    let most = ctx.book.combination_rules()?.most_drop.as_ref()?;
    let mut worst = Worst::default();
    for (trap, drop) in drops_into_vents(ctx) {
        let Some(fixture) = ctx.fixture(trap) else {
            continue;
        };
        let what = "drop into a combination drain and vent";
        let measure = length(ctx, what, &fixture.name, (drop, most));
        worst.add((drop - most.value).mm(), measure);
    }
    worst.done()
}

/// The trap that lies farthest below its fixture's outlet.
pub(super) fn outlets(ctx: &Context<'_>) -> Option<Measure> {
    let most = &ctx.book.trap_rules().outlet_to_weir;
    let mut worst = Worst::default();
    for (trap, below) in below_outlets(ctx) {
        let Some(fixture) = ctx.fixture(trap) else {
            continue;
        };
        let what = "trap weir below its outlet";
        let measure = length(ctx, what, &fixture.name, (below, most));
        worst.add((below - most.value).mm(), measure);
    }
    worst.done()
}
