//! Where the joints of the drains stand in plan, as far as the job says it.

use std::collections::BTreeMap;

use super::draft::spots;
use super::model::{JointIx, JointKind, NetLeg, Network, PieceIx, RunKind};
use super::plan::{Point, exit_at, go, point_at};
use super::table::Table;
use crate::job::Job;
use crate::units::Length;

/// Plan positions of the joints of the drains, east and north of plan zero.
///
/// Legs are walked from the exits up; a stated station or plan position goes before what is
/// walked. What lies beyond a leg whose heading or length nobody states, and before the next place
/// that is stated, has none: nothing is guessed. Vents stand over joints of the drains
/// ([`Column`](super::model::Column)).
///
/// Complexity: linear in pieces and in what enters the runs.
pub fn positions(job: &Job, net: &Network) -> Table<JointIx, (Length, Length)> {
    let stated = stations(net);
    let mut at: Table<JointIx, Point> = Table::new();
    let mut ready: Vec<JointIx> = Vec::new();
    for (i, &exit) in net.exits.iter().enumerate() {
        if let Some(place) = exit_at(job, i) {
            at.insert(exit, place);
        }
        ready.push(exit);
    }
    let basin = |j: &JointIx| net.graph[*j].kind == JointKind::Basin;
    ready.extend(net.graph.node_indices().filter(basin));
    // A network without circles ends; the bound is for one with.
    let mut left = net.graph.edge_count() + ready.len();
    while let Some(joint) = ready.pop() {
        if left == 0 {
            break;
        }
        left -= 1;
        for piece in net.upstream(joint) {
            let (Some(up), Some(p)) = (net.from(piece), net.graph.edge_weight(piece)) else {
                continue;
            };
            // A pumped discharge leads to a basin, which was a start of its own.
            if basin(&up) {
                continue;
            }
            let first = net.runs.get(p.run.0).and_then(|r| r.pieces.first()) == Some(&piece);
            let drafted = net.draft.runs.get(p.run.0).filter(|_| first);
            let start = drafted.and_then(|r| r.origin).or(at.get(&joint).copied());
            let own = match net.graph[up].kind {
                JointKind::Trap(t) => {
                    let fixture = net.traps.get(t.0).and_then(|t| job.fixtures.get(t.fixture));
                    fixture.and_then(|f| f.at)
                }
                _ => None,
            };
            let said = || stated.get(net.graph[up].id.as_str()).copied();
            let walked = || walk(start?, &p.legs).last().copied();
            if let Some(place) = own.or_else(said).or_else(walked) {
                at.insert(up, place);
            }
            ready.push(up);
        }
    }
    at
}

/// Places of joints whose stations on their runs are stated, by the id of the joint.
fn stations(net: &Network) -> BTreeMap<String, Point> {
    let mut known = BTreeMap::new();
    for run in net.draft.runs.iter().filter(|r| r.kind != RunKind::Stack) {
        let Some(origin) = run.origin else { continue };
        for spot in spots(run) {
            let Some(station) = spot.station else {
                continue;
            };
            if let Some((place, _)) = point_at(origin, &run.legs, station) {
                known.insert(format!("{}.{}", run.id, spot.name), place);
            }
        }
    }
    known
}

/// The ends of legs in plan, one after the other; it stops at the first whose way is not known.
pub fn walk(start: (Length, Length), legs: &[NetLeg]) -> Vec<(Length, Length)> {
    let mut at = start;
    let mut ends = Vec::with_capacity(legs.len());
    for leg in legs {
        let next = match (leg.heading, leg.length) {
            (Some(h), _) if h.is_vertical() => Some(at),
            (Some(h), Some(l)) => Some(go(at, h, l)),
            (None, Some(l)) if l.same(Length::ZERO) => Some(at),
            _ => None,
        };
        let Some(next) = next else {
            // What stops is not the end of the legs.
            return Vec::new();
        };
        at = next;
        ends.push(at);
    }
    ends
}

/// The piece beyond which nothing is known of a joint's place: walking down from it, the first
/// that leads to a place that is known, or else the last before the end.
pub fn unplaced_by(
    net: &Network,
    at: &Table<JointIx, (Length, Length)>,
    joint: JointIx,
) -> Option<PieceIx> {
    let (mut here, mut last) = (joint, None);
    for _ in 0..=net.graph.edge_count() {
        if at.contains_key(&here) {
            break;
        }
        let Some(piece) = net.downstream(here) else {
            break;
        };
        last = Some(piece);
        let Some(next) = net.to(piece) else { break };
        here = next;
    }
    last
}
