//! Hangers, by the code's spacing.

use std::collections::BTreeMap;

use super::model::{Rest, SupportLine};
use super::phase::{Phase, laid, material};
use super::pipes::whole;
use crate::catalogue;
use crate::levels::falls::leg_is_vertical;
use crate::network::RunIx;
use crate::solve::Work;
use crate::units::{Length, PipeSize};

/// Hangers of everything above ground whose length is known: pipe below ground lies on its bed.
///
/// Each run takes as many as its length in one size needs, one at the least; level and upright
/// pipe each by its own distance. What turns up at 45 degrees counts as level.
pub(super) fn supports(work: &Work<'_>) -> Vec<SupportLine> {
    let mut runs: BTreeMap<(&str, PipeSize, RunIx), (Length, Length)> = BTreeMap::new();
    for piece in laid(work).filter(|p| Phase::of(work, *p) != Phase::Underground) {
        let Some((p, size)) = work.net.graph.edge_weight(piece).zip(work.size(piece)) else {
            continue;
        };
        let Some(whole) = work.length(piece) else {
            continue;
        };
        let upright: Option<Length> = p
            .legs
            .iter()
            .filter(|l| leg_is_vertical(l))
            .map(|l| l.length)
            .sum();
        let level: Option<Length> = p
            .legs
            .iter()
            .filter(|l| !leg_is_vertical(l))
            .map(|l| l.length)
            .sum();
        // What one kind of legs does not say follows from the other; what is developed of both
        // together is never passed, as where a stack's legs have the fall of its offset in them.
        let (level, upright) = match (level, upright) {
            (_, Some(upright)) => {
                let upright = upright.min(whole);
                (whole - upright, upright)
            }
            (Some(level), None) => (level, (whole - level).max(Length::ZERO)),
            (None, None) => continue,
        };
        let sum = runs.entry((material(work, piece), size, p.run));
        let sum = sum.or_default();
        sum.0 += level;
        sum.1 += upright;
    }
    let mut lines: BTreeMap<(&str, PipeSize), (Rest, Rest)> = BTreeMap::new();
    for ((made_of, size, _), (level, upright)) in runs {
        let known = catalogue::material(made_of).and_then(|m| work.book.supports(m, size));
        let line = lines.entry((made_of, size)).or_default();
        let spacing = known.map_or((None, None), |s| (Some(s.level), Some(s.upright)));
        add(&mut line.0, level, spacing.0);
        add(&mut line.1, upright, spacing.1);
    }
    let line = |((made_of, size), (level, upright)): ((&str, PipeSize), _)| SupportLine {
        material: made_of.to_owned(),
        size,
        level,
        upright,
    };
    lines.into_iter().map(line).collect()
}

fn add(rest: &mut Rest, length: Length, apart: Option<crate::codebook::Found<Length>>) {
    rest.length += length;
    if let Some(apart) = &apart {
        rest.count += whole(length, apart.value);
    }
    rest.apart = apart;
}
