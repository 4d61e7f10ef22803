//! Vent stacks: from the foot that each has on the drain below its stack up to the stack's own vent,
//! with the relief vents that come over to it on the way.

use super::emit::Bit;
use super::paths::level_way;
use super::{Dry, Vents};
use crate::job::FloorIx;
use crate::network::{Column, JointIx, JointKind, RunIx, RunKind, State, VentLevel, VentMethod};

/// A relief vent to be: from a joint of a stack over to its vent stack.
pub(in crate::proposals) struct Relief {
    from: JointIx,
    column: Column,
    floor: FloorIx,
    run: RunIx,
    state: State,
}

impl Vents<'_, '_> {
    /// Lists the vent stacks among the dry vents.
    pub(super) fn vent_stacks(&mut self) {
        for (stack, joint) in self.net.vent_stacks.clone() {
            let Some(run) = self.net.runs.get(stack.0) else {
                continue;
            };
            let state = match run.state {
                State::Stated => State::Proposed,
                other => other,
            };
            self.dry.push(Dry {
                joint,
                place: joint,
                over: joint,
                name: run.id.clone(),
                floor: FloorIx(0),
                vent: None,
                state,
                top: None,
                stack: None,
                method: VentMethod::Individual,
                of: Some(stack.0),
                branch: None,
                vertical: None,
            });
        }
    }

    /// The run of the vent stack of a stack of this name.
    pub(super) fn vent_stack(&mut self, stack: &str, state: State) -> RunIx {
        let run = self.run(
            format!("{stack}.vent-stack"),
            RunKind::VentStack,
            state,
            None,
        );
        if state == State::Proposed {
            let id = self.net.runs[run.0].id.clone();
            let rule = self.notes.book.vent_stack_rule();
            let section = rule.map_or(String::new(), |r| format!(" ({})", r.from.section));
            self.notes.add(
                &id,
                "a vent stack",
                format!("{stack} is a tall stack: air comes in at its foot as well{section}"),
            );
        }
        run
    }

    /// Lets the relief vents come over to their vent stacks.
    pub(super) fn reliefs(&mut self) {
        for d in 0..self.dry.len() {
            let (Some(stack), Some(vertical)) = (self.dry[d].of, self.dry[d].vertical) else {
                continue;
            };
            let column = self.dry[d].column();
            let (run, state) = match self.verticals.get(vertical) {
                Some(v) => (v.run, v.state),
                None => continue,
            };
            let pieces = self.net.runs.get(stack).map_or(&[][..], |r| &r.pieces);
            let joints: Vec<JointIx> = pieces.iter().filter_map(|&p| self.net.from(p)).collect();
            for from in joints {
                let JointKind::Relief(floor) = self.net.graph[from].kind else {
                    continue;
                };
                self.verticals[vertical]
                    .levels
                    .insert(VentLevel::Relief(floor));
                self.reliefs.push(Relief {
                    from,
                    column,
                    floor,
                    run,
                    state,
                });
            }
        }
    }

    /// Turns the relief vents into pieces.
    pub(super) fn emit_reliefs(&mut self) {
        for relief in std::mem::take(&mut self.reliefs) {
            let to = self.place(relief.column, VentLevel::Relief(relief.floor));
            let own = self.net.runs[relief.run.0].id.clone();
            let floor = super::super::branches::floor_name(self.job, Some(relief.floor));
            let legs = match relief.column {
                Column::Over(joint) => level_way(self.net, self.tree, relief.from, joint),
                _ => Vec::new(),
            };
            let id = format!("{own}.relief-{floor}");
            if relief.state == State::Proposed {
                let rule = self
                    .notes
                    .book
                    .vent_stack_rule()
                    .and_then(|r| r.relief.as_ref());
                let reason = rule.map_or(String::new(), |r| {
                    let print = crate::units::Printer { units: self.job.units };
                    let head = print.length(r.head.value);
                    format!(
                        "a wye below the branch, and into the vent stack {head} or more above the floor ({})",
                        r.each.section
                    )
                });
                self.notes.add(&id, "a relief (yoke) vent", reason);
            }
            let bit = Bit {
                run: relief.run,
                id,
                legs,
                state: relief.state,
            };
            self.bit(relief.from, to, bit);
        }
    }
}
