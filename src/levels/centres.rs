//! The middles of pipes where they meet, between which an upright pipe is measured.

use super::bores::Bores;
use super::falls::is_vertical;
use super::legs::length;
use super::model::PieceLevels;
use crate::network::{JointIx, Network, PieceIx, RunKind, Table};
use crate::sizing::Sizing;
use crate::units::Length;

/// The middles of level pipes where they meet upright ones.
pub(super) struct Centres<'a> {
    pub net: &'a Network,
    pub sizing: &'a Sizing,
    pub bores: &'a Bores<'a>,
    pub levels: &'a Table<PieceIx, PieceLevels>,
}

impl Centres<'_> {
    /// The level of the middle of the pipe that an upright one meets at a joint: of the drain that it
    /// stands on, else of the lowest that comes into it there; none where its invert is not known.
    ///
    /// ```text
    /// middle = invert + bore / 2
    /// ```
    pub fn at(&self, joint: JointIx) -> Option<Length> {
        let level = |p: &PieceIx| !is_vertical(self.net, *p);
        if let Some(drain) = self.net.downstream(joint).filter(level) {
            return self.middle(drain, |l| l.invert_up);
        }
        let inlets = self.net.upstream(joint).into_iter().filter(level);
        let middles = inlets.filter_map(|p| self.middle(p, |l| l.invert_down));
        middles.reduce(Length::min)
    }

    fn middle(
        &self,
        piece: PieceIx,
        invert: impl Fn(&PieceLevels) -> Option<Length>,
    ) -> Option<Length> {
        let size = self.sizing.pieces.get(&piece)?.size;
        let invert = invert(self.levels.get(&piece)?)?;
        Some(invert + self.bores.of(piece, size) * 0.5)
    }
}

/// Lengths from middle to middle of the upright pieces whose length follows from the inverts at their
/// ends; what the job states is measured so already.
pub(super) fn uprights(centres: &Centres<'_>) -> Vec<(PieceIx, Length)> {
    let Centres { net, levels, .. } = *centres;
    let follows = |(piece, l): (&PieceIx, &PieceLevels)| {
        let (from, to) = net.graph.edge_endpoints(*piece)?;
        let p = net.graph.edge_weight(*piece)?;
        // Of a stack the job states floors and branches, not what lies between them.
        let stack = net.runs.get(p.run.0)?.kind == RunKind::Stack;
        let stated = length(p).filter(|_| !stack);
        let between = l.invert_up? - l.invert_down?;
        let own = l.length.filter(|own| own.same(between))?;
        let is_stated = stated.is_some_and(|s| s.same(own));
        if is_stated || !is_vertical(net, *piece) {
            return None;
        }
        let whole = centres.at(from)? - centres.at(to)?;
        (whole > Length::ZERO).then_some((*piece, whole))
    };
    levels.iter().filter_map(follows).collect()
}
