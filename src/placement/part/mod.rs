//! What one sheet shows, as a network of its own: the drains of its shares, the vents that belong
//! to them, and the ends of what goes on on other sheets. Placement works on parts only, so what a
//! sheet costs does not depend on how large the building is.

mod beside;
mod build;
mod gaps;
mod gather;

use std::collections::BTreeMap;
use std::sync::Arc;

use self::build::Builder;
pub use self::gaps::Gap;
use self::gather::Cutter;
use super::assemble::{PlacedPipe, Placement};
use super::bands::Bands;
use super::block::{PlacedLabel, PlacedSymbol};
use super::columns::Base;
use super::figures::Figures;
use super::lengths::Lengths;
use super::share::Share;
use super::view::Left;
use super::ways::{LegWay, Ways};
use crate::captions::{Caption, Captions};
use crate::job::{FloorIx, Job};
use crate::network::{JointIx, Network, PieceIx, RunIx};

/// What one sheet shows.
pub struct Part {
    /// Its network, with indices of its own.
    pub net: Network,
    /// What is looked up in it once.
    pub base: Base,
    /// The ways of its drains.
    pub ways: Ways,
    /// The way in which the branches that each riser serves leave their stack, and their lane.
    pub riser_ways: BTreeMap<RunIx, LegWay>,
    /// Its words; lists of words are those of the whole.
    pub captions: Captions,
    /// Its symbols, with indices of their own.
    pub figures: Figures,
    /// Where its drawing begins: exits and cuts.
    pub roots: Vec<JointIx>,
    /// The first of the runs that are not drawn, which come last: they hold in place what comes up
    /// from other sheets.
    pub hidden: Option<RunIx>,
    /// The floors of its bands, lowest first; floors are counted from its first one.
    pub floors: Vec<FloorIx>,
    /// Those of its floors that stand for several.
    pub gaps: Vec<Gap>,
    /// What its floors are counted from.
    pub first_floor: usize,
    /// What its pieces, joints and symbols are in the whole; none for what it has by itself.
    pieces: Vec<Option<PieceIx>>,
    joints: Vec<Option<JointIx>>,
    runs: Vec<RunIx>,
    symbols: Vec<usize>,
    words: Vec<usize>,
}

/// The whole drawing, of which parts are made.
pub struct Whole<'a> {
    /// Its network.
    pub net: &'a Network,
    /// What is looked up in it once.
    pub base: &'a Base,
    /// The ways of its drains from the corner in force.
    pub ways: &'a Ways,
    /// Its words.
    pub captions: &'a Captions,
    /// Its symbols.
    pub figures: &'a Figures,
    /// Where it is cut by floors.
    pub bands: &'a Bands,
    /// What is left out of it.
    pub left: &'a Left,
    /// Its job.
    pub job: &'a Job,
}

impl Part {
    /// The part that some shares make up.
    pub fn of(whole: &Whole<'_>, shares: &[Share]) -> Part {
        let mut cutter = Cutter::new(whole);
        for share in shares {
            cutter.gather(share);
        }
        cutter.take_vents();
        let bits = cutter.bits();
        let mut builder = Builder::new(&cutter, &bits);
        builder.rename();
        for bit in bits {
            builder.bit(bit);
        }
        builder.finish(shares)
    }

    /// The joints of the whole that stand in the part that some shares make up.
    pub fn joints_of(whole: &Whole<'_>, shares: &[Share]) -> Vec<JointIx> {
        let mut cutter = Cutter::new(whole);
        for share in shares {
            cutter.gather(share);
        }
        cutter.take_vents();
        cutter.joints.into_keys().collect()
    }

    /// The same with other words.
    pub fn lettered(&self, job: &Job, captions: &Captions) -> Captions {
        let own = self.words.iter().map(|i| Arc::clone(&captions.all[*i]));
        let mut floors = floors_of(captions, self.first_floor, self.captions.floors.len());
        named_gaps(&mut floors, job, self.gaps.iter(), self.first_floor);
        Captions {
            all: own.collect(),
            floors,
            ..self.captions.clone()
        }
    }

    /// Whether a floor of it stands for several.
    pub fn is_gap(&self, floor: FloorIx) -> bool {
        self.gaps.iter().any(|g| g.first == self.floor(floor))
    }

    /// A piece in the names of the whole; none of what the part has by itself.
    pub fn piece(&self, piece: PieceIx) -> Option<PieceIx> {
        self.pieces.get(piece.index()).copied().flatten()
    }
    /// What a run of it is in the whole; none for one that is not drawn.
    pub fn run(&self, run: RunIx) -> Option<RunIx> {
        self.runs.get(run.0).copied()
    }

    /// What a floor of it is in the job.
    pub fn floor(&self, floor: FloorIx) -> FloorIx {
        FloorIx(floor.0 + self.first_floor)
    }

    /// A placement of it, in the names of the whole.
    pub fn named(&self, placement: Placement) -> Placement {
        let joint = |j: &JointIx| self.joints.get(j.index()).copied().flatten();
        let symbol = |s: PlacedSymbol| {
            let symbol = *self.symbols.get(s.symbol)?;
            Some(PlacedSymbol { symbol, ..s })
        };
        let pipes = placement.pipes.into_iter().filter_map(|mut p| {
            p.piece = self.piece(p.piece)?;
            Some(p)
        });
        let labels = placement.labels.into_iter().filter_map(|mut l| {
            l.caption = *self.words.get(l.caption)?;
            Some(l)
        });
        let keyed = placement.keyed.into_iter().filter_map(|mut k| {
            k.label.caption = *self.words.get(k.label.caption)?;
            Some(k)
        });
        let keyed = keyed.collect();
        let symbols = placement.symbols.into_iter().filter_map(symbol);
        // In the order of the whole again.
        let mut pipes: Vec<PlacedPipe> = pipes.collect();
        pipes.sort_by_key(|p| p.piece);
        let mut labels: Vec<PlacedLabel> = labels.collect();
        labels.sort_by_key(|l| l.caption);
        let mut symbols: Vec<PlacedSymbol> = symbols.collect();
        symbols.sort_by_key(|s| s.symbol);
        let marks = placement.marks.into_iter().map(|mut m| {
            m.floor = m.floor.map(|f| self.floor(f));
            m
        });
        Placement {
            joints: placement.joints.iter().filter_map(joint).collect(),
            labels,
            keyed,
            marks: marks.collect(),
            pipes,
            symbols,
            lengths: Lengths {
                heights: placement.lengths.heights.renamed(|f| self.floor(f)),
                scale: placement.lengths.scale,
            },
            ..placement
        }
    }
}

/// Puts the words of floors that stand for several into those of a part.
fn named_gaps<'a>(
    floors: &mut [Arc<Caption>],
    job: &Job,
    gaps: impl Iterator<Item = &'a Gap>,
    first: usize,
) {
    for gap in gaps {
        if let Some(caption) = floors.get_mut(gap.first.0.saturating_sub(first)) {
            *caption = gap.caption(job, caption);
        }
    }
}

/// The words of some floors of the whole from a first on, and of the roof, so many in all.
fn floors_of(whole: &Captions, first: usize, count: usize) -> Vec<Arc<Caption>> {
    let own = whole
        .floors
        .iter()
        .skip(first)
        .take(count.saturating_sub(1));
    own.chain(whole.floors.last()).map(Arc::clone).collect()
}
