//! Risers beside the stacks, for the vents of floors below a stack's highest.

use std::collections::{BTreeMap, BTreeSet};

use super::gather::{header_state, last_part};
use super::goals::Goal;
use super::{End, Level, Vents, Vertical};
use crate::job::FloorIx;
use crate::network::{Column, RunIx, RunKind, State, VentLevel};
use crate::units::Heading;

/// A riser beside a stack and the branches that it serves.
pub(super) struct Riser {
    stack: usize,
    heading: Option<Heading>,
    /// How many branches of one floor leave the stack that way before it.
    turn: usize,
    run: RunIx,
    vertical: usize,
}

/// The way a top run leaves its stack, and its number among those of its floor that leave the same
/// way.
type Turn = (Option<Heading>, usize);

/// All risers, and what tells which one a branch belongs to.
pub(super) struct Risers {
    list: Vec<Riser>,
    /// By stack and turn.
    known: BTreeMap<(usize, Turn), usize>,
    /// Of each top run.
    turns: BTreeMap<usize, Turn>,
    /// The ways that branches with vents leave each stack, below its top floor.
    ways: BTreeMap<usize, BTreeSet<Option<Heading>>>,
}

impl Vents<'_, '_> {
    /// None yet.
    pub(super) fn risers(&self, goals: &BTreeMap<Goal, Vec<usize>>) -> Risers {
        let turns = self.turns(goals);
        let mut ways: BTreeMap<usize, BTreeSet<Option<Heading>>> = BTreeMap::new();
        for dry in &self.dry {
            let turn = dry.top.and_then(|top| turns.get(&top));
            if let (Some(stack), Some((heading, _))) = (dry.stack, turn)
                && Some(dry.floor) != self.stacks.get(&stack).and_then(|s| s.floor)
            {
                ways.entry(stack).or_default().insert(*heading);
            }
        }
        Risers {
            list: Vec::new(),
            known: BTreeMap::new(),
            turns,
            ways,
        }
    }

    fn turns(&self, goals: &BTreeMap<Goal, Vec<usize>>) -> BTreeMap<usize, Turn> {
        let mut tops: BTreeSet<(usize, FloorIx, usize)> = BTreeSet::new();
        for members in goals.values() {
            for dry in members.iter().filter_map(|&d| self.dry.get(d)) {
                if let (Some(stack), Some(top)) = (dry.stack, dry.top) {
                    tops.insert((stack, dry.floor, top));
                }
            }
        }
        let mut count: BTreeMap<(usize, FloorIx, Option<Heading>), usize> = BTreeMap::new();
        let mut turns = BTreeMap::new();
        for (stack, floor, top) in tops {
            let first = self.net.runs.get(top).and_then(|r| r.pieces.first());
            let heading = first.and_then(|&p| self.net.graph[p].legs.first()?.heading);
            let next = count.entry((stack, floor, heading)).or_insert(0);
            turns.entry(top).or_insert((heading, *next));
            *next += 1;
        }
        turns
    }

    /// The last line of a header, out to the riser beyond its branch.
    pub(super) fn out_to_riser(
        &mut self,
        (goal, top): (Goal, usize),
        level: VentLevel,
        members: &[usize],
        risers: &mut Risers,
    ) {
        let Some(far) = self.farthest_of(goal, members) else {
            return;
        };
        let Some(stack) = self.dry[far].stack else {
            return;
        };
        let (heading, turn) = risers.turns.get(&top).copied().unwrap_or((None, 0));
        let key = (stack, (heading, turn));
        let at = match risers.known.get(&key) {
            Some(at) => *at,
            None => {
                let name = self
                    .net
                    .runs
                    .get(stack)
                    .map_or(String::new(), |r| r.id.clone());
                // `S1.riser`, with its heading where the stack has branches with vents in several.
                let several = risers.ways.get(&stack).is_some_and(|w| w.len() > 1);
                let id = match heading {
                    Some(heading) if several => format!("{name}.riser-{}", heading.word()),
                    _ => format!("{name}.riser"),
                };
                let run = self.run(id, RunKind::Riser, State::Proposed, None);
                let id = self.net.runs[run.0].id.clone();
                let reason = self.notes.topic(
                    "vent-joins",
                    "vents of a lower floor join the stack only above its highest drain",
                );
                self.notes.add(&id, "a vent riser", reason);
                self.verticals.push(Vertical {
                    run,
                    column: Column::Riser(run),
                    base: None,
                    levels: BTreeSet::new(),
                    first: None,
                    end: End::Meets,
                    state: State::Proposed,
                    dry: None,
                });
                let vertical = self.verticals.len() - 1;
                risers.known.insert(key, risers.list.len());
                risers.list.push(Riser {
                    stack,
                    heading,
                    turn,
                    run,
                    vertical,
                });
                risers.list.len() - 1
            }
        };
        let (run, vertical) = (risers.list[at].run, risers.list[at].vertical);
        self.verticals[vertical].levels.insert(level);
        let dry = &self.dry[far];
        let (name, floor, state) = (
            last_part(&dry.name),
            dry.floor,
            header_state(dry.state, dry.vent),
        );
        let from = dry.column();
        let header = self.header(top, state, floor);
        self.levels.push(Level {
            run: header,
            level,
            from,
            to: Column::Riser(run),
            name,
            state: self.net.runs[header.0].state,
        });
    }

    /// Takes each riser up to the level at which its stack's vents meet, and across.
    pub(super) fn finish_risers(&mut self, goals: &BTreeMap<Goal, Vec<usize>>, risers: &Risers) {
        for riser in &risers.list {
            let members = goals
                .get(&Goal::Stack(riser.stack))
                .map_or(&[][..], Vec::as_slice);
            let level = self.tie(riser.stack, members);
            let Some((vent, top)) = self.stacks.get(&riser.stack).map(|s| (s.vertical, s.top))
            else {
                continue;
            };
            self.verticals[riser.vertical].levels.insert(level);
            // The branch of the top floor that leaves the stack the same way, if it has a header.
            let above: Vec<usize> = (members.iter().copied())
                .filter(|&d| {
                    self.dry[d].stack == Some(riser.stack)
                        && self.dry[d].top.and_then(|t| risers.turns.get(&t))
                            == Some(&(riser.heading, riser.turn))
                })
                .collect();
            let (run, to, name) = match self.farthest(&above) {
                Some(far) => {
                    let dry = &self.dry[far];
                    let state = header_state(dry.state, dry.vent);
                    let (top, floor, column) =
                        (dry.top.unwrap_or(usize::MAX), dry.floor, dry.column());
                    (self.header(top, state, floor), column, "riser".to_owned())
                }
                None => {
                    self.verticals[vent].levels.insert(level);
                    let id = format!("{}.link", self.net.runs[riser.run.0].id);
                    let run = self.run(id, RunKind::Header, State::Proposed, None);
                    (run, Column::Over(top), String::new())
                }
            };
            self.levels.push(Level {
                run,
                level,
                from: Column::Riser(riser.run),
                to,
                name,
                state: self.net.runs[run.0].state,
            });
        }
    }
}
