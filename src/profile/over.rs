//! What lies over a drain: slabs, joists, and the ground.

use super::model::{Ground, Over, Pipe};
use crate::job::{Exit, Floor, Lies};
use crate::levels;
use crate::network::PieceIx;
use crate::solve::Work;
use crate::units::{Heading, Length};

/// The floors over a drain from the exit up, each once for all that lies under it in one stretch, as
/// far as lengths are known.
pub(super) fn over(work: &Work<'_>, pieces: &[PieceIx]) -> Vec<Over> {
    let mut all: Vec<Over> = Vec::new();
    let mut from = Length::ZERO;
    for piece in pieces {
        let Some(p) = work.net.graph.edge_weight(*piece) else {
            break;
        };
        for (i, leg) in p.legs.iter().enumerate() {
            if leg.heading.is_some_and(Heading::is_vertical) {
                continue;
            }
            let Some(length) = leg.length else {
                return all;
            };
            let to = from + length;
            let floor = floor(work, *piece, i, (from, to));
            from = to;
            let Some(floor) = floor else { continue };
            match all.last_mut() {
                Some(last) if same(last, &floor) => last.to = floor.to,
                _ => all.push(floor),
            }
        }
    }
    all
}

fn same(a: &Over, b: &Over) -> bool {
    a.floor == b.floor && a.slab == b.slab && a.to.same(b.from)
}

fn floor(
    work: &Work<'_>,
    piece: PieceIx,
    leg: usize,
    (from, to): (Length, Length),
) -> Option<Over> {
    let (lies, ix) = levels::lies(work.job, work.net, piece, leg)?;
    let floor: &Floor = work.job.floors.get(ix.0)?;
    let slab = lies == Lies::UnderSlab;
    let under = match lies {
        Lies::UnderSlab => floor.level - floor.slab?,
        Lies::Wall => return None,
        _ => floor.level - floor.deck.unwrap_or_default() - floor.joists?,
    };
    Some(Over {
        floor: floor.name.clone(),
        from,
        to,
        top: floor.level,
        under,
        slab,
    })
}

/// The ground outside the wall at the exit, and over the far end of the sewer.
pub(super) fn grounds(
    work: &Work<'_>,
    exit: Option<&Exit>,
    pieces: &[PieceIx],
    sewer: Option<&Pipe>,
) -> Vec<Ground> {
    let first = pieces
        .first()
        .and_then(|p| levels::lies(work.job, work.net, *p, 0));
    let floor = first.and_then(|(_, ix)| work.job.floors.get(ix.0));
    let at_wall = floor.and_then(|f| f.grade).map(|level| Ground {
        distance: Length::ZERO,
        level,
    });
    let far = sewer
        .and_then(|p| p.points.first())
        .zip(exit.and_then(|e| e.sewer.as_ref()).and_then(|s| s.grade));
    let far = far.map(|(point, level)| Ground {
        distance: point.distance,
        level,
    });
    far.into_iter().chain(at_wall).collect()
}
