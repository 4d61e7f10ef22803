//! The drains in the order in which they are walked.

use super::model::Step;
use crate::findings::Context;

/// Every place of the level table, from the exit up.
pub(super) fn walk(ctx: &Context<'_>) -> Vec<Step> {
    let step = |s: &crate::levels::Station| {
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
        }
    };
    ctx.solution.levels.stations.iter().map(step).collect()
}
