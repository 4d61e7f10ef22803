//! Where the vent of a trap without a drop rises: on the trap's own arm, not on the drain that
//! other waste passes.

use std::collections::BTreeSet;

use super::notes::Notes;
use super::sites::Site;
use super::trap_size;
use crate::job::Job;
use crate::network::draft::{Draft, DraftLeg};
use crate::network::{JointIx, JointKind, Network, VentMethod};
use crate::units::{Length, Printer};

/// Gives each trap whose own vent would rise from a junction that other waste passes a vent
/// fitting on its arm. `dry` is the joint of each trap's dry vent. Gives whether there were any:
/// the network has to be cut again.
///
/// A vent that the job states keeps its place, and so does one that serves others as a wet vent
/// or is shared.
pub(super) fn propose(
    (job, net): (&Job, &Network),
    draft: &mut Draft,
    (sites, dry): (&[Option<Site>], &[Option<JointIx>]),
    notes: &mut Notes<'_>,
) -> bool {
    let print = Printer { units: job.units };
    let serving: BTreeSet<usize> = (net.traps.iter())
        .filter_map(|t| match t.vent {
            VentMethod::Wet(by) => Some(by.0),
            _ => None,
        })
        .collect();
    let mut any = false;
    for (t, (f, trap)) in job.fixtures.iter().zip(&net.traps).enumerate() {
        let (Some(site), Some(way)) = (
            sites.get(t).copied().flatten(),
            draft.fixtures.get_mut(t).filter(|w| !w.has_drop),
        ) else {
            continue;
        };
        let own = trap.vent == VentMethod::Individual && f.vent.is_none();
        let at_junction = dry.get(t).copied().flatten() == Some(site.place)
            && net.graph.node_weight(site.place).map(|j| j.kind) == Some(JointKind::Junction);
        if !own || !at_junction || serving.contains(&t) || net.upstream(site.place).len() < 2 {
            continue;
        }
        let whole = way.arm.or(way.offset.map(|o| o.1));
        let diameters = notes.book.arm_rules().crown_diameters.value;
        let crown = trap_size(f, notes.book).map_or(Length::ZERO, |s| {
            Length::from_inches(s.inches()) * diameters
        });
        let arm = whole.map(|whole| share(whole, crown, way.arm_limit));
        if whole.zip(arm).is_some_and(|(whole, arm)| arm >= whole) {
            // No room between the weir and the junction: it stays where it is.
            continue;
        }
        any = true;
        way.side = way.side.or(way.offset.map(|o| o.0));
        way.has_drop = true;
        way.drop = vec![DraftLeg {
            heading: way.side,
            length: whole.zip(arm).map(|(whole, arm)| whole - arm),
            ..DraftLeg::default()
        }];
        way.arm = arm;
        let what = match arm {
            Some(arm) => format!("its vent fitting, {} from its trap", print.length(arm)),
            None => "its vent fitting, on its arm".to_owned(),
        };
        let reason = notes.method("individual", "its vent rises where no other waste passes");
        notes.add(&f.name, what, reason);
    }
    any
}

/// How far from the weir the vent stands on an arm: half way, no nearer than the crown allows
/// and no farther than the arm may be long.
fn share(whole: Length, crown: Length, most: Option<Length>) -> Length {
    let half = whole * 0.5;
    let arm = if half < crown { crown } else { half };
    most.map_or(arm, |most| if most < arm { most } else { arm })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arm_is_shared_half_and_half_within_its_limits() {
        let feet = Length::from_feet;
        let share = |whole, crown, most| share(feet(whole), feet(crown), most).feet();
        let share = |w, c, m| (share(w, c, m) * 1e6).round() / 1e6;
        assert_eq!(share(3.0, 0.5, Some(feet(8.0))), 1.5);
        assert_eq!(share(30.0, 0.5, Some(feet(8.0))), 8.0);
        assert_eq!(share(0.75, 0.5, Some(feet(8.0))), 0.5);
        assert_eq!(share(20.0, 0.0, None), 10.0);
    }
}
