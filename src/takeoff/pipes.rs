//! Lengths of pipe.

use std::collections::BTreeMap;

use super::model::{PipeLine, Stock, Uncounted};
use super::phase::Phase;
use super::stretches::stretches;
use crate::catalogue;
use crate::job::Job;
use crate::network::System;
use crate::solve::Work;
use crate::units::{Length, PipeSize};

/// The length that pipe is bought in.
pub(super) fn stock(job: &Job) -> Stock {
    if let Some(length) = job.takeoff.stock_length {
        return Stock {
            length,
            source: None,
        };
    }
    let usual = catalogue::stock_length(job.units);
    Stock {
        length: usual.as_ref().map_or(Length::ZERO, |d| d.value),
        source: usual.map(|d| d.source),
    }
}

/// Pipe of one kind.
#[derive(Default)]
struct Sum {
    pieces: usize,
    net: Length,
    in_place: Length,
    /// The pieces that are not in place.
    cut: Vec<Length>,
}

/// What pipe is counted by.
type Kind<'a> = (Option<Phase>, Option<System>, &'a str, PipeSize);

/// Pipe by phase, system, material and size, then all phases together; and what has no length.
///
/// ```text
/// G = N · (1 + w / 100)
/// ```
///
/// `N` the sum of the pieces from centre to centre, `w` the percent that the job adds for waste. How
/// many lengths it takes: see [`cuts`]. Geometry; no standard is its source.
pub(super) fn pipes(work: &Work<'_>) -> (Vec<PipeLine>, Vec<Uncounted>) {
    let mut counted: BTreeMap<Kind<'_>, Sum> = BTreeMap::new();
    let mut totals: BTreeMap<Kind<'_>, Sum> = BTreeMap::new();
    let mut uncounted = Vec::new();
    let mut unknown: BTreeMap<Kind<'_>, usize> = BTreeMap::new();
    for stretch in stretches(work) {
        let Some(p) = work.net.graph.edge_weight(stretch.piece) else {
            continue;
        };
        let size = work.size(stretch.piece);
        let Some((size, length)) = size.zip(stretch.length) else {
            uncounted.push(Uncounted {
                pipe: p.id.clone(),
                phase: stretch.phase,
                material: stretch.material.to_owned(),
                size,
            });
            if let Some(size) = size {
                let kind = (Some(stretch.phase), Some(p.system), stretch.material, size);
                *unknown.entry(kind).or_default() += 1;
                let kind = (None, None, stretch.material, size);
                *unknown.entry(kind).or_default() += 1;
            }
            continue;
        };
        let add = |to: &mut BTreeMap<_, Sum>, (phase, system)| {
            let sum = to.entry((phase, system, stretch.material, size));
            let sum = sum.or_default();
            sum.pieces += 1;
            sum.net += length;
            if stretch.placed {
                sum.in_place += length;
            } else {
                sum.cut.push(length);
            }
        };
        add(&mut counted, (Some(stretch.phase), Some(p.system)));
        add(&mut totals, (None, None));
    }
    let waste = f64::from(work.job.takeoff.waste.unwrap_or(0));
    let stock = stock(work.job).length;
    let line = |(kind, sum): (Kind<'_>, Sum)| {
        let with_offcuts = |net: Length| net * (1.0 + waste / 100.0);
        PipeLine {
            phase: kind.0,
            system: kind.1,
            material: kind.2.to_owned(),
            size: kind.3,
            pieces: sum.pieces,
            net: sum.net,
            gross: with_offcuts(sum.net),
            lengths: cuts(sum.cut.into_iter().map(with_offcuts), stock),
            in_place: sum.in_place,
            unknown: unknown.get(&kind).copied().unwrap_or_default(),
        }
    };
    let lines = counted.into_iter().chain(totals).map(line).collect();
    uncounted.sort_by(|a, b| a.phase.cmp(&b.phase).then_with(|| a.pipe.cmp(&b.pipe)));
    (lines, uncounted)
}

/// How many lengths of pipe some pieces are cut from.
///
/// A piece longer than one takes whole ones, and its rest is a piece; pieces are cut the longest
/// first, each from the shortest offcut that holds it, else from a new length (best fit, decreasing).
/// The cut itself takes nothing.
pub(super) fn cuts(pieces: impl Iterator<Item = Length>, stock: Length) -> u64 {
    /// What a piece may be longer than an offcut, as sums have it, mm.
    const HAIR: f64 = 1e-6;
    if stock.mm() <= 0.0 {
        return 0;
    }
    let mut lengths = 0;
    let mut rests: Vec<f64> = Vec::new();
    for piece in pieces.filter(|p| p.mm() > 0.0) {
        let full = whole(piece, stock).saturating_sub(1);
        lengths += full;
        rests.push(piece.mm() - full as f64 * stock.mm());
    }
    rests.sort_by(|a, b| b.total_cmp(a));
    // Offcuts by what is left of them, in hairs, and how many are so long.
    let mut left: BTreeMap<i64, usize> = BTreeMap::new();
    let hairs = |mm: f64| (mm / HAIR).round() as i64;
    for rest in rests {
        let need = hairs(rest);
        let found = left.range(need - 1..).next().map(|(l, _)| *l);
        let from = found.unwrap_or_else(|| {
            lengths += 1;
            hairs(stock.mm())
        });
        if found.is_some()
            && let Some(count) = left.get_mut(&from)
        {
            *count -= 1;
            if *count == 0 {
                left.remove(&from);
            }
        }
        *left.entry((from - need).max(0)).or_default() += 1;
    }
    lengths
}

/// So many of a length make up another, at the least.
pub(super) fn whole(length: Length, each: Length) -> u64 {
    if each.mm() <= 0.0 || length.mm() <= 0.0 {
        return 0;
    }
    // A hair over, as sums have it, buys no further length.
    ((length / each) - 1e-6).ceil().max(0.0) as u64
}
