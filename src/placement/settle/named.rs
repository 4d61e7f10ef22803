//! What a label names: stretches of pipe, or a symbol.

use std::collections::BTreeMap;

use kurbo::Point;

use super::cells::distance;
use crate::captions::Captions;
use crate::network::{Network, PieceIx};
use crate::placement::assemble::{PlacedPipe, Placement};
use crate::placement::block::PlacedLabel;
use crate::placement::figures::Figures;
use crate::placement::outline::Outline;
use crate::projection::Space;

/// What is drawn, by what labels call it.
pub(super) struct World<'a> {
    pub(super) net: &'a Network,
    pub(super) captions: &'a Captions,
    pub(super) figures: &'a Figures,
    pub(super) pieces: &'a BTreeMap<usize, PieceIx>,
    /// Placed pipe of each piece.
    pub(super) by_piece: BTreeMap<PieceIx, usize>,
    /// Placed pipes by id and by lettered run.
    pub(super) pipes: BTreeMap<String, Vec<usize>>,
    /// Placed symbols by id.
    pub(super) symbols: BTreeMap<String, Vec<usize>>,
}

/// What a label names: stretches of pipe, and the hull of a symbol.
pub(super) struct Named {
    pub(super) stretches: Vec<(Space, Space)>,
    pub(super) hull: Vec<Point>,
}

impl World<'_> {
    /// What a label names, where it stands.
    pub(super) fn named(&self, placement: &Placement, label: &PlacedLabel) -> Named {
        let caption = &self.captions.all[label.caption];
        // Words that stand by a symbol stay there, and do not wander along its pipes.
        let symbols = self
            .symbols
            .get(&caption.names)
            .map_or(&[][..], Vec::as_slice);
        let is_own = |i: &&usize| {
            let figure = placement.symbols[**i].symbol;
            self.figures.caption(figure, self.captions) == Some(label.caption)
        };
        if let Some(&i) = symbols.iter().find(is_own) {
            return self.symbol_named(placement, i);
        }
        let own = self
            .pieces
            .get(&label.caption)
            .and_then(|p| self.by_piece.get(p));
        let named = self.pipes.get(&caption.names);
        let pipes: &[usize] = match own {
            Some(i) => std::slice::from_ref(i),
            None => named.map_or(&[], Vec::as_slice),
        };
        let mut stretches = Vec::new();
        for &i in pipes {
            stretches.extend(placement.pipes[i].path.windows(2).map(|w| (w[0], w[1])));
        }
        let mut hull = Vec::new();
        if stretches.is_empty() {
            for &i in self
                .symbols
                .get(&caption.names)
                .map_or(&[][..], Vec::as_slice)
            {
                let s = &placement.symbols[i];
                let drawn = self.figures.drawn(s.symbol, s.way);
                hull.extend(drawn.hull.iter().map(|p| *p + s.at.to_vec2()));
            }
        }
        Named { stretches, hull }
    }

    /// The pipe that ends at a fixture; any other symbol itself.
    fn symbol_named(&self, placement: &Placement, i: usize) -> Named {
        let s = &placement.symbols[i];
        let figure = &self.figures.all[s.symbol];
        let ends = |p: &&PlacedPipe| {
            figure.stands.is_trap_of(self.net) && self.net.from(p.piece) == Some(figure.joint)
        };
        let arm = placement.pipes.iter().find(ends);
        let last = arm.and_then(|p| p.path.windows(2).last());
        let drawn = self.figures.drawn(s.symbol, s.way);
        let hull = drawn.hull.iter().map(|p| *p + s.at.to_vec2());
        Named {
            stretches: last.map(|w| (w[0], w[1])).into_iter().collect(),
            hull: hull.filter(|_| last.is_none()).collect(),
        }
    }

    /// Whether a label stands near enough to what it names to need no leader.
    pub(super) fn near(&self, placement: &Placement, label: &PlacedLabel, own: &[Outline]) -> bool {
        let named = self.named(placement, label);
        let lines: Vec<(Point, Point)> = named
            .stretches
            .iter()
            .map(|(a, b)| (a.point(), b.point()))
            .collect();
        own.iter().any(|o| {
            let mut all = lines
                .iter()
                .map(|(a, b)| distance(o, *a, *b))
                .collect::<Vec<_>>();
            for i in 0..named.hull.len() {
                all.push(distance(
                    o,
                    named.hull[i],
                    named.hull[(i + 1) % named.hull.len()],
                ));
            }
            all.into_iter().any(|d| d < 3.6)
        })
    }
}
