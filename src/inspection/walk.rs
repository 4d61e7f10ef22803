//! The drains in the order in which they are walked.

use super::model::Step;
use crate::findings::Context;
use crate::levels::Station;

/// What the job says last of a place itself, of its pipe, or of the run that it is on.
fn stands(ctx: &Context<'_>, s: &Station) -> Option<String> {
    let piece = ctx.net.graph.edge_weight(s.piece).map(|p| p.id.as_str());
    let of = |part: &str| ctx.job.stands(part);
    let mark = of(&s.place).or_else(|| of(piece?)).or_else(|| of(&s.run))?;
    let date = mark.date.as_ref().map(|d| format!(" {}", d.value));
    Some(format!("{}{}", mark.is.words(), date.unwrap_or_default()))
}

/// Every place of the level table, from the exit up.
pub(super) fn walk(ctx: &Context<'_>) -> Vec<Step> {
    let step = |s: &Station| {
        let piece = ctx.net.graph.edge_weight(s.piece);
        let fitting = ctx.solution.fittings.joints.get(&s.joint);
        Step {
            place: s.place.clone(),
            run: s.run.clone(),
            fitting: fitting.map_or_else(String::new, |f| f.name.clone()),
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
