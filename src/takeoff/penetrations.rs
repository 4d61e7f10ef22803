//! What closes and shields the holes.

use std::collections::{BTreeMap, BTreeSet};

use super::model::PenetrationLine;
use super::phase::material;
use crate::catalogue;
use crate::drops::{self, Member};
use crate::levels::outlet_in_floor;
use crate::network::{PieceIx, RunKind};
use crate::solve::Work;
use crate::units::{Length, PipeSize};

/// Holes by material and size of their pipes, and the shield plates beside them.
///
/// Shield plates are counted where the wall of a stack is stated, with the pipe in the middle of
/// its plates: one on each face that the hole comes nearer to than the book's limit, at each plate.
/// Where no wall is stated, or the book has no limit, they are not counted, and it is said how many
/// holes that is; the hole of a fixture whose outlet is in the floor stands in no wall.
pub(super) fn penetrations(work: &Work<'_>) -> Vec<PenetrationLine> {
    let in_no_wall = in_no_wall(work);
    let nearer = work.book.shields().map(|s| s.nearer.value);
    let mut lines: BTreeMap<(&str, Option<PipeSize>), PenetrationLine> = BTreeMap::new();
    for hole in drops::drops(work).holes {
        let made_of = material(work, hole.piece);
        let line = lines.entry((made_of, hole.size));
        let line = line.or_insert_with(|| PenetrationLine {
            material: made_of.to_owned(),
            size: hole.size,
            ..PenetrationLine::default()
        });
        match hole.member {
            Member::Slab { .. } => line.slabs += 1,
            Member::TopPlate { .. } => line.plates += 1,
            Member::Roof { .. } => line.roofs += 1,
            Member::Deck { .. } | Member::Floor { .. } => line.floors += 1,
        }
        let slab = matches!(hole.member, Member::Slab { .. });
        // Iron and steel need no shield.
        if slab || catalogue::is_iron(made_of) || in_no_wall.contains(&hole.piece) {
            continue;
        }
        match (hole.member.plates(), hole.bored, nearer) {
            (Some(plates), Some(bored), Some(nearer)) => {
                let beside = plates.beside(bored);
                let near = beside < nearer && !beside.same(nearer);
                // Where nothing but the top plate is passed, the sole plate is another pipe's.
                let alone = matches!(hole.member, Member::TopPlate { .. });
                let places = usize::from(plates.top) + usize::from(plates.sole && !alone);
                line.shields += if near { 2 * places } else { 0 };
            }
            _ => line.unshielded += 1,
        }
    }
    lines.into_values().collect()
}

/// The arms of fixtures whose outlet is in the floor, and the drops that they flow into: these
/// stand in no wall.
fn in_no_wall(work: &Work<'_>) -> BTreeSet<PieceIx> {
    let net = work.net;
    let mut all = BTreeSet::new();
    for trap in &net.traps {
        let fixture = work.job.fixtures.get(trap.fixture);
        // As the holes have it: an outlet that is stated above the floor may stand in a wall.
        let floor = fixture.and_then(outlet_in_floor) == Some(true);
        let Some(arm) = trap.arm.filter(|_| floor) else {
            continue;
        };
        all.insert(arm);
        let next = net.to(arm).and_then(|j| net.downstream(j));
        let run = next.and_then(|n| net.graph.edge_weight(n)).map(|p| p.run.0);
        let drop = run.and_then(|r| net.runs.get(r));
        let drop = drop.filter(|r| r.kind == RunKind::FixtureDrain);
        all.extend(drop.into_iter().flat_map(|r| &r.pieces));
    }
    all
}

/// The limit that shields are counted by, in words.
pub(super) fn limit(work: &Work<'_>) -> Option<(Length, String)> {
    let rule = &work.book.shields()?.nearer;
    Some((rule.value, rule.cite().to_owned()))
}
