//! The steps of a sheet, in the order of the work: from the lowest pipe up.

use std::collections::BTreeSet;

use super::Step;
use crate::captions::Trade;
use crate::levels::bores::{Part, part};
use crate::network::{JointIx, PieceIx};
use crate::solve::Work;

/// The steps of what is drawn on a sheet beside what is set out; what is done once for all of a floor
/// stands on the `last` of its sheets.
pub fn steps(work: &Work<'_>, trade: Trade, pieces: &[PieceIx], last: bool) -> Vec<Step> {
    let open = |words: String| Step { words, done: false };
    let mut all: Vec<Step> = match trade {
        Trade::Drains => drains_done(work, pieces).into_iter().map(open).collect(),
        Trade::Vents => vec![open("vents drain back: no sags".to_owned())],
    };
    if last {
        let done = match trade {
            Trade::Drains => [
                "check the levels again",
                "plug, fill, test: test sheet",
                "inspection before it is covered",
            ],
            Trade::Vents => [
                "strap, shield plates",
                "plug, fill, test: test sheet",
                "inspection before walls close",
            ],
        };
        all.extend(done.map(|words| open(words.to_owned())));
    }
    all
}

/// The joints of some pipes.
fn joints(work: &Work<'_>, pieces: &[PieceIx]) -> BTreeSet<JointIx> {
    let ends = pieces
        .iter()
        .filter_map(|p| work.net.graph.edge_endpoints(*p));
    ends.flat_map(|(a, b)| [a, b]).collect()
}

/// Primers, bed or supports, and what comes before the work is covered.
fn drains_done(work: &Work<'_>, pieces: &[PieceIx]) -> Vec<String> {
    let Work { net, job, .. } = *work;
    let joints = joints(work, pieces);
    let mut all = Vec::new();
    for trap in &net.traps {
        let here = trap.joint.is_some_and(|j| joints.contains(&j));
        let by = trap.primed_by.and_then(|f| job.fixtures.get(f));
        let own = job.fixtures.get(trap.fixture);
        if let (true, Some(by), Some(own)) = (here, by, own) {
            all.push(format!("primer line to {} from {}", own.name, by.name));
        }
    }
    let below = pieces.iter().any(|p| part(net, *p) == Part::Below);
    all.push(match below {
        true => "bed the whole length, hubs dug out".to_owned(),
        false => "hang and strap".to_owned(),
    });
    all
}
