//! Between which floors a joint lies: counted in floors that lie below it.

use crate::catalogue;
use crate::job::{Fixture, FloorIx, Job, Lies};
use crate::network::{
    JointIx, JointKind, Network, PieceIx, Run, RunKind, Table, TrapIx, VentLevel,
};
use crate::units::Length;

use super::lying::lies;
use super::model::PieceLevels;

/// Where joints lie among the floors of a job.
#[derive(Clone, Copy)]
pub struct Storeys<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its network.
    pub net: &'a Network,
    /// The levels of its drains, as far as they are known.
    pub drains: &'a Table<PieceIx, PieceLevels>,
}

impl Storeys<'_> {
    /// Whether the branches that come in at a joint of a stack do so above their floor, as from a
    /// fixture on the wall; no where that is not known.
    pub fn is_above(&self, joint: JointIx, floor: FloorIx) -> bool {
        let places = self.of_joint(joint).zip(self.over(floor));
        places.is_some_and(|(joint, floor)| joint >= floor)
    }

    /// How many floors lie at or below a level.
    pub fn at(&self, level: Length) -> usize {
        let below = |f: &&crate::job::Floor| f.level <= level + Length::from_mm(0.5);
        self.job.floors.iter().filter(below).count()
    }

    /// How many floors lie below one.
    pub fn beneath(&self, floor: FloorIx) -> Option<usize> {
        let own = self.job.floors.get(floor.0)?.level;
        let below = |f: &&crate::job::Floor| f.level < own - Length::from_mm(0.5);
        Some(self.job.floors.iter().filter(below).count())
    }

    /// How many floors lie below what stands on one.
    pub fn over(&self, floor: FloorIx) -> Option<usize> {
        Some(self.at(self.job.floors.get(floor.0)?.level))
    }

    /// What lies above the roof.
    pub fn above_roof(&self) -> usize {
        self.job.floors.len() + 1
    }

    /// How many floors lie below a joint; none where that is not known.
    pub fn of_joint(&self, joint: JointIx) -> Option<usize> {
        let net = self.net;
        match net.graph.node_weight(joint)?.kind {
            JointKind::Trap(trap) => self.trap(trap),
            JointKind::VentJoint(at) | JointKind::Terminal(at) | JointKind::Valve(at) => {
                match at.level {
                    VentLevel::Foot => None,
                    VentLevel::Roof => Some(self.above_roof()),
                    VentLevel::Relief(f) | VentLevel::UnderFloor(f) => self.beneath(f),
                    VentLevel::UnderCounter(f) | VentLevel::AboveRim(f) => self.over(f),
                }
            }
            JointKind::Relief(f) | JointKind::OffsetFoot(f) => self.beneath(f),
            JointKind::OffsetHead => {
                let foot = net.to(net.downstream(joint)?)?;
                (foot != joint).then(|| self.of_joint(foot))?
            }
            JointKind::VentFitting => self.by_invert(joint).or_else(|| self.by_traps(joint)),
            JointKind::StackJunction => self
                .by_invert(joint)
                .or_else(|| self.by_branches(joint))
                .or_else(|| self.by_traps(joint)),
            JointKind::Basin => {
                let id = &net.graph.node_weight(joint)?.id;
                let basin = self.job.basins.iter().find(|b| b.name == *id)?;
                self.over(basin.floor?)
            }
            _ => self.by_invert(joint).or_else(|| self.by_drain(joint)),
        }
    }

    /// A trap: below its floor if its outlet leaves no higher than that.
    fn trap(&self, trap: TrapIx) -> Option<usize> {
        let floor = self.floor_of(trap)?;
        match self.leaves_below(trap)? {
            true => self.beneath(floor),
            false => self.over(floor),
        }
    }

    /// The floor that a trap's fixture stands on.
    pub fn floor_of(&self, trap: TrapIx) -> Option<FloorIx> {
        let fixture = self.net.traps.get(trap.0)?.fixture;
        self.net.draft.fixtures.get(fixture)?.floor
    }

    fn by_invert(&self, joint: JointIx) -> Option<usize> {
        let piece = self.net.downstream(joint)?;
        let level = self.drains.get(&piece)?;
        Some(self.at(level.invert_up?))
    }

    /// By the traps whose arms come in there.
    fn by_traps(&self, joint: JointIx) -> Option<usize> {
        let net = self.net;
        let up = net.upstream(joint).into_iter();
        up.filter_map(|p| net.from(p))
            .find_map(|j| match net.graph[j].kind {
                JointKind::Trap(t) => self.trap(t),
                _ => None,
            })
    }

    /// By where the branches that come in there lie.
    fn by_branches(&self, joint: JointIx) -> Option<usize> {
        let net = self.net;
        net.upstream(joint).into_iter().find_map(|p| {
            let run = net.runs.get(net.graph.edge_weight(p)?.run.0)?;
            (run.kind == RunKind::Branch).then(|| self.branch(run))?
        })
    }

    /// A branch hangs beneath its floor, but above it where it lies in the wall, or where the job says
    /// nothing of that and all that it takes leaves above the floor with no drop: an arm does not go
    /// down through a floor.
    fn branch(&self, run: &Run) -> Option<usize> {
        let floor = run.floor?;
        let net = self.net;
        let pieces = run.pieces.iter().filter_map(|p| net.graph.edge_weight(*p));
        let mut lies = pieces.flat_map(|p| p.legs.iter().filter_map(|l| l.lies));
        let above = match lies.next() {
            Some(first) => first == Lies::Wall,
            None => self.all_above(run),
        };
        match above {
            true => self.over(floor),
            false => self.beneath(floor),
        }
    }

    /// Whether a run takes nothing but arms of traps that leave above their floor.
    fn all_above(&self, run: &Run) -> bool {
        let net = self.net;
        let joints = run.pieces.iter().filter_map(|p| net.from(*p));
        let into = joints.flat_map(|j| net.upstream(j));
        let mut into = into.filter(|p| !run.pieces.contains(p)).peekable();
        into.peek().is_some()
            && into.all(|piece| match net.from(piece).map(|j| net.graph[j].kind) {
                Some(JointKind::Trap(trap)) => self.leaves_below(trap) == Some(false),
                _ => false,
            })
    }

    /// By what the drain lies under.
    fn by_drain(&self, joint: JointIx) -> Option<usize> {
        let net = self.net;
        // An exit has only what comes in.
        let piece = net
            .downstream(joint)
            .or(net.upstream(joint).first().copied())?;
        let p = net.graph.edge_weight(piece)?;
        let own = net.runs.get(p.run.0)?;
        let stated = p.legs.last().is_some_and(|l| l.lies.is_some());
        match lies(self.job, net, piece, p.legs.len().saturating_sub(1)) {
            Some((Lies::Wall, _)) if own.kind == RunKind::Branch => return self.over(own.floor?),
            Some((Lies::Wall, _)) => return None,
            Some(_) if own.kind == RunKind::Branch && !stated && own.floor.is_some() => {
                return self.branch(own);
            }
            Some((_, floor)) => return self.beneath(floor),
            None => {}
        }
        if own.kind == RunKind::Branch && own.floor.is_some() {
            return self.branch(own);
        }
        if let Some(floor) = own.floor {
            return self.beneath(floor);
        }
        // All water flows down to the building drain, and below the lowest floor is the ground.
        matches!(own.kind, RunKind::BuildingDrain | RunKind::BuildingBranch).then_some(0)
    }

    /// The floors between two heights, the roof as their number; pits only for what is their own.
    pub fn between(&self, low: usize, high: usize, own: Option<FloorIx>) -> Vec<usize> {
        let floors = &self.job.floors;
        let passes = |i: &usize| {
            let floor = floors.get(*i);
            floor.is_none_or(|f| f.part_of.is_none() || own == Some(FloorIx(*i)))
        };
        let mut found: Vec<usize> = (low..high.min(floors.len() + 1)).filter(passes).collect();
        // Of two floors at one level a pipe passes its own, or the first.
        let level = |i: usize| floors.get(i).map(|f| f.level);
        let mut kept: Vec<usize> = Vec::new();
        for i in found.drain(..) {
            let same = kept.last().copied().filter(|k| {
                let levels = level(*k).zip(level(i));
                levels.is_some_and(|(a, b)| a.same(b))
            });
            match same {
                Some(_) if own == Some(FloorIx(i)) => {
                    kept.pop();
                    kept.push(i);
                }
                Some(_) => {}
                None => kept.push(i),
            }
        }
        kept
    }

    /// Whether a trap's water goes down through its floor right where its fixture stands: its outlet
    /// is no higher than the floor.
    pub fn leaves_below(&self, trap: TrapIx) -> Option<bool> {
        let fixture = self.net.traps.get(trap.0)?.fixture;
        outlet_in_floor(self.job.fixtures.get(fixture)?)
    }
}

/// Whether a fixture's outlet, as stated or as its kind usually has it, is no higher than its floor; none
/// where neither is known.
pub fn outlet_in_floor(fixture: &Fixture) -> Option<bool> {
    let usual = catalogue::kind(&fixture.kind.value).map(|k| k.default_outlet.height);
    Some(fixture.outlet.or(usual)? <= Length::ZERO)
}
