//! The work of a sheet, part by part: what lies below ground first, then what stands above it.

use std::collections::{BTreeMap, BTreeSet};

use super::steps::{self, Last};
use super::{CrewPart, Datum, set_out, vents_set_out};
use crate::captions::Trade;
use crate::job::FloorIx;
use crate::levels::bores::{Part, part};
use crate::network::{JointIx, JointKind, PieceIx};
use crate::solve::Work;

/// What is on a sheet, and when it is worked on.
pub struct Ground<'a> {
    /// What it is for.
    pub trade: Trade,
    /// What its levels are measured down from.
    pub datum: &'a Datum,
    /// The numbers of the joints.
    pub numbers: &'a BTreeMap<JointIx, usize>,
    /// Its pipes.
    pub pieces: &'a [PieceIx],
    /// Those of which the upper end stands on another sheet.
    pub cut: &'a BTreeSet<PieceIx>,
    /// What follows it.
    pub last: Last,
}

/// The work of a sheet in its order. What rises above the floor from drains below ground is roughed in
/// later, and measured from the finished floor.
pub fn parts(work: &Work<'_>, ground: &Ground<'_>) -> Vec<CrewPart> {
    let Ground {
        trade,
        datum,
        numbers,
        pieces,
        cut,
        last,
    } = *ground;
    // A benchmark outside serves whoever digs; what stands above the floor is measured from the floor.
    let indoors = |pieces: &[PieceIx]| match datum.is_benchmark {
        true => Datum::of_floor(work.job, floor(work, pieces)),
        false => datum.clone(),
    };
    if trade == Trade::Vents {
        let datum = indoors(pieces);
        return vec![CrewPart {
            set_out: vents_set_out(work, &datum, numbers, pieces, cut),
            datum,
            steps: steps::vents(work, pieces, last),
        }];
    }
    let (below, above): (Vec<PieceIx>, Vec<PieceIx>) =
        (pieces.iter()).partition(|p| part(work.net, **p) == Part::Below);
    let mut parts = Vec::new();
    if !below.is_empty() {
        parts.push(CrewPart {
            datum: datum.clone(),
            set_out: set_out(work, datum, numbers, &below, cut),
            steps: steps::underground(work, &below, last),
        });
    }
    if !above.is_empty() {
        let datum = match below.is_empty() {
            true => indoors(&above),
            false => Datum::of_floor(work.job, floor(work, &above)),
        };
        let set_out = set_out(work, &datum, numbers, &above, cut);
        // A stack that only leaves the sheet is set out on the next.
        if below.is_empty() || !set_out.is_empty() {
            parts.push(CrewPart {
                set_out,
                datum,
                steps: steps::drains(work, &above, last),
            });
        }
    }
    parts
}

/// The floor that some pipes serve: the lowest of their fixtures.
fn floor(work: &Work<'_>, pieces: &[PieceIx]) -> FloorIx {
    let job = work.job;
    let level = |f: &FloorIx| job.floors.get(f.0).map_or(f64::INFINITY, |f| f.level.mm());
    let traps = pieces.iter().filter_map(|p| {
        let from = work.net.from(*p)?;
        match work.net.graph[from].kind {
            JointKind::Trap(t) => job.fixtures.get(work.net.traps.get(t.0)?.fixture)?.floor,
            _ => None,
        }
    });
    let all = (0..job.floors.len()).map(FloorIx);
    let least = |a: FloorIx, b: FloorIx| if level(&b) < level(&a) { b } else { a };
    traps
        .reduce(least)
        .or_else(|| all.reduce(least))
        .unwrap_or(FloorIx(0))
}
