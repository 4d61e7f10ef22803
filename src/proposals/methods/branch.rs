//! Traps that one vent on their branch serves.

use crate::job::Job;
use crate::network::{BranchMethod, CIRCUIT, COMBINATION, Network, State, TrapIx, VentMethod};
use crate::proposals::notes::Notes;

/// Sets the method of the traps of every vent on a branch.
pub(super) fn settle(net: &mut Network) {
    for vent in net.branch_vents.clone() {
        for TrapIx(t) in vent.traps {
            let Some(trap) = net.traps.get_mut(t) else {
                continue;
            };
            if trap.joint.is_none() || trap.vent != VentMethod::None {
                continue;
            }
            trap.vent = vent.method.of_traps();
            if vent.stated {
                trap.vent_state = State::Stated;
            }
        }
    }
}

/// Says which branches have such vents, and why.
pub(super) fn notes(job: &Job, net: &Network, notes: &mut Notes<'_>) {
    for vent in &net.branch_vents {
        let Some(id) = net.runs.get(vent.run.0).map(|r| r.id.clone()) else {
            continue;
        };
        let names: Vec<&str> = (vent.traps.iter())
            .filter_map(|t| job.fixtures.get(net.traps.get(t.0)?.fixture))
            .map(|f| f.name.as_str())
            .collect();
        let names = names.join(", ");
        if !vent.stated {
            let (what, reason) = match vent.method {
                BranchMethod::Circuit => (
                    format!("a circuit vent for {names}"),
                    notes.method(CIRCUIT, "one vent serves the battery on one branch"),
                ),
                BranchMethod::Combination => (
                    format!("a combination drain and vent for {names}"),
                    notes.method(COMBINATION, "the drain is large enough to be their vent"),
                ),
            };
            notes.add(&id, what, reason);
        }
        if vent.relief.is_some() {
            let rules = notes
                .book
                .circuit_rules()
                .and_then(|r| r.relief_from.as_ref());
            let section = rules.map_or(String::new(), |r| format!(" ({})", r.section));
            let reason = format!("its stack takes waste from above{section}");
            notes.add(&id, "a relief vent", reason);
        }
    }
}
