//! Stages 4 to 6 as one loop: sizes depend on falls, falls on sizes.
//!
//! Falls start at what is stated, else preferred, else the book's least. One that does not fit is
//! only ever flattened, a size that then falls short only ever raised, so it ends; only the last
//! round is kept.

use crate::codebook::Book;
use crate::fittings::{self, Fittings};
use crate::job::Job;
use crate::levels::falls::is_vertical;
use crate::levels::{self, Falls, Levels, Round};
use crate::network::{JointIx, Network, PieceIx, System};
use crate::sizing::{Sizer, Sizing};
use crate::units::{Length, PipeSize};

/// Sizes, levels and fittings of one network.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solution {
    /// Stage 4.
    pub sizing: Sizing,
    /// Stage 5.
    pub levels: Levels,
    /// Stage 6.
    pub fittings: Fittings,
}

/// A job worked through.
#[derive(Clone, Copy)]
pub struct Work<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its network.
    pub net: &'a Network,
    /// The code book.
    pub book: &'a Book,
    /// Sizes, levels and fittings.
    pub solution: &'a Solution,
}

impl Work<'_> {
    /// The developed length of a pipe, if it is known.
    pub fn length(&self, piece: PieceIx) -> Option<Length> {
        let levels = &self.solution.levels;
        match self.net.graph.edge_weight(piece)?.system {
            System::Waste => levels.pieces.get(&piece)?.length,
            System::Vent => levels.vents.get(&piece).copied(),
        }
    }

    /// The lowest invert of the level drains that come in at a joint, if known.
    pub fn inlet(&self, joint: JointIx) -> Option<Length> {
        let level = self.net.upstream(joint).into_iter();
        let level = level.filter(|p| !is_vertical(self.net, *p));
        let inverts = level.filter_map(|p| self.solution.levels.pieces.get(&p)?.invert_down);
        inverts.reduce(Length::min)
    }
    /// The chosen size of a pipe.
    pub fn size(&self, piece: PieceIx) -> Option<PipeSize> {
        let sized = self.solution.sizing.pieces.get(&piece)?;
        Some(sized.size)
    }
}

/// Solves a network.
pub fn solve(job: &Job, net: &Network, book: &Book) -> Solution {
    let mut falls = Falls::default();
    let sizer = Sizer::of(job, net, book);
    let (mut sizing, mut drains) = sizer.size(&falls);
    // Each round flattens one fall at least, to the book's least: it ends within as many rounds
    // as there are pieces. That bound is kept, whatever a book says.
    for _ in 0..net.graph.edge_count() {
        let round = Round {
            job,
            net,
            book,
            sizing: &sizing,
            levels: &drains,
        };
        if !levels::flatten(&round, &mut falls) {
            break;
        }
        (sizing, drains) = sizer.size(&falls);
    }
    let levels = levels::levels(job, net, &sizing, drains, sizer.waste());
    let fittings = fittings::fittings(job, net, book, &sizing);
    Solution {
        sizing,
        levels,
        fittings,
    }
}
