//! Pipe as it is cut and laid: what rises from below ground is divided at the floor once, for all
//! that counts it.

use super::phase::{Phase, laid, material};
use crate::levels::falls::leg_is_vertical;
use crate::levels::stub;
use crate::network::{NetLeg, PieceIx};
use crate::solve::Work;
use crate::units::Length;

/// What of a pipe is laid in one phase of the work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch<'a> {
    /// The pipe.
    pub piece: PieceIx,
    /// The phase that it is laid in.
    pub phase: Phase,
    /// The material, as the job calls it.
    pub material: &'a str,
    /// From centre to centre, or to the finished floor, if known.
    pub length: Option<Length>,
    /// What of it lies level, and what stands upright, if known.
    pub lies: Option<(Length, Length)>,
    /// Whether it is in place already, as the job says.
    pub placed: bool,
    /// Whether it goes on from its pipe's other stretch, with a coupling.
    pub goes_on: bool,
}

/// Every pipe of the job in its stretches, in the order of the network. One that rises from below ground has
/// two: its stub up to the finished floor, and the rest, if it goes on above. Together they are as long
/// as the pipe; where nobody gave its length, the stub's may be known all the same.
pub(super) fn stretches<'a>(work: &Work<'a>) -> Vec<Stretch<'a>> {
    laid(work).flat_map(|p| divided(work, p)).collect()
}

fn divided<'a>(work: &Work<'a>, piece: PieceIx) -> impl Iterator<Item = Stretch<'a>> {
    let length = work.length(piece);
    let p = work.net.graph.edge_weight(piece);
    let whole = Stretch {
        piece,
        phase: Phase::of(work, piece),
        material: material(work, piece),
        length,
        lies: length.zip(p).and_then(|(all, p)| lies(&p.legs, all)),
        placed: work.mark(piece).is_some(),
        goes_on: false,
    };
    let below = work.size(piece).and_then(|_| stub(work, piece));
    let rest = below.map_or(Some(whole), |below| {
        let less = |all: Length, part| (all - part).max(Length::ZERO);
        let length = length.map(|l| less(l, below.whole()));
        let lies = whole.lies;
        // A cut in no more than rounding of it is none.
        let rest = Stretch {
            length,
            lies: lies.map(|(level, up)| (less(level, below.level), less(up, below.upright))),
            goes_on: true,
            ..whole
        };
        (!length.is_some_and(|l| l.same(Length::ZERO))).then_some(rest)
    });
    let stub = below.map(|below| Stretch {
        phase: Phase::Underground,
        length: Some(length.map_or(below.whole(), |l| l.min(below.whole()))),
        lies: Some((below.level, below.upright)),
        placed: work.stub_mark(piece).is_some(),
        ..whole
    });
    stub.into_iter().chain(rest)
}

/// How much of a pipe lies level, and how much stands upright; none where neither is said.
fn lies(legs: &[NetLeg], whole: Length) -> Option<(Length, Length)> {
    let of = |upright: bool| -> Option<Length> {
        let legs = legs.iter().filter(|l| leg_is_vertical(l) == upright);
        legs.map(|l| l.length).sum()
    };
    // What one kind of legs does not say follows from the other; what is developed of both together is
    // never passed, as where a stack's legs have the fall of its offset in them.
    match (of(false), of(true)) {
        (_, Some(upright)) => {
            let upright = upright.min(whole);
            Some((whole - upright, upright))
        }
        (Some(level), None) => Some((level, (whole - level).max(Length::ZERO))),
        (None, None) => None,
    }
}
