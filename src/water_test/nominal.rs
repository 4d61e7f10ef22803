//! Pipes whose bore nobody knows.

use std::collections::{BTreeMap, BTreeSet};

use super::filling::Pipe;
use crate::catalogue;
use crate::levels::bores::material;
use crate::solve::Work;
use crate::units::PipeSize;

/// Materials and sizes of which the catalogue has no bore, so that the nominal size stands for it.
pub(super) fn nominal(work: &Work<'_>, pipes: &[&Pipe]) -> Vec<(String, Vec<PipeSize>)> {
    let mut all: BTreeMap<&str, BTreeSet<PipeSize>> = BTreeMap::new();
    for pipe in pipes {
        let made_of = material(work.job, work.net, pipe.piece);
        let size = work.size(pipe.piece);
        if let Some(size) = size.filter(|s| catalogue::bore(made_of, *s).is_none()) {
            all.entry(made_of).or_default().insert(size);
        }
    }
    let line = |(made_of, sizes): (&str, BTreeSet<PipeSize>)| {
        (made_of.to_owned(), sizes.into_iter().collect())
    };
    all.into_iter().map(line).collect()
}
