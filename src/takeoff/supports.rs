//! Hangers, by the code's spacing.

use std::collections::BTreeMap;

use super::model::{Rest, SupportLine};
use super::phase::Phase;
use super::pipes::whole;
use super::stretches::stretches;
use crate::catalogue;
use crate::codebook::Found;
use crate::levels::falls::leg_is_vertical;
use crate::network::RunIx;
use crate::solve::Work;
use crate::units::{Length, PipeSize};

/// A run in one size, as far as it is hung at once: what is in place and what is not are hung apart.
type Hung<'a> = (&'a str, PipeSize, RunIx, bool);

/// Hangers of everything above ground whose length is known: pipe below ground lies on its bed.
///
/// Each run takes as many as its length in one size needs, one at the least; level and upright
/// pipe each by its own distance. What turns up at 45 degrees counts as level.
pub(super) fn supports(work: &Work<'_>) -> Vec<SupportLine> {
    let mut runs: BTreeMap<Hung<'_>, (Length, Length)> = BTreeMap::new();
    let mut unknown: BTreeMap<(&str, PipeSize), (usize, usize)> = BTreeMap::new();
    for stretch in stretches(work) {
        if stretch.phase == Phase::Underground {
            continue;
        }
        let piece = work.net.graph.edge_weight(stretch.piece);
        let Some((p, size)) = piece.zip(work.size(stretch.piece)) else {
            continue;
        };
        let Some((level, upright)) = stretch.lies else {
            let any = |upright| p.legs.iter().any(|l| leg_is_vertical(l) == upright);
            let sum = unknown.entry((stretch.material, size)).or_default();
            sum.0 += usize::from(any(false));
            sum.1 += usize::from(any(true));
            continue;
        };
        let sum = runs.entry((stretch.material, size, p.run, stretch.placed));
        let sum = sum.or_default();
        sum.0 += level;
        sum.1 += upright;
    }
    let mut lines: BTreeMap<(&str, PipeSize), (Rest, Rest)> = BTreeMap::new();
    for ((made_of, size, _, placed), (level, upright)) in runs {
        let known = catalogue::material(made_of).and_then(|m| work.book.supports(m, size));
        let line = lines.entry((made_of, size)).or_default();
        let spacing = known.map_or((None, None), |s| (Some(s.level), Some(s.upright)));
        add(&mut line.0, level, spacing.0, placed);
        add(&mut line.1, upright, spacing.1, placed);
    }
    for (kind, (level, upright)) in unknown {
        // What has no length at all is listed with what is not counted.
        if let Some(line) = lines.get_mut(&kind) {
            line.0.unknown = level;
            line.1.unknown = upright;
        }
    }
    let line = |((made_of, size), (level, upright)): ((&str, PipeSize), _)| SupportLine {
        material: made_of.to_owned(),
        size,
        level,
        upright,
    };
    lines.into_iter().map(line).collect()
}

fn add(rest: &mut Rest, length: Length, apart: Option<Found<Length>>, placed: bool) {
    rest.length += length;
    if let Some(apart) = &apart {
        let count = whole(length, apart.value);
        rest.count += count;
        rest.in_place += if placed { count } else { 0 };
    }
    rest.apart = apart;
}

/// What the book notes of hangers beside their distances, in its own words, but for notes of cast iron
/// where there is none; nothing where none of its distances is used.
pub(super) fn noted(work: &Work<'_>, lines: &[SupportLine]) -> Vec<String> {
    let used = |r: &Rest| r.apart.is_some();
    let mut used = lines.iter().filter(|l| used(&l.level) || used(&l.upright));
    if used.clone().next().is_none() {
        return Vec::new();
    }
    let iron = used.any(|l| catalogue::is_iron(&l.material));
    let notes = work.book.notes_of("supports").iter();
    let fit = notes.filter(|n| iron || !n.to_lowercase().contains("cast iron"));
    fit.cloned().collect()
}
