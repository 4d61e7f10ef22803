//! The inspector's list: every limit of the code that the job comes near, the worst case of each,
//! and the drains in the order in which they are walked, from the exit up.
//!
//! In: a job worked through and its findings. Out: [`Inspection`], plain data. Promises: every
//! measure is taken of what was sized, levelled and placed, never worked out anew; a place whose
//! figure is not known is not counted; every rule of the tool is listed, with what it found.

mod applies;
mod arms;
mod backwater;
mod cleanouts;
mod clearances;
mod drains;
mod methods;
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
pub use tables::{notes, rules, sign_off, tables, verdict};

use std::collections::{BTreeMap, BTreeSet};

use crate::codebook::Provenance;
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
    measures.extend(methods::outlets(&ctx));
    measures.extend(methods::from_stacks(&ctx));
    measures.extend(methods::circuits(&ctx));
    measures.extend(methods::falls(&ctx));
    measures.extend(methods::drops(&ctx));
    measures.extend(clearances::bases(&ctx));
    measures.extend(clearances::footings(&ctx));
    measures.extend(vents::sizes(&ctx));
    measures.extend(cleanouts::apart(&ctx));
    measures.extend(backwater::over_manhole(&ctx));
    measures.extend(room::rooms(&ctx));
    let rules = rules::ran(&ctx, findings);
    Inspection {
        verdict: Verdict::of(findings),
        loads: drains::at_exits(&ctx),
        unjudged: unjudged(&measures, &rules),
        unread: unread(&ctx, &measures, &rules),
        measures,
        walk: walk::walk(&ctx),
        arms: seen::arms(&ctx),
        vents: seen::vents(&ctx),
        cleanouts: seen::cleanouts(&ctx),
        shares: stated::shares(&ctx),
        rules,
    }
}

/// How many limits and rules are not known, at all or some of their places, to be kept.
fn unjudged(measures: &[Measure], rules: &[Ran]) -> usize {
    let unknown = |r: &&Ran| {
        let nothing = r.open + r.waived == 0;
        nothing && matches!(r.idle, Some(Idle::NotKnown(_)))
    };
    let limits = measures.iter().filter(|m| m.kept.is_none());
    limits.count() + rules.iter().filter(unknown).count()
}

/// What the list cites and whose figures were not read in the code itself, each once, as weak as the
/// weakest of them: tables that sizes were looked up in, limits, and what the rules go by.
fn unread(ctx: &Context<'_>, measures: &[Measure], rules: &[Ran]) -> Vec<(String, Provenance)> {
    let workings = ctx.solution.sizing.pieces.values().map(|s| &s.working);
    let looked_up = workings.filter_map(|w| {
        let from = w.provenance?;
        Some((w.table.clone().unwrap_or_else(|| w.section.clone()), from))
    });
    let limits = measures
        .iter()
        .filter_map(|m| Some((m.section.clone(), m.provenance?)));
    let ran = rules.iter().filter(|r| r.idle.is_none());
    let cited = ran.flat_map(|r| r.section.split("; "));
    let by_rules = cited.flat_map(|cite| {
        let tables = ctx.book.tables().iter().filter(move |t| t.cite() == cite);
        tables.map(|t| (t.cite().to_owned(), t.provenance))
    });
    let mut all: BTreeMap<String, Provenance> = BTreeMap::new();
    for (cite, from) in looked_up.chain(limits).chain(by_rules) {
        if !cite.is_empty() && from > Provenance::Seen {
            let weakest = all.entry(cite).or_insert(from);
            *weakest = weakest.weaker(from);
        }
    }
    // A table says more than the section that it stands in.
    let tables: BTreeSet<String> = all
        .keys()
        .filter_map(|c| Some(c.strip_prefix("Table ")?.to_owned()))
        .collect();
    all.into_iter()
        .filter(|(c, _)| !tables.contains(c))
        .collect()
}
