//! Which new drains go across joists: shared by S102 and S103.

use super::context::Context;
use crate::drops::{self, Crossing};
use crate::solve::Work;

/// All of them, in the order of the network.
pub(super) fn crossings(ctx: &Context<'_>) -> Vec<Crossing> {
    drops::crossings(&Work {
        job: ctx.job,
        net: ctx.net,
        book: ctx.book,
        solution: ctx.solution,
    })
}
