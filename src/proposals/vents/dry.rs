//! The dry vents of a network, one a joint.

use std::collections::{BTreeMap, BTreeSet};

use super::Vents;
use crate::job::FloorIx;
use crate::network::faults;
use crate::network::{Column, JointIx, JointKind, RunIx, State, VentMethod};

/// A dry vent that leaves the drains.
pub(in crate::proposals) struct Dry {
    /// The joint it leaves.
    pub(super) joint: JointIx,
    /// The joint of the run that its fixture drains into; itself where there is no drop.
    pub(super) place: JointIx,
    /// Joint of the drains over which it rises; differs for an island.
    pub(super) over: JointIx,
    /// The fixture or basin that it is named after.
    pub(super) name: String,
    pub(super) floor: FloorIx,
    /// Vent of the job, if stated.
    pub(super) vent: Option<usize>,
    pub(super) state: State,
    /// Run by which its drain reaches a stack or the building drain.
    pub(super) top: Option<usize>,
    pub(super) stack: Option<usize>,
    pub(super) method: VentMethod,
    /// The stack whose vent stack it is, if it is one.
    pub(super) of: Option<usize>,
    /// The vent of a branch that it is, by index, and whether it is the relief vent.
    pub(super) branch: Option<(usize, bool)>,
    /// Index of the vertical that rises from it, once laid out.
    pub(super) vertical: Option<usize>,
}

impl Dry {
    /// Where it stands in plan.
    pub(super) fn column(&self) -> Column {
        Column::Over(self.over)
    }
}

impl Vents<'_, '_> {
    /// Lists the dry vents, in the order of the job's fixtures, then basins without any.
    pub(super) fn list(&mut self, at: &[Option<JointIx>]) {
        let mut seen: BTreeMap<JointIx, usize> = BTreeMap::new();
        for (t, joint) in at.iter().enumerate() {
            let (Some(joint), Some(site)) = (*joint, self.sites.get(t).copied().flatten()) else {
                continue;
            };
            let fixture = self.job.fixtures.get(t);
            let vent = fixture.and_then(|f| f.vent.as_ref()).map(|v| v.value);
            let vent = vent
                .or(self.basin_vent(joint))
                .filter(|&v| v < self.job.vents.len());
            let trap = &self.net.traps[t];
            let state = match (vent, trap.state) {
                (Some(_), _) => trap.vent_state,
                (None, State::Stated) => State::Proposed,
                (None, other) => other,
            };
            if let Some(&first) = seen.get(&joint) {
                let dry: &mut Dry = &mut self.dry[first];
                if dry.vent.is_none() && vent.is_some() {
                    (dry.vent, dry.state, dry.method) = (vent, state, trap.vent.clone());
                }
                continue;
            }
            seen.insert(joint, self.dry.len());
            self.dry.push(Dry {
                joint,
                place: site.place,
                over: joint,
                name: fixture.map_or(String::new(), |f| f.name.clone()),
                floor: site.floor,
                vent,
                state,
                top: site.top,
                stack: site.stack,
                method: trap.vent.clone(),
                of: None,
                branch: None,
                vertical: None,
            });
        }
        self.basins(&mut seen);
        self.vent_stacks();
        self.branches(&mut seen);
        for t in 0..self.net.traps.len() {
            if self.net.traps[t].vent_state != State::Proposed {
                continue;
            }
            let state = self.net.traps[t].state;
            if state != State::Stated {
                self.net.traps[t].vent_state = state;
            }
        }
        self.rises = vec![None; self.dry.len()];
    }

    fn basin_vent(&self, joint: JointIx) -> Option<usize> {
        let node = self.net.graph.node_weight(joint)?;
        let basin = self.job.basins.iter().find(|b| b.name == node.id)?;
        basin.vent.as_ref().map(|v| v.value)
    }

    /// A basin is vented even if no trap is vented there.
    fn basins(&mut self, seen: &mut BTreeMap<JointIx, usize>) {
        for joint in self.net.graph.node_indices().collect::<Vec<_>>() {
            if self.net.graph[joint].kind != JointKind::Basin || seen.contains_key(&joint) {
                continue;
            }
            let name = self.net.graph[joint].id.clone();
            let basin = self.job.basins.iter().find(|b| b.name == name);
            let vent = self.basin_vent(joint).filter(|&v| v < self.job.vents.len());
            self.dry.push(Dry {
                joint,
                place: joint,
                over: joint,
                name,
                floor: basin.and_then(|b| b.floor).unwrap_or(FloorIx(0)),
                vent,
                state: vent.map_or(State::Proposed, |_| State::Stated),
                top: None,
                stack: None,
                method: VentMethod::Individual,
                of: None,
                branch: None,
                vertical: None,
            });
            seen.insert(joint, self.dry.len() - 1);
        }
    }

    /// The vents of branches, and their relief vents.
    fn branches(&mut self, seen: &mut BTreeMap<JointIx, usize>) {
        let all = self.net.branch_vents.clone();
        let mut runs: BTreeSet<RunIx> = BTreeSet::new();
        for (b, vent) in all.iter().enumerate() {
            let before = !runs.insert(vent.run);
            let sites = vent
                .traps
                .iter()
                .filter_map(|t| self.sites.get(t.0).copied()?);
            let Some(site) = sites.max_by_key(|s| s.floor) else {
                continue;
            };
            let owner = self.net.runs.get(vent.run.0);
            let owner = owner.map_or(String::new(), |r| r.id.clone());
            for (joint, relief) in [(vent.vent, false), (vent.relief, true)] {
                let Some(joint) = joint.filter(|j| !seen.contains_key(j)) else {
                    continue;
                };
                seen.insert(joint, self.dry.len());
                self.dry.push(Dry {
                    joint,
                    place: joint,
                    over: joint,
                    // A branch may have several circuits, one after the other.
                    name: match self.net.graph.node_weight(joint) {
                        Some(j) if relief || before => j.id.clone(),
                        _ => owner.clone(),
                    },
                    floor: site.floor,
                    vent: None,
                    state: State::Proposed,
                    top: site.top,
                    stack: site.stack,
                    method: vent.method.of_traps(),
                    of: None,
                    branch: Some((b, relief)),
                    vertical: None,
                });
            }
        }
    }

    /// Stated vents that nothing uses.
    pub(super) fn unused(&mut self) {
        let named = self.job.fixtures.iter();
        let named = named.filter_map(|f| f.vent.as_ref().map(|v| v.value));
        let of_dry = self.dry.iter().filter_map(|d| d.vent);
        let used: BTreeSet<usize> = named.chain(of_dry).collect();
        for (v, vent) in self.job.vents.iter().enumerate() {
            if !used.contains(&v) {
                let message = format!("no fixture and no basin names vent `{}`", vent.name);
                let help = "add vent = \"…\" to what it serves, or take it out";
                let span = Some(vent.span.clone());
                self.faults
                    .warning(faults::VENT_UNUSED, &vent.name, span, message, help);
            }
        }
    }
}
