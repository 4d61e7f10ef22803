//! The drains in the order in which they are walked.

use std::collections::BTreeMap;

use super::model::Step;
use crate::findings::Context;
use crate::levels::Station;
use crate::network::{JointIx, JointKind, RunKind, State};

/// What the job says last of a part by the first of its names that is marked, and whether it was
/// changed on site.
pub(super) fn standing<'n>(
    ctx: &Context<'_>,
    names: impl IntoIterator<Item = &'n str>,
) -> Option<String> {
    let names: Vec<&str> = names.into_iter().collect();
    let marks = [
        names.iter().find_map(|part| ctx.job.stands(part)),
        names.iter().find_map(|part| ctx.job.changed_on_site(part)),
    ];
    let said = marks.into_iter().flatten().map(|mark| {
        let date = mark.date.as_ref().map(|d| format!(" {}", d.value));
        format!("{}{}", mark.is.words(), date.unwrap_or_default())
    });
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| said.join(", "))
}

/// How a place stands, its pipe, or the run that it is on.
fn stands(ctx: &Context<'_>, s: &Station) -> Option<String> {
    let piece = ctx.net.graph.edge_weight(s.piece).map(|p| p.id.as_str());
    let names = [Some(s.place.as_str()), piece, Some(s.run.as_str())];
    standing(ctx, names.into_iter().flatten())
}

/// What stands at a place: its fitting, and those of cleanouts beside it.
fn fitted(ctx: &Context<'_>, s: &Station) -> String {
    let fittings = &ctx.solution.fittings;
    let own = fittings.joints.get(&s.joint).map(|f| f.name.as_str());
    let here = |i: &usize| {
        ctx.net
            .cleanouts
            .get(*i)
            .is_some_and(|c| c.joint == s.joint)
    };
    let beside = fittings.beside.iter().filter(|(i, _)| here(i));
    let all = own.into_iter().chain(beside.map(|(_, f)| f.name.as_str()));
    let all = all.collect::<Vec<_>>().join("; ");
    match proposed(ctx, s) {
        true => format!("{all}, proposed"),
        false => all,
    }
}

/// Whether a cleanout stands there that the job does not state.
fn proposed(ctx: &Context<'_>, s: &Station) -> bool {
    let mut here = ctx.net.cleanouts.iter().filter(|c| c.joint == s.joint);
    here.any(|c| c.state == State::Proposed)
}

/// Where a drain only goes on as another, nothing joins it.
fn goes_on(ctx: &Context<'_>, s: &Station) -> Option<String> {
    if ctx.net.graph.node_weight(s.joint)?.kind != JointKind::Junction {
        return None;
    }
    let below = ctx.net.downstream(s.joint)?;
    let [above] = ctx.net.upstream(s.joint)[..] else {
        return None;
    };
    let run = |p| Some(ctx.net.graph.edge_weight(p)?.run);
    let (below, above) = (run(below)?, run(above)?);
    let on = ctx.net.runs.get(above.0)?;
    let drain = matches!(
        on.kind,
        RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch
    );
    // The row of the drain that comes in says where it does.
    let own = ctx.net.runs.get(below.0)?.id == s.run;
    (below != above && drain && own).then(|| format!("goes on as {}", on.id))
}

/// Every place of the level table, from the exit up.
pub(super) fn walk(ctx: &Context<'_>) -> Vec<Step> {
    // The drain in whose rows each place stands first.
    let mut seen: BTreeMap<JointIx, String> = BTreeMap::new();
    let step = |s: &Station| {
        let before = seen.get(&s.joint).cloned();
        if before.is_none() {
            seen.insert(s.joint, s.run.clone());
        }
        let piece = ctx.net.graph.edge_weight(s.piece);
        Step {
            place: goes_on(ctx, s).unwrap_or_else(|| s.place.clone()),
            run: s.run.clone(),
            fitting: match fitted(ctx, s) {
                // The row of the drain has its fitting, where another comes in.
                fitting if !fitting.is_empty() => match before {
                    Some(run) => format!("that of {run}"),
                    None => fitting,
                },
                nothing => nothing,
            },
            size: ctx.solution.sizing.pieces.get(&s.piece).map(|p| p.size),
            fall: ctx
                .solution
                .levels
                .pieces
                .get(&s.piece)
                .and_then(|l| l.fall),
            invert: s.invert,
            state: piece.map(|p| p.state).unwrap_or_default(),
            standing: stands(ctx, s),
        }
    };
    ctx.solution.levels.stations.iter().map(step).collect()
}
