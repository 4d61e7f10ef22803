//! The pipes of a section, leg by leg.

use super::model::{Pipe, Point};
use crate::levels::{self, Bores};
use crate::network::{NetLeg, PieceIx, piece_called};
use crate::solve::Work;
use crate::units::{Heading, Length};

/// How far a leg goes in plan; none where its length is not known.
fn across(leg: &NetLeg) -> Option<Length> {
    match leg.heading.is_some_and(Heading::is_vertical) && !leg.rises_45 {
        true => Some(Length::ZERO),
        false => leg.length,
    }
}

/// The pipes of a drain from the exit up, as far as their lengths and inverts are known, and why not
/// farther.
pub(super) fn up(
    work: &Work<'_>,
    bores: &Bores<'_>,
    pieces: &[PieceIx],
) -> (Vec<Pipe>, Option<String>) {
    let mut pipes = Vec::with_capacity(pieces.len());
    let mut from = Length::ZERO;
    for piece in pieces {
        match pipe(work, bores, *piece, from) {
            Ok(pipe) => {
                from = pipe.points.last().map_or(from, |p| p.distance);
                pipes.push(pipe);
            }
            Err(why) => return (pipes, Some(why)),
        }
    }
    (pipes, None)
}

/// The sewer beyond the exit, if its length and its fall are known.
pub(super) fn beyond(
    work: &Work<'_>,
    bores: &Bores<'_>,
    sewer: Option<PieceIx>,
) -> (Vec<Pipe>, Option<String>) {
    let Some(sewer) = sewer else {
        return (Vec::new(), None);
    };
    let long = work
        .net
        .graph
        .edge_weight(sewer)
        .map(|p| p.legs.iter().map(across));
    let long = long.and_then(|legs| legs.sum::<Option<Length>>());
    match pipe(work, bores, sewer, -long.unwrap_or(Length::ZERO)) {
        Ok(pipe) => (vec![pipe], None),
        Err(why) => {
            let invert = why.starts_with("the invert");
            let tap = "the level of the sewer's tap is not known".to_owned();
            (Vec::new(), Some(if invert { tap } else { why }))
        }
    }
}

/// A pipe whose lower end stands so far up.
fn pipe(work: &Work<'_>, bores: &Bores<'_>, piece: PieceIx, from: Length) -> Result<Pipe, String> {
    let net = work.net;
    let unknown = |what: &str| format!("{what} of the {} is not known", piece_called(net, piece));
    let p = net
        .graph
        .edge_weight(piece)
        .ok_or_else(|| unknown("the way"))?;
    let level = work.solution.levels.pieces.get(&piece);
    let level = level.ok_or_else(|| unknown("the level"))?;
    let size = work.size(piece);
    let size = size.ok_or_else(|| unknown("the size"))?;
    if p.legs.iter().any(|l| l.length.is_none()) {
        return Err(unknown("the length"));
    }
    let mut points = Vec::with_capacity(p.legs.len() + 1);
    let mut distance = from;
    for (leg, ends) in p.legs.iter().zip(levels::inverts(p, level)) {
        let (low, high) = ends.ok_or_else(|| unknown("the invert"))?;
        if points.is_empty() {
            points.push(Point {
                distance,
                invert: low,
            });
        }
        distance += across(leg).ok_or_else(|| unknown("the length"))?;
        points.push(Point {
            distance,
            invert: high,
        });
    }
    let joint = |j: Option<crate::network::JointIx>| {
        let joint = j.and_then(|j| net.graph.node_weight(j));
        joint.map_or_else(String::new, |j| j.id.clone())
    };
    let wall = bores.wall(piece, size);
    Ok(Pipe {
        id: p.id.clone(),
        run: net
            .runs
            .get(p.run.0)
            .map_or_else(String::new, |r| r.id.clone()),
        joints: [joint(net.from(piece)), joint(net.to(piece))],
        state: p.state,
        size,
        fall: level.fall,
        length: level.length,
        high: bores.of(piece, size) + wall,
        outside: bores.top(piece, size).is_some(),
        wall,
        points,
    })
}

/// How far along the section a station of its drain is, on this pipe of it.
pub(super) fn at_station(
    work: &Work<'_>,
    pieces: &[PieceIx],
    of: PieceIx,
    station: Length,
) -> Option<Length> {
    let (mut developed, mut distance) = (Length::ZERO, Length::ZERO);
    for piece in pieces {
        let p = work.net.graph.edge_weight(*piece)?;
        for leg in &p.legs {
            let long = levels::developed(leg)?;
            let across = across(leg)?;
            if *piece == of && station <= developed + long + Length::from_mm(1.0) {
                let part = (station - developed).max(Length::ZERO);
                return Some(distance + part.min(across));
            }
            developed += long;
            distance += across;
        }
    }
    None
}
