//! Where each dry vent leads: the stack vent of a stack, a riser, or its own way through the roof.

use std::collections::BTreeMap;

use super::{Dry, End, StackVent, Vents, Vertical};
use crate::job::{FloorIx, Target};
use crate::network::draft::Who;
use crate::network::{Column, JointIx, JointKind, RunKind, State, VentLevel, VentMethod};
use crate::units::Heading;

/// Where a dry vent leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Goal {
    /// To the vent of this stack, above its highest drained floor.
    Stack(usize),
    /// To the riser beyond this branch, at this floor.
    Riser(usize, FloorIx),
    /// With the others on this run and floor through the roof.
    Through(usize, FloorIx),
    /// Straight through the roof by itself.
    Alone(usize),
    /// Into an air admittance valve.
    Valve,
    /// Nowhere: the loop of an island that joined another's foot.
    Joined,
}

impl Vents<'_, '_> {
    /// A vent through the roof for every stack that goes up to it.
    pub(super) fn stack_vents(&mut self) {
        let mut floors: BTreeMap<usize, FloorIx> = BTreeMap::new();
        for site in self.sites.iter().flatten() {
            if let Some(stack) = site.stack {
                let top = floors.entry(stack).or_insert(site.floor);
                *top = (*top).max(site.floor);
            }
        }
        for (s, stack) in self.job.stacks.iter().enumerate() {
            let Some(&run) = self.net.draft.stacks.get(s) else {
                continue;
            };
            let entered = self.net.draft.runs.get(run).map(|r| r.entrants.as_slice());
            for floor in entered.unwrap_or_default().iter().filter_map(|e| e.floor) {
                let top = floors.entry(run).or_insert(floor);
                *top = (*top).max(floor);
            }
            let own = self.net.runs.get(run);
            let top = own
                .and_then(|r| r.pieces.last())
                .and_then(|&p| self.net.from(p));
            let (Some(top), None) = (top, stack.up_to) else {
                continue;
            };
            let state = match self.net.runs[run].state {
                State::Stated => State::Proposed,
                other => other,
            };
            let id = format!("{}.vent", stack.name);
            let vent = self.run(id.clone(), RunKind::StackVent, state, None);
            if state == State::Proposed {
                let reason = self
                    .notes
                    .method("stack vent", "vents reach the open air by it");
                self.notes.add(&id, "a stack vent", reason);
            }
            self.own_vents.insert(run, vent);
            let terminal = self.ids.take(format!("{}.vtr", stack.name));
            self.verticals.push(Vertical {
                run: vent,
                column: Column::Over(top),
                base: Some(top),
                levels: Default::default(),
                first: None,
                end: End::Roof(terminal),
                state,
                dry: None,
            });
            let vertical = self.verticals.len() - 1;
            // Where it still steps aside above its drains, vents join above that too.
            let joints = self.net.runs[run].pieces.iter();
            let joints = joints.filter_map(|&p| self.net.from(p));
            let steps = joints.filter_map(|j| match self.net.graph[j].kind {
                JointKind::OffsetFoot(floor) => Some(floor),
                _ => None,
            });
            let floor = floors.get(&run).copied().max(steps.max());
            self.stack_places.insert(self.upright.of_joint(top), run);
            self.stacks.insert(
                run,
                StackVent {
                    vertical,
                    top,
                    floor,
                },
            );
        }
    }

    /// Where a dry vent leads if nothing else is stated.
    pub(super) fn usual(&self, d: usize) -> Goal {
        let dry = &self.dry[d];
        if let Some(stack) = dry.of.filter(|s| self.stacks.contains_key(s)) {
            return match self.clear_across(stack) {
                true => Goal::Stack(stack),
                false => Goal::Alone(d),
            };
        }
        let (Some(top), stack) = (dry.top, dry.stack.and_then(|s| self.stacks.get(&s))) else {
            return Goal::Alone(d);
        };
        match (dry.stack, stack) {
            (Some(s), Some(vent)) if vent.floor.is_none_or(|f| f <= dry.floor) => Goal::Stack(s),
            (Some(_), Some(_)) => Goal::Riser(top, dry.floor),
            _ => Goal::Through(top, dry.floor),
        }
    }

    /// Whether a vent stack can go across to the vent of its stack: not beside a stack that steps aside,
    /// nor where branches of the highest floor may lead the same way, with their vents above them.
    fn clear_across(&self, stack: usize) -> bool {
        let draft = &self.net.draft;
        let (Some(own), Some(top)) = (draft.runs.get(stack), self.stacks.get(&stack)) else {
            return false;
        };
        let above = own.entrants.iter().filter(|e| e.floor == top.floor);
        let branches: Vec<_> = above.filter(|e| e.who != Who::StackRelief).collect();
        let downstream = draft
            .parent(stack)
            .and_then(|p| draft.runs[p].legs.first()?.heading);
        let same_way = branches.iter().any(|e| match e.who {
            Who::Run(r) => {
                let way = draft.runs[r].legs.first().and_then(|l| l.heading);
                way.is_some() && way == downstream.map(Heading::reversed)
            }
            _ => false,
        });
        own.offsets.is_empty() && branches.len() <= 1 && !same_way
    }

    /// Where a dry vent leads.
    pub(super) fn goal(&self, d: usize) -> Goal {
        let dry = &self.dry[d];
        if dry.vertical == Some(usize::MAX) {
            return Goal::Joined;
        }
        if dry.method == VentMethod::AirAdmittance {
            return Goal::Valve;
        }
        if dry.of.is_some() {
            return self.usual(d);
        }
        let mut vent = dry.vent;
        let mut at = d;
        for _ in 0..=self.job.vents.len() {
            let into = vent
                .and_then(|v| self.job.vents.get(v))
                .and_then(|v| v.into.as_ref());
            match into.map(|t| &t.value) {
                Some(Target::Stack(s)) => {
                    let run = self.net.draft.stacks.get(*s).copied();
                    let floor = run.and_then(|r| self.stacks.get(&r)).and_then(|s| s.floor);
                    let floor = floor.max(Some(self.dry[d].floor)).unwrap_or(FloorIx(0));
                    return match run.filter(|r| self.stacks.contains_key(r)) {
                        Some(run) if self.dry[d].stack == Some(run) => self.usual(d),
                        Some(run) if self.reaches(d, run, floor) => Goal::Stack(run),
                        _ => self.usual(d),
                    };
                }
                Some(Target::Roof) if at == d => {
                    // Those that name one vent go through the roof together, where they can.
                    let first = dry.vent.and_then(|v| self.first_of.get(&v));
                    let first = first.copied().unwrap_or(d);
                    let together = first != d && self.may_join(d, first);
                    return Goal::Alone(if together { first } else { d });
                }
                Some(Target::Roof) => return self.with(d, at, Goal::Alone(at)),
                Some(Target::Vent(v)) => {
                    vent = Some(*v);
                    match self.first_of.get(v).copied() {
                        Some(other) => at = other,
                        None => return self.usual(d),
                    }
                }
                _ if at == d => return self.usual(d),
                _ => return self.with(d, at, self.usual(at)),
            }
        }
        self.usual(d)
    }

    /// The goal of another vent, if this one may join it at its level.
    fn with(&self, d: usize, other: usize, goal: Goal) -> Goal {
        if self.may_join(d, other) {
            goal
        } else {
            self.usual(d)
        }
    }

    fn may_join(&self, d: usize, other: usize) -> bool {
        let connected = self
            .tree
            .path(self.dry[d].over, self.dry[other].over)
            .is_some();
        let low_enough = self.dry[d].floor <= self.dry[other].floor;
        let valve = self.dry[other].method == VentMethod::AirAdmittance;
        connected && low_enough && !valve
    }

    fn reaches(&self, d: usize, stack: usize, floor: FloorIx) -> bool {
        let top = self.stacks.get(&stack).map(|s| s.top);
        top.is_some_and(|top| self.clear(self.dry[d].over, top, floor))
    }

    /// Whether drains inside the building lead from one joint to another, and no stack stands in
    /// the way of a vent above the rims of this floor.
    fn clear(&self, from: JointIx, to: JointIx, floor: FloorIx) -> bool {
        let Some(path) = self.tree.path(from, to) else {
            return false;
        };
        path.iter().all(|&joint| {
            let stack = self.stack_places.get(&self.upright.of_joint(joint));
            let stack = stack.and_then(|s| self.stacks.get(s));
            let through = stack.and_then(|s| s.floor).is_some_and(|top| top > floor);
            !through && self.net.graph[joint].kind != JointKind::Exit
        })
    }

    /// The level at which vents meet the vent of a stack: above its highest drained floor, and
    /// above the highest floor that they come from.
    pub(super) fn tie(&self, stack: usize, members: &[usize]) -> VentLevel {
        let floor = self.stacks.get(&stack).and_then(|s| s.floor);
        let from = members
            .iter()
            .filter_map(|&d| self.dry.get(d))
            .map(|d| d.floor)
            .max();
        VentLevel::AboveRim(floor.max(from).unwrap_or(FloorIx(0)))
    }

    /// The dry vent of a group that is farthest up the drains.
    pub(super) fn farthest(&self, members: &[usize]) -> Option<usize> {
        // Along the drains, not up them: a drop adds nothing to how far out its vent stands.
        let out = |d: &Dry| if d.over == d.joint { d.place } else { d.over };
        let depth = |d: usize| self.dry.get(d).map_or(0, |d| self.tree.depth(out(d)));
        members
            .iter()
            .copied()
            .max_by_key(|&d| (depth(d), std::cmp::Reverse(d)))
    }

    /// The dry vent of a group that is farthest up the run which gives the group its goal.
    pub(super) fn farthest_of(&self, goal: Goal, members: &[usize]) -> Option<usize> {
        let (Goal::Riser(top, _) | Goal::Through(top, _)) = goal else {
            return self.farthest(members);
        };
        let own: Vec<usize> = (members.iter().copied())
            .filter(|&d| self.dry.get(d).is_some_and(|d| d.top == Some(top)))
            .collect();
        self.farthest(&own)
    }

    /// The joint that a goal's headers lead to, if it is over the drains.
    pub(super) fn target(&self, goal: Goal, members: &[usize]) -> Option<JointIx> {
        match goal {
            Goal::Stack(s) => self.stacks.get(&s).map(|s| s.top),
            Goal::Alone(d) => self.dry.get(d).map(|d| d.over),
            _ => self
                .farthest_of(goal, members)
                .and_then(|d| self.dry.get(d))
                .map(|d| d.over),
        }
    }
}
