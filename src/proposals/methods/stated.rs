//! What the job states of vents.

use std::collections::BTreeSet;

use crate::job::Job;
use crate::network::{Network, State, TrapIx, VentMethod};

/// What the job states of vents.
pub(super) fn stated(job: &Job, net: &mut Network) {
    for (i, f) in job.fixtures.iter().enumerate() {
        let Some(trap) = net.traps.get_mut(i) else {
            continue;
        };
        if trap.joint.is_none() {
            continue;
        }
        if let Some(vent) = f.vent.as_ref().and_then(|v| job.vents.get(v.value)) {
            trap.vent_state = match (vent.existing, vent.future) {
                (true, _) => State::Existing,
                (_, true) => State::Future,
                _ => State::Stated,
            };
            trap.vent = match vent.kind.as_ref().map(|k| k.value.as_str()) {
                Some("island") => VentMethod::Island,
                Some("air admittance valve") => VentMethod::AirAdmittance,
                _ => VentMethod::Individual,
            };
        } else if let Some(by) = &f.vented_by {
            trap.vent = VentMethod::Wet(TrapIx(by.value));
            trap.vent_state = State::Stated;
        }
    }
    // One whose vent serves others as a wet vent has a dry vent, whatever else.
    let served: BTreeSet<usize> = (job.fixtures.iter())
        .filter(|f| f.vent.is_none())
        .filter_map(|f| f.vented_by.as_ref().map(|v| v.value))
        .collect();
    for t in served {
        if let Some(trap) = net.traps.get_mut(t)
            && trap.joint.is_some()
            && trap.vent == VentMethod::None
        {
            trap.vent = VentMethod::Individual;
        }
    }
}
