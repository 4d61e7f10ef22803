//! Where the words of a pipe hold the length of all of it, they stand on one of its stretches only: on
//! each of two they would be read as the length of each.

use std::collections::BTreeMap;

use kurbo::Point;

use super::covers;
use super::named::World;
use crate::network::System;
use crate::placement::assemble::Placement;
use crate::placement::block::PlacedLabel;

/// Keeps of the labels of each vent the one on its longest stretch.
pub(super) fn keep(placement: &mut Placement, world: &World<'_>) {
    // By caption: the label that is kept, and how long its stretch is.
    let mut best: BTreeMap<usize, (usize, f64)> = BTreeMap::new();
    for (i, label) in placement.labels.iter().enumerate() {
        let Some(long) = stretch(placement, world, label) else {
            continue;
        };
        let kept = best.entry(label.caption).or_insert((i, long));
        if long > kept.1 {
            *kept = (i, long);
        }
    }
    let mut i = 0;
    placement.labels.retain(|label| {
        i += 1;
        best.get(&label.caption)
            .is_none_or(|(kept, _)| *kept == i - 1)
    });
}

/// How long the stretch of a vent is that its label stands nearest to; none for labels of other things.
fn stretch(placement: &Placement, world: &World<'_>, label: &PlacedLabel) -> Option<f64> {
    let piece = world.pieces.get(&label.caption)?;
    let vent = world.net.graph.edge_weight(*piece)?.system == System::Vent;
    let pipe = placement.pipes.get(*world.by_piece.get(piece)?)?;
    let words = world.captions.all.get(label.caption)?;
    let ink = covers(words, label.at, label.slant, label.flush);
    let at = ink.first()?.bounds().center();
    let ways = pipe.path.windows(2).map(|w| (w[0].point(), w[1].point()));
    let near = |(a, b): &(Point, Point)| (a.midpoint(*b) - at).hypot();
    let nearest = ways.min_by(|a, b| near(a).total_cmp(&near(b)))?;
    vent.then(|| (nearest.1 - nearest.0).hypot())
}
