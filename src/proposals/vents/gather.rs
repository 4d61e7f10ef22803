//! Gathers the dry vents that lead to one place in headers, and lays out risers.

use std::collections::{BTreeMap, BTreeSet};

use super::goals::Goal;
use super::paths::{Line, Web};
use super::{End, Level, Vents, Vertical};
use crate::job::FloorIx;
use crate::network::faults;
use crate::network::{BranchMethod, Column, JointIx, RunIx, RunKind, State, TrapIx, VentLevel};

impl Vents<'_, '_> {
    pub(super) fn gather(&mut self) {
        for (d, dry) in self.dry.iter().enumerate() {
            if let Some(vent) = dry.vent {
                self.first_of.entry(vent).or_insert(d);
            }
            self.dry_names.insert(dry.name.clone());
        }
        let mut goals: BTreeMap<Goal, Vec<usize>> = BTreeMap::new();
        for d in 0..self.dry.len() {
            goals.entry(self.goal(d)).or_default().push(d);
        }
        // Branches are numbered over all goals, so that one above another finds its riser.
        let mut risers = self.risers(&goals);
        let mut at: Vec<(Goal, VentLevel)> = Vec::new();
        for (&goal, members) in &goals {
            let level = match goal {
                Goal::Joined => continue,
                Goal::Valve => {
                    for &d in members {
                        self.valve(d);
                    }
                    continue;
                }
                Goal::Stack(stack) => {
                    let level = self.tie(stack, members);
                    if let Some(vent) = self.stacks.get(&stack).map(|s| s.vertical) {
                        self.verticals[vent].levels.insert(level);
                    }
                    self.rise_all(members, level);
                    level
                }
                Goal::Riser(top, floor) => {
                    let level = self.level_of(floor, members);
                    self.rise_all(members, level);
                    self.out_to_riser((goal, top), level, members, &mut risers);
                    level
                }
                Goal::Through(_, floor) => {
                    let level = self.level_of(floor, members);
                    self.through(goal, members, level);
                    level
                }
                Goal::Alone(d) => {
                    let level = self.level_of(self.dry[d].floor, members);
                    self.through(goal, members, level);
                    level
                }
            };
            at.push((goal, level));
        }
        self.webs(&goals, &at);
        self.finish_risers(&goals, &risers);
    }

    fn level_of(&self, floor: FloorIx, members: &[usize]) -> VentLevel {
        let from = members
            .iter()
            .filter_map(|&d| self.dry.get(d))
            .map(|d| d.floor)
            .max();
        VentLevel::AboveRim(from.map_or(floor, |f| f.max(floor)))
    }

    /// Lets each of some dry vents rise to a level.
    fn rise_all(&mut self, members: &[usize], level: VentLevel) {
        for &d in members {
            self.rise(d, level, End::Meets);
        }
    }

    /// The vertical of a dry vent, up to a level or on through the roof.
    fn rise(&mut self, d: usize, level: VentLevel, end: End) -> usize {
        let (name, floor, state) = (
            self.dry[d].name.clone(),
            self.dry[d].floor,
            self.dry[d].state,
        );
        let island = self.dry[d].over != self.dry[d].joint;
        let base = match island {
            true => Some(self.place(self.dry[d].column(), VentLevel::UnderFloor(floor))),
            false => Some(self.dry[d].joint),
        };
        let (run, first) = match self.dry[d].vent {
            None if self.dry[d].of.is_some() => {
                let run = self.vent_stack(&name, state);
                (run, self.net.runs[run.0].id.clone())
            }
            Some(vent) => {
                let run = self.stated_run(vent, RunKind::FixtureVent, floor);
                let id = self.net.runs[run.0].id.clone();
                (
                    run,
                    if island {
                        format!("{id}.rise")
                    } else {
                        format!("{id}.{name}")
                    },
                )
            }
            None => {
                let id = format!("{name}.vent");
                let run = self.run(id.clone(), RunKind::FixtureVent, state, Some(floor));
                if state == State::Proposed {
                    let (what, reason) = self.said(d, &name);
                    self.notes.add(&id, what, reason);
                }
                (run, self.net.runs[run.0].id.clone())
            }
        };
        let levels = match end {
            End::Meets => BTreeSet::from([level]),
            _ => BTreeSet::new(),
        };
        self.verticals.push(Vertical {
            run,
            column: self.dry[d].column(),
            base,
            levels,
            first: Some(first),
            end,
            state,
            dry: (!island).then_some(d),
        });
        self.dry[d].vertical = Some(self.verticals.len() - 1);
        self.verticals.len() - 1
    }

    /// What a proposed rise is, and why.
    fn said(&self, d: usize, name: &str) -> (String, String) {
        let branch = self.dry[d].branch;
        let vent = branch.and_then(|(b, _)| self.net.branch_vents.get(b));
        let (Some((_, relief)), Some(vent)) = (branch, vent) else {
            let reason = self.notes.topic("vent-needed", "every trap needs a vent");
            return (format!("a dry vent at {name}"), reason);
        };
        let named = |t: &TrapIx| {
            let fixture = self.net.traps.get(t.0)?.fixture;
            Some(self.job.fixtures.get(fixture)?.name.as_str())
        };
        let mut traps = vent.traps.clone();
        traps.sort_unstable();
        let names: Vec<&str> = traps.iter().filter_map(named).collect();
        let names = names.join(", ");
        let (what, why) = match (vent.method, relief) {
            (_, true) => {
                let run = self.net.runs.get(vent.run.0).map_or("", |r| r.id.as_str());
                let rules = self.notes.book.circuit_rules();
                let from = rules.and_then(|r| r.relief_from.as_ref());
                let section = from.map_or(String::new(), |f| format!(" ({})", f.section));
                let reason = format!("its stack takes waste from above{section}");
                return (format!("a relief vent on {run}"), reason);
            }
            (BranchMethod::Circuit, _) => (
                format!("a circuit vent for {names}"),
                "one vent serves the battery, between the two most upstream of it",
            ),
            (BranchMethod::Combination, _) => (
                format!("the dry vent of a combination drain and vent for {names}"),
                "the drain is large enough to be their vent",
            ),
        };
        (what, self.notes.method(vent.method.word(), why))
    }

    /// An air admittance valve stands under the counter, clear of the headers above.
    fn valve(&mut self, d: usize) {
        let level = VentLevel::UnderCounter(self.dry[d].floor);
        let id = match self.dry[d].vent.and_then(|v| self.job.vents.get(v)) {
            Some(v) => format!("{}.valve", v.name),
            None => format!("{}.valve", self.dry[d].name),
        };
        let id = self.ids.take(id);
        self.rise(d, level, End::Valve(level, id));
    }

    /// The level lines of all groups: first of those whose usual way it is, then of those that a
    /// stated vent leads elsewhere.
    fn webs(&mut self, goals: &BTreeMap<Goal, Vec<usize>>, at: &[(Goal, VentLevel)]) {
        let mut webs: BTreeMap<VentLevel, Web> = BTreeMap::new();
        for &(goal, level) in at {
            let members = goals.get(&goal).map_or(&[][..], Vec::as_slice);
            if let Some(target) = self.target(goal, members) {
                let place = self.upright.of_joint(target);
                webs.entry(level).or_default().goal(place, target);
            }
        }
        for usual in [true, false] {
            for &(goal, level) in at {
                let members = goals.get(&goal).map_or(&[][..], Vec::as_slice);
                let Some(target) = self.target(goal, members) else {
                    continue;
                };
                for &d in members {
                    // The one that the others lead to goes on by itself.
                    if (self.usual(d) == goal) != usual || self.dry[d].over == target {
                        continue;
                    }
                    let Some(mut path) = self.tree.path(self.dry[d].over, target) else {
                        continue;
                    };
                    let web = webs.entry(level).or_default();
                    if let Some((cut, vent)) = self.stack_on(&path, level) {
                        path.truncate(cut + 1);
                        let (vertical, top) = vent;
                        self.verticals[vertical].levels.insert(level);
                        web.goal(self.upright.of_joint(top), top);
                        if goal != self.usual(d) && self.target(goal, members) != Some(top) {
                            self.joins_early(d, top);
                        }
                    }
                    web.lay(&self.upright, d, &path);
                }
            }
        }
        // A vent that goes straight through the roof is met where others come by.
        for &(goal, level) in at {
            let members = goals.get(&goal).map_or(&[][..], Vec::as_slice);
            let met = self.target(goal, members).is_some_and(|target| {
                webs.get(&level)
                    .is_some_and(|w| w.is_met(self.upright.of_joint(target)))
            });
            let last = match goal {
                Goal::Alone(d) => Some(d),
                Goal::Through(..) => self.farthest_of(goal, members),
                _ => None,
            };
            if let (true, Some(v)) = (met, last.and_then(|d| self.dry[d].vertical))
                && let Some(vertical) = self.verticals.get_mut(v)
            {
                vertical.levels.insert(level);
            }
        }
        for (level, web) in webs {
            for line in web.lines() {
                self.line(&line, level);
            }
        }
    }

    /// The first place on a path where the vent of a stack stands, at this level.
    fn stack_on(&self, path: &[JointIx], level: VentLevel) -> Option<(usize, (usize, JointIx))> {
        path.iter().enumerate().find_map(|(i, &joint)| {
            let run = self.stack_places.get(&self.upright.of_joint(joint))?;
            let stack = self.stacks.get(run)?;
            let above = stack.floor.is_none_or(|f| VentLevel::AboveRim(f) <= level);
            above.then_some((i, (stack.vertical, stack.top)))
        })
    }

    /// Says that a stated vent meets another stack's vent on its way and joins it there.
    fn joins_early(&mut self, d: usize, top: JointIx) {
        let dry = &self.dry[d];
        let Some(vent) = dry.vent.and_then(|v| self.job.vents.get(v)) else {
            return;
        };
        let stack = (self.stacks.iter())
            .find(|(_, s)| s.top == top)
            .and_then(|(&run, _)| self.net.runs.get(run))
            .map_or("", |r| r.id.as_str());
        let message = format!(
            "vent `{}` of `{}` meets the vent of stack `{stack}` on its way and joins it there",
            vent.name, dry.name
        );
        let help = "lead it to that stack, or to the roof";
        let span = Some(vent.span.clone());
        self.faults
            .warning(faults::VENT_ELSEWHERE, &vent.name, span, message, help);
    }

    /// Lays out one level line, in the header of its branch or in the run of its stated vent.
    fn line(&mut self, line: &Line, level: VentLevel) {
        let d = line.dry;
        let (vent, floor, state) = (self.dry[d].vent, self.dry[d].floor, self.dry[d].state);
        let own = self.usual(d) == self.goal(d);
        let vent_stack = (self.dry[d].of).and_then(|_| self.verticals.get(self.dry[d].vertical?));
        let vent_stack = vent_stack.map(|v| v.run);
        let run = match (vent, self.dry[d].top) {
            _ if vent_stack.is_some() => vent_stack.unwrap_or(RunIx(usize::MAX)),
            (Some(vent), _) if !own => self.stated_run(vent, RunKind::FixtureVent, floor),
            (_, Some(top)) => self.header(top, header_state(state, vent), floor),
            (_, None) => self.header(usize::MAX, header_state(state, vent), floor),
        };
        let name = match line.is_source {
            true if vent_stack.is_some() => "across".to_owned(),
            true if own || vent.is_none() => last_part(&self.dry[d].name),
            true => "across".to_owned(),
            false => match last_part(&self.net.graph[line.from].id) {
                // Its vent rises beside this place and has a line of its own to here.
                name if self.dry_names.contains(&name) => format!("over-{name}"),
                name => name,
            },
        };
        self.levels.push(Level {
            run,
            level,
            from: Column::Over(line.from),
            to: Column::Over(line.to),
            name,
            state: self.net.runs[run.0].state,
        });
    }

    /// A group that goes through the roof by itself, above the one that its headers lead to.
    fn through(&mut self, goal: Goal, members: &[usize], level: VentLevel) {
        let at = match goal {
            Goal::Alone(d) => Some(d),
            _ => self.farthest_of(goal, members),
        };
        let Some(at) = at else { return };
        let owner = match (goal, members, self.dry[at].vent) {
            _ if self.dry[at].of.is_some() => Some(format!("{}.vent-stack", self.dry[at].name)),
            (_, _, Some(vent)) if matches!(goal, Goal::Alone(_)) => {
                self.job.vents.get(vent).map(|v| v.name.clone())
            }
            (Goal::Through(top, _), _, _) if !is_main(self.net.runs.get(top)) => {
                self.net.runs.get(top).map(|r| r.id.clone())
            }
            _ => None,
        };
        let owner = owner.unwrap_or_else(|| self.dry[at].name.clone());
        let terminal = self.ids.take(format!("{owner}.vtr"));
        let others: Vec<usize> = members.iter().copied().filter(|&d| d != at).collect();
        if others.is_empty() {
            self.rise(at, level, End::Roof(terminal));
            return;
        }
        self.rise_all(&others, level);
        let stated = matches!(goal, Goal::Alone(_));
        if stated {
            let vertical = self.rise(at, level, End::Roof(terminal));
            self.verticals[vertical].levels.insert(level);
        } else {
            self.rise(at, level, End::Meets);
            let base = self.place(self.dry[at].column(), level);
            let floor = Some(self.dry[at].floor);
            let id = format!("{owner}.riser");
            let run = self.run(id.clone(), RunKind::Riser, State::Proposed, floor);
            let reason = self
                .notes
                .topic("vent-joins", "the vents of this drain reach no stack");
            self.notes.add(&id, "a vent through the roof", reason);
            self.verticals.push(Vertical {
                run,
                column: self.dry[at].column(),
                base: Some(base),
                levels: BTreeSet::new(),
                first: None,
                end: End::Roof(terminal),
                state: State::Proposed,
                dry: None,
            });
        }
    }
}

/// A header is stated only where a stated vent leads along it.
pub(super) fn header_state(state: State, vent: Option<usize>) -> State {
    match (state, vent) {
        (State::Stated, None) => State::Proposed,
        (state, _) => state,
    }
}

pub(super) fn last_part(id: &str) -> String {
    id.rsplit('.').next().unwrap_or(id).to_owned()
}

fn is_main(run: Option<&crate::network::Run>) -> bool {
    run.is_some_and(|r| r.kind == RunKind::BuildingDrain)
}
