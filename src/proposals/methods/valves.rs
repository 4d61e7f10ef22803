//! Air admittance valves, where the job allows them: at a fixture whose vent would otherwise need a
//! riser of its own, or wherever one can stand if the job prefers them.

use std::collections::BTreeMap;

use super::choice::Choice;
use crate::catalogue::{self, Outlet};
use crate::job::{FloorIx, Job};
use crate::network::{JointIx, Network, State, VentMethod};
use crate::proposals::notes::Notes;
use crate::proposals::sites::Site;

/// The method's word in jobs and books.
pub(super) const VALVE: &str = "air admittance valve";

/// Floors above a valve's, at most: what lies deeper below the top of a stack needs a relief vent
/// beside its valves, and gets vents instead.
const FLOORS_ABOVE: usize = 3;

/// Gives valves to the fixtures that may have one and have no vent yet.
pub(super) fn settle(net: &mut Network, sites: &[Option<Site>], choice: &Choice<'_>) {
    let preferred = choice.job.practice.prefer.iter().any(|p| p.value == VALVE);
    // The building keeps a vent to the open air: that of a stack.
    let outdoors = choice.job.stacks.iter().any(|s| s.up_to.is_none());
    if !choice.may(VALVE) || !outdoors {
        return;
    }
    let about = About::of(sites);
    for t in 0..net.traps.len() {
        let Some(site) = sites.get(t).copied().flatten() else {
            continue;
        };
        let free = net.traps.get(t).is_some_and(|t| t.vent == VentMethod::None);
        let alone = about.at_fitting.get(&site.fitting) == Some(&1);
        let deep = choice.job.floors.len().saturating_sub(site.floor.0 + 1) > FLOORS_ABOVE;
        if !free || !alone || deep || !can_stand(choice.job, t) {
            continue;
        }
        if !preferred && !about.needs_riser(site) {
            continue;
        }
        if let Some(trap) = net.traps.get_mut(t) {
            trap.vent = VentMethod::AirAdmittance;
        }
    }
}

/// Whether a valve can stand at a fixture, in reach above its drain: one that drains through the
/// wall, no closet.
fn can_stand(job: &Job, fixture: usize) -> bool {
    let kind = job
        .fixtures
        .get(fixture)
        .and_then(|f| catalogue::kind(&f.kind.value));
    kind.is_some_and(|k| k.outlet == Outlet::Wall && !k.closet && !k.floor_drain)
}

/// What stands about the sites of traps.
struct About {
    /// How many traps end at each fitting.
    at_fitting: BTreeMap<JointIx, usize>,
    /// The highest floor that drains into each stack.
    highest: BTreeMap<usize, FloorIx>,
}

impl About {
    fn of(sites: &[Option<Site>]) -> About {
        let mut about = About {
            at_fitting: BTreeMap::new(),
            highest: BTreeMap::new(),
        };
        for site in sites.iter().flatten() {
            *about.at_fitting.entry(site.fitting).or_default() += 1;
            if let Some(stack) = site.stack {
                let highest = about.highest.entry(stack).or_insert(site.floor);
                *highest = (*highest).max(site.floor);
            }
        }
        about
    }

    /// Whether the vent of a trap would need a riser: it drains into no stack, or below the
    /// highest floor that drains into its own.
    fn needs_riser(&self, site: Site) -> bool {
        let highest = site.stack.map(|s| self.highest.get(&s));
        highest.is_none_or(|h| h.is_some_and(|h| site.floor < *h))
    }
}

/// Says which fixtures have a valve, and why.
pub(super) fn notes(job: &Job, net: &Network, notes: &mut Notes<'_>) {
    for (f, trap) in job.fixtures.iter().zip(&net.traps) {
        let stated = f.vent.is_some() || trap.vent_state != State::Proposed;
        if trap.vent != VentMethod::AirAdmittance || stated {
            continue;
        }
        let reason = notes.method(VALVE, "the job allows it, and it saves a riser");
        notes.add(
            &format!("{}.vent", f.name),
            "an air admittance valve",
            reason,
        );
    }
}
