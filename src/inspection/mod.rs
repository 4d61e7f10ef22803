//! The inspector's list: every limit of the code that the job comes near, the worst case of each,
//! and the drains in the order in which they are walked, from the exit up.
//!
//! In: a job worked through and its findings. Out: [`Inspection`], plain data. Promises: every
//! measure is taken of what was sized, levelled and placed, never worked out anew; a place whose
//! figure is not known is not counted; every rule of the tool is listed, with what it found.

mod applies;
mod arms;
mod cleanouts;
mod drains;
mod model;
mod room;
mod rules;
mod sections;
mod seen;
mod stated;
mod tables;
mod vents;
mod verdict;
mod walk;
mod worst;

pub use applies::Idle;
pub use model::{Arm, Inspection, Measure, Opening, Ran, Share, Step, VentRun, Verdict};
pub use tables::{notes, sign_off, tables, verdict};

use std::collections::BTreeSet;

use crate::findings::{Context, Findings};
use crate::solve::Work;

/// What an inspector goes through.
pub fn inspection(work: &Work<'_>, findings: &Findings) -> Inspection {
    let ctx = Context::new(work.job, work.net, work.book, work.solution);
    let mut measures = drains::loads(&ctx);
    measures.extend(drains::falls(&ctx));
    measures.extend(drains::steepest(&ctx));
    measures.extend(drains::closets(&ctx));
    measures.extend(arms::lengths(&ctx));
    measures.extend(arms::falls(&ctx));
    measures.extend(vents::sizes(&ctx));
    measures.extend(cleanouts::apart(&ctx));
    measures.extend(room::rooms(&ctx));
    Inspection {
        verdict: Verdict::of(findings),
        measures,
        walk: walk::walk(&ctx),
        arms: seen::arms(&ctx),
        vents: seen::vents(&ctx),
        cleanouts: seen::cleanouts(&ctx),
        shares: stated::shares(&ctx),
        rules: rules::ran(&ctx, findings),
        unread: unread(&ctx),
    }
}

/// Tables that sizes were looked up in and whose figures were not read in the code.
fn unread(ctx: &Context<'_>) -> Vec<(String, String)> {
    let looked_up = ctx.solution.sizing.pieces.values().map(|s| &s.working);
    let unread = looked_up.filter_map(|w| {
        let from = w.provenance.as_ref().filter(|p| !p.starts_with("read"))?;
        Some((w.table.clone()?, from.clone()))
    });
    let all: BTreeSet<(String, String)> = unread.collect();
    all.into_iter().collect()
}
