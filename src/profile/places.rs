//! The places along a section: those of the level table, and the sewer's far end.

use super::model::{Ground, Over, Pipe, Place, Point};
use super::words;
use crate::levels::{Bores, Station, bounds};
use crate::network::PieceIx;
use crate::solve::Work;
use crate::units::{Length, Printer};

/// The places of the drain of an exit, from the far end of its sewer up.
pub(super) fn places(
    work: &Work<'_>,
    bores: &Bores<'_>,
    (exit, run): (usize, &str),
    beyond: &[Pipe],
    pipes: &[Pipe],
    over: &[Over],
    grounds: &[Ground],
) -> Vec<Place> {
    let tap = beyond.first().and_then(|p| Some((p, *p.points.first()?)));
    let to = work.job.exits.get(exit).and_then(|e| e.to.clone());
    let tap = tap.map(|(pipe, point)| far_end(pipe, point, to.as_deref(), grounds));
    let joint = work.net.exits.get(exit).copied();
    let stations = work
        .solution
        .levels
        .stations
        .iter()
        .filter(|s| s.run == run);
    let places = stations.map(|s| {
        let at_exit = Some(s.joint) == joint;
        let point = point(work, pipes, s, at_exit);
        let size = work.size(s.piece);
        let high = size.and_then(|size| bores.top(s.piece, size));
        let top = s.invert.zip(high).map(|(invert, high)| invert + high);
        let above = match at_exit {
            true => grounds
                .iter()
                .find(|g| g.distance == Length::ZERO)
                .map(|g| g.level),
            // What has risen out of the ground has no cover.
            false => point
                .filter(|_| !rises(pipes, point))
                .and_then(|p| under(over, p.distance)),
        };
        // Where another pipe comes in along the drain its invert is a figure of its own.
        let (below, above_it) = match at_exit {
            true => (None, None),
            false => meeting(work, pipes, s),
        };
        let invert_in = above_it.and_then(|p| p.points.first()).map(|p| p.invert);
        let print = Printer {
            units: work.job.units,
        };
        let differs = |at: &Length| s.invert.is_some_and(|own| (own - *at).abs() > FINE);
        let mut what = words::place(work, s, at_exit);
        if let (Some(below), Some(above)) = (below, above_it)
            && below.size != above.size
        {
            let sizes = format!("{} to {}", print.size(below.size), print.size(above.size));
            if !what.contains(&sizes) {
                what = format!("{what}, {sizes}");
            }
        }
        Place {
            what,
            invert_in: invert_in.filter(differs),
            station: s.station,
            distance: point.map(|p| p.distance),
            invert: s.invert,
            top,
            cover: above.zip(top).map(|(above, top)| above - top),
            room: s.room.map(|r| r.spare),
            held: s.room.map(|r| bounds::brief(work.job, work.net, r.bound)),
            size,
            fall: fall(work, s.piece),
            missing: s.missing.clone(),
        }
    });
    tap.into_iter().chain(places).collect()
}

/// Finer than any figure of a section.
const FINE: Length = Length::from_mm(0.1);

/// The pipes that meet along the drain at a place: the one that leaves it downstream, and the one
/// that comes in.
fn meeting<'p>(
    work: &Work<'_>,
    pipes: &'p [Pipe],
    s: &Station,
) -> (Option<&'p Pipe>, Option<&'p Pipe>) {
    let id = work.net.graph.edge_weight(s.piece).map(|p| p.id.as_str());
    let at = pipes.iter().position(|p| Some(p.id.as_str()) == id);
    let pipe = |i: usize| pipes.get(i);
    (at.and_then(pipe), at.and_then(|i| pipe(i + 1)))
}

/// Whether a pipe ends here that comes up from below.
fn rises(pipes: &[Pipe], at: Option<Point>) -> bool {
    pipes.iter().any(|p| match p.points.as_slice() {
        [.., foot, head] => Some(*head) == at && foot.distance == head.distance,
        _ => false,
    })
}

fn fall(work: &Work<'_>, piece: PieceIx) -> Option<crate::units::Fall> {
    work.solution.levels.pieces.get(&piece)?.fall
}

/// Where a place of the level table stands: the upper end of its pipe, or the exit.
fn point(work: &Work<'_>, pipes: &[Pipe], s: &Station, at_exit: bool) -> Option<Point> {
    let id = &work.net.graph.edge_weight(s.piece)?.id;
    let pipe = pipes.iter().find(|p| p.id == *id)?;
    match at_exit {
        true => pipe.points.first().copied(),
        false => pipe.points.last().copied(),
    }
}

/// The underside of the slab over a place. Where one ends the lower of the two counts.
fn under(over: &[Over], at: Length) -> Option<Length> {
    let fine = Length::from_mm(1.0);
    let here = over
        .iter()
        .filter(|o| o.slab && o.from <= at + fine && at <= o.to + fine);
    here.map(|o| o.under).min_by(Length::total_cmp)
}

/// The far end of a sewer.
fn far_end(pipe: &Pipe, point: Point, to: Option<&str>, grounds: &[Ground]) -> Place {
    let top = pipe.outside.then(|| point.invert + pipe.high);
    let ground = grounds.iter().find(|g| g.distance == point.distance);
    Place {
        what: to.unwrap_or("end of the sewer").to_owned(),
        station: None,
        distance: Some(point.distance),
        invert: Some(point.invert),
        invert_in: None,
        top,
        cover: ground.zip(top).map(|(g, top)| g.level - top),
        room: None,
        held: None,
        size: Some(pipe.size),
        fall: pipe.fall,
        missing: None,
    }
}
