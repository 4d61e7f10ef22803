//! Traps that one vent on their branch serves.

use crate::network::{Network, State, TrapIx, VentMethod};

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
