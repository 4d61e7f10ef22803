//! Island vents: up under the counter, down to the floor, and up again from a foot on the drain.

use std::collections::{BTreeMap, BTreeSet};

use super::Vents;
use super::emit::{Bit, heading};
use crate::job::FloorIx;
use crate::network::draft::{Who, spots};
use crate::network::faults;
use crate::network::{Column, JointIx, NetLeg, RunKind, VentLevel, VentMethod};
use crate::units::Heading;

impl Vents<'_, '_> {
    /// Lays out the loops; what is left of each is a dry vent over its foot.
    pub(super) fn islands(&mut self) {
        let mut feet: BTreeMap<usize, (JointIx, JointIx)> = BTreeMap::new();
        let mut floors: BTreeMap<usize, FloorIx> = BTreeMap::new();
        let islands = (self.dry.iter()).any(|d| d.method == VentMethod::Island);
        let runs = if islands {
            self.runs_of_feet()
        } else {
            BTreeMap::new()
        };
        let stand: BTreeSet<JointIx> = (self.dry.iter().filter(|_| islands))
            .flat_map(|d| [d.joint, d.place])
            .collect();
        // The vent that a foot belongs to.
        let mut owners: BTreeMap<JointIx, usize> = BTreeMap::new();
        for d in 0..self.dry.len() {
            if self.dry[d].method != VentMethod::Island {
                continue;
            }
            let Some(vent) = self.dry[d].vent else {
                continue;
            };
            let foot = self.foot_of(vent, d, &runs).filter(|foot| {
                // It stands on its own, clear of the fixture and of every other vent.
                let taken = owners.get(foot).is_some_and(|v| *v != vent);
                let floor = floors.get(&vent).is_none_or(|f| *f == self.dry[d].floor);
                !taken && floor && !stand.contains(foot)
            });
            let Some(foot) = foot else {
                let name = self.job.vents.get(vent).map_or("", |v| v.name.as_str());
                let message = format!(
                    "the island vent `{name}` of `{}` has no place of its own for its foot",
                    self.dry[d].name
                );
                let help = "add foot = { into = \"…\", station = \"…\" }, the drain and the place";
                let span = self.job.vents.get(vent).map(|v| v.span.clone());
                self.faults
                    .error(faults::NO_FOOT, name, span, message, help);
                self.dry[d].method = VentMethod::Individual;
                self.back_to_individual(d);
                continue;
            };
            let floor = self.dry[d].floor;
            floors.insert(vent, floor);
            let run = self.stated_run(vent, RunKind::IslandVent, floor);
            let state = self.dry[d].state;
            let (joint, name) = (self.dry[d].joint, self.dry[d].name.clone());
            let own = self.net.runs[run.0].id.clone();
            let place = self.dry[d].place;
            let top = self.place(Column::Over(joint), VentLevel::UnderCounter(floor));
            let before = self.places.len();
            let low = self.place(Column::Beside(place), VentLevel::UnderFloor(floor));
            let new_low = self.places.len() > before;
            let known = feet.get(&vent).copied();
            let under = match known {
                Some((_, under)) => under,
                None => self.place(Column::Over(foot), VentLevel::UnderFloor(floor)),
            };
            let bit = |id: String, legs| Bit {
                run,
                id,
                legs,
                state,
            };
            let rise = self.bit(
                joint,
                top,
                bit(format!("{own}.{name}"), vec![heading(Heading::Up)]),
            );
            self.rises[d] = Some(rise);
            // Across under the counter, and back down through the floor.
            let back = vec![NetLeg::default(), heading(Heading::Down)];
            self.bit(top, low, bit(format!("{own}.loop"), back));
            if new_low {
                self.bit(low, under, bit(format!("{own}.low"), Vec::new()));
            }
            if known.is_none() {
                self.bit(
                    foot,
                    under,
                    bit(format!("{own}.foot"), vec![heading(Heading::Up)]),
                );
                feet.insert(vent, (foot, under));
                owners.insert(foot, vent);
            } else {
                // Its loop joins the foot of the first; nothing more rises here.
                self.dry[d].vertical = Some(usize::MAX);
            }
            self.dry[d].over = foot;
        }
    }

    /// The run on which each island vent has its foot.
    fn runs_of_feet(&self) -> BTreeMap<usize, usize> {
        let mut runs = BTreeMap::new();
        for (r, run) in self.net.draft.runs.iter().enumerate() {
            for e in &run.entrants {
                if let Who::Foot(vent) = e.who {
                    runs.entry(vent).or_insert(r);
                }
            }
        }
        runs
    }

    /// The joint that the foot of an island vent made on its drain.
    fn foot_of(&self, vent: usize, dry: usize, runs: &BTreeMap<usize, usize>) -> Option<JointIx> {
        let name = &self.job.vents.get(vent)?.name;
        let draft = &self.net.draft;
        let run = *runs.get(&vent)?;
        let id = format!("{}.{name}", draft.runs.get(run)?.id);
        let foot = self.net.runs.get(run)?.pieces.iter().find_map(|&p| {
            let from = self.net.from(p)?;
            (self.net.graph[from].id == id).then_some(from)
        });
        let foot = foot.or_else(|| self.shared_foot(run, vent))?;
        (foot != self.dry.get(dry)?.joint).then_some(foot)
    }

    /// A foot that shares its place with something named first.
    fn shared_foot(&self, run: usize, vent: usize) -> Option<JointIx> {
        let own = self.net.draft.runs.get(run)?;
        let spot = (spots(own).into_iter()).find(|s| {
            s.entrants.iter().any(|&e| {
                own.entrants
                    .get(e)
                    .is_some_and(|e| e.who == Who::Foot(vent))
            })
        })?;
        let id = format!("{}.{}", own.id, spot.name);
        let pieces = self.net.runs.get(run)?.pieces.iter();
        let mut joints = pieces.filter_map(|&p| self.net.from(p));
        joints.find(|&n| self.net.graph[n].id == id)
    }

    fn back_to_individual(&mut self, d: usize) {
        let joint = self.dry[d].joint;
        for trap in &mut self.net.traps {
            if trap.vent_fitting == Some(joint) && trap.vent == VentMethod::Island {
                trap.vent = VentMethod::Individual;
            }
        }
    }
}
