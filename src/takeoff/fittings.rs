//! Fittings, from the named junctions.

use std::collections::BTreeMap;

use super::model::FittingLine;
use super::phase::{Phase, at, laid};
use crate::solve::Work;
use crate::units::PipeSize;

/// What a fitting is counted by.
type Kind = (Phase, String, Vec<PipeSize>);

/// Every fitting of the job, by phase, name and sizes.
pub(super) fn fittings(work: &Work<'_>) -> Vec<FittingLine> {
    let mut counted: BTreeMap<Kind, usize> = BTreeMap::new();
    let mut add = |phase, name: &str, sizes: Vec<PipeSize>| {
        *counted.entry((phase, name.to_owned(), sizes)).or_default() += 1;
    };
    for (joint, fitting) in &work.solution.fittings.joints {
        // A new branch in an old drain takes a new fitting; one among old pipes alone is there.
        let Some(first) = at(work.net, *joint).first().copied() else {
            continue;
        };
        let phase = Phase::of(work.net, first);
        for part in bought(&fitting.name) {
            add(phase, part, bought_in(part, &fitting.sizes));
        }
        if let Some((large, small)) = fitting.reducer.filter(|_| fitting.name != REDUCER) {
            add(phase, REDUCER, vec![large, small]);
        }
    }
    for piece in laid(work) {
        let bends = work.solution.fittings.bends.get(&piece);
        let phase = Phase::of(work.net, piece);
        for bend in bends.into_iter().flatten() {
            let sizes = work.size(piece).into_iter().collect();
            add(phase, bought_as(bend), sizes);
        }
    }
    let basins = work.job.basins.len();
    for _ in 0..basins {
        add(
            Phase::Underground,
            "ejector basin with pump, cover and check valve",
            Vec::new(),
        );
    }
    let primed = work.job.fixtures.iter();
    for _ in primed.filter(|f| f.primed_by.is_some() && !f.existing) {
        add(Phase::Drains, "trap primer", Vec::new());
    }
    let line = |((phase, name, sizes), count)| FittingLine {
        phase,
        name,
        sizes,
        count,
    };
    counted.into_iter().map(line).collect()
}

const REDUCER: &str = "reducer";

/// How a fitting lies does not matter at the counter: `wye, rolled` is a wye.
fn bought_as(name: &str) -> &str {
    name.split(',').next().unwrap_or(name)
}

/// The sizes that a part is bought in. Where one pipe only goes on as another, the fitting is of
/// the larger, and the reducer is listed by itself.
fn bought_in(part: &str, sizes: &[PipeSize]) -> Vec<PipeSize> {
    match (part, sizes) {
        (REDUCER, _) => sizes.to_vec(),
        // In line, with a cleanout in its branch.
        ("wye", [a, b]) => vec![*a.max(b); 3],
        (_, [a, b]) => vec![*a.max(b)],
        (_, sizes) => sizes.to_vec(),
    }
}

/// What is bought for a fitting, one or several things.
fn bought(name: &str) -> Vec<&str> {
    match bought_as(name) {
        "closet bend and flange" => vec!["closet bend", "closet flange"],
        "wye with cleanout" => vec!["wye", "cleanout adapter with plug"],
        "cleanout adapter and plug" => vec!["cleanout adapter with plug"],
        "cleanout tee" => vec!["cleanout tee with plug"],
        "two-way cleanout tee" => vec!["two-way cleanout tee", "cleanout adapter with plug"],
        "vent terminal and flashing" => vec!["terminal flashing"],
        plain => vec![plain],
    }
}
