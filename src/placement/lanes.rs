//! Which way each pipe leaves its stack, and in which lane. All that shares a riser leaves the
//! stack the same way, in one lane; what would lie over it, or whose vents would, has a lane of
//! its own beside it.

use std::collections::{BTreeMap, BTreeSet};

use super::columns::{Base, joint_under};
use crate::job::FloorIx;
use crate::network::{JointIx, Network, PieceIx, RunIx, RunKind};
use crate::projection::Way;

/// How a pipe leaves its stack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lane {
    /// The way that it leads.
    pub way: Way,
    /// 0 for a lane in line with the stack; others lie beside it.
    pub number: u8,
}

/// Pipes that leave a stack in one lane.
struct Class {
    pieces: Vec<PieceIx>,
    floors: BTreeSet<Option<FloorIx>>,
    /// Whether their vents lead to the stack's own vent: by a riser, or on its highest floor.
    meets: bool,
    stated: Option<Way>,
    lane: Option<Lane>,
}

impl Class {
    /// Whether two cannot share a lane.
    fn conflicts(&self, other: &Class) -> bool {
        (self.meets && other.meets) || !self.floors.is_disjoint(&other.floors)
    }
}

/// The lanes of all pipes that enter a stack and do not rise from it. `stated` gives the way of a
/// pipe whose heading the job states, `level` is the way of the drain below the stack.
pub fn of_stack(
    net: &Network,
    base: &Base,
    stack: RunIx,
    level: Way,
    stated: impl Fn(PieceIx) -> Option<Way>,
) -> BTreeMap<PieceIx, Lane> {
    let mut classes = classes(net, base, stack, &stated);
    let back = match level.parallel_on_paper(Way::Y) {
        true => Way::X,
        false => Way::Y,
    };
    // Branches lead away from the viewer, where a storey is no higher for them.
    let aside = match level.recedes() {
        true => level,
        false => level.reversed(),
    };
    let branch = [back, aside];
    let arm = [back, back.reversed()];
    let mut order: Vec<usize> = (0..classes.len()).collect();
    order.sort_by_key(|&c| classes[c].stated.is_none());
    for c in order {
        let own = &classes[c];
        let rivals = |way: Way| {
            let others = classes.iter().filter(move |o| o.conflicts(own));
            others.filter_map(|o| o.lane).filter(move |l| l.way == way)
        };
        // What nobody stated keeps out of stated ways, whatever their floor.
        let is_stated = |way: &Way| classes.iter().any(|o| o.stated == Some(*way));
        let is_arm = |p: &PieceIx| net.runs[net.graph[*p].run.0].kind == RunKind::Arm;
        let choices = match own.pieces.iter().all(is_arm) {
            true => &arm[..],
            false => &branch[..],
        };
        let free = |way: &&Way| rivals(**way).next().is_none();
        let way = own.stated.unwrap_or_else(|| {
            let all = choices.iter();
            let best = all.clone().find(|w| free(w) && !is_stated(w));
            let best = best.or_else(|| all.clone().find(free));
            // Where none is free: the one with the fewest lanes.
            let fewest = || all.min_by_key(|w| rivals(**w).count());
            *best.or_else(fewest).unwrap_or(&choices[0])
        });
        let taken: BTreeSet<u8> = rivals(way).map(|l| l.number).collect();
        let number = (0..=u8::MAX).find(|n| !taken.contains(n)).unwrap_or(0);
        classes[c].lane = Some(Lane { way, number });
    }
    let lanes = classes
        .into_iter()
        .filter_map(|c| Some((c.pieces, c.lane?)));
    lanes
        .flat_map(|(pieces, lane)| pieces.into_iter().map(move |p| (p, lane)))
        .collect()
}

/// The pipes that enter a stack, those of one riser together, from the stack's foot up.
fn classes(
    net: &Network,
    base: &Base,
    stack: RunIx,
    stated: &impl Fn(PieceIx) -> Option<Way>,
) -> Vec<Class> {
    let joints: Vec<JointIx> = net.runs[stack.0]
        .pieces
        .iter()
        .filter_map(|&s| net.from(s))
        .collect();
    let enters = |p: &PieceIx| {
        let run = net.graph[*p].run;
        let heading = net.graph[*p].legs.first().and_then(|l| l.heading);
        run != stack && !net.is_stack(run) && heading.is_none_or(|h| !h.is_vertical())
    };
    let entrants: Vec<PieceIx> = joints
        .iter()
        .flat_map(|&j| base.tree.up(j).iter().copied())
        .filter(enters)
        .collect();
    let floor = |p: PieceIx| net.runs[net.graph[p].run.0].floor;
    let top = entrants.iter().map(|&p| floor(p)).max().flatten();
    // The entrant by which the drains under a vent reach the stack.
    let by = |joint: JointIx| {
        entrants.iter().position(|&p| {
            let from = net.from(p);
            from.is_some_and(|f| base.tree.upstream_of(joint, f))
        })
    };
    let mut class: Vec<Option<usize>> = vec![None; entrants.len()];
    for (r, riser) in base.risers.iter().enumerate() {
        if riser.stack != stack.0 {
            continue;
        }
        let under = riser.from.iter().filter_map(|(_, v)| joint_under(net, *v));
        for e in under.chain(riser.on).filter_map(by) {
            class[e].get_or_insert(r);
        }
    }
    let mut found: Vec<(Option<usize>, Class)> = Vec::new();
    for (&p, riser) in entrants.iter().zip(class) {
        let on_top = top.is_some() && floor(p) == top;
        let same = found
            .iter_mut()
            .find(|(r, _)| riser.is_some() && *r == riser);
        match same {
            Some((_, class)) => {
                class.pieces.push(p);
                class.floors.insert(floor(p));
                class.stated = class.stated.or_else(|| stated(p));
            }
            None => found.push((
                riser,
                Class {
                    pieces: vec![p],
                    floors: BTreeSet::from([floor(p)]),
                    meets: riser.is_some() || on_top,
                    stated: stated(p),
                    lane: None,
                },
            )),
        }
    }
    found.into_iter().map(|(_, class)| class).collect()
}
