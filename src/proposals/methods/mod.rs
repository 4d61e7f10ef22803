//! How each trap is vented: as stated, else by its stack where book and job allow that, else one
//! wet vent for a bathroom, else a vent of its own, shared where two traps meet at one fitting.

mod branch;
mod choice;
mod single;
mod stated;
mod valves;
mod waste;
mod wet;

use std::collections::BTreeMap;

use super::notes::Notes;
use super::sites::Site;
use crate::codebook::Book;
use crate::job::Job;
use crate::network::draft::Draft;
use crate::network::{JointIx, JointKind, Network, TrapIx, VentMethod};
use crate::units::Heading;

pub(super) use choice::Choice;
pub(super) use waste::is_one as is_waste_stack;

/// Settles the method of every trap, and the joint at which each dry vent leaves.
///
/// Returns for each trap the joint of its dry vent, if it has one of its own.
pub(crate) fn settle(
    (job, draft, book): (&Job, &Draft, &Book),
    net: &mut Network,
    sites: &[Option<Site>],
) -> Vec<Option<JointIx>> {
    let choice = Choice::new(job, book, draft);
    stated::stated(job, net);
    branch::settle(net);
    waste::settle(net, sites, &choice);
    single::settle(net, sites, &choice);
    wet::wet(job, net, sites, &choice);
    valves::settle(net, sites, &choice);
    let drops = upright_drops(net, sites);
    let mut dry: Vec<Option<JointIx>> = vec![None; net.traps.len()];
    for (t, trap) in net.traps.iter_mut().enumerate() {
        let Some(site) = sites.get(t).copied().flatten() else {
            continue;
        };
        if trap.vent == VentMethod::None {
            trap.vent = VentMethod::Individual;
        }
        if let VentMethod::Individual | VentMethod::AirAdmittance | VentMethod::Island = trap.vent {
            // A vent straight above an upright drop would stand in it: it is that drop's vent.
            let above = drops.get(&site.fitting).copied();
            dry[t] = Some(above.unwrap_or(site.fitting));
        }
    }
    carry(net, sites, &mut dry);
    common(net, &dry);
    dry
}

/// Says which methods were picked that are not a vent at each trap, and why.
pub(super) fn notes(job: &Job, net: &Network, notes: &mut Notes<'_>) {
    waste::notes(job, net, notes);
    single::notes(job, net, notes);
    wet_notes(job, net, notes);
    valves::notes(job, net, notes);
}

fn wet_notes(job: &Job, net: &Network, notes: &mut Notes<'_>) {
    for (f, trap) in job.fixtures.iter().zip(&net.traps) {
        let VentMethod::Wet(by) = trap.vent else {
            continue;
        };
        if f.vented_by.is_some() {
            continue;
        }
        let Some(by) = job.fixtures.get(by.0) else {
            continue;
        };
        let reason = notes.method("wet vent", "one vent serves the bathroom");
        notes.add(&f.name, format!("wet vented by {}", by.name), reason);
    }
}

/// Fittings on top of upright drops, by the joint that the drop stands on.
fn upright_drops(net: &Network, sites: &[Option<Site>]) -> BTreeMap<JointIx, JointIx> {
    let mut drops = BTreeMap::new();
    for site in sites.iter().flatten() {
        if site.fitting == site.place {
            continue;
        }
        let upright = net.downstream(site.fitting).is_some_and(|p| {
            net.graph[p]
                .legs
                .iter()
                .all(|l| l.heading == Some(Heading::Up))
        });
        if upright {
            drops.entry(site.place).or_insert(site.fitting);
        }
    }
    drops
}

/// A wet vent whose dry vent was not to be had gets one; chains of wet vents end at a dry one.
fn carry(net: &mut Network, sites: &[Option<Site>], dry: &mut [Option<JointIx>]) {
    for t in 0..net.traps.len() {
        let mut at = t;
        let mut left = net.traps.len();
        while let VentMethod::Wet(next) = net.traps[at].vent {
            if left == 0 || sites.get(next.0).copied().flatten().is_none() {
                // Round in a circle, or by what has no trap: it needs a vent of its own.
                net.traps[t].vent = VentMethod::Individual;
                dry[t] = sites[t].map(|s| s.fitting);
                break;
            }
            left -= 1;
            at = next.0;
        }
    }
}

/// Traps that share the joint of a dry vent share the vent.
fn common(net: &mut Network, dry: &[Option<JointIx>]) {
    let mut by_joint: BTreeMap<JointIx, Vec<usize>> = BTreeMap::new();
    for (t, joint) in dry.iter().enumerate() {
        if let Some(joint) = joint
            && net.traps[t].vent == VentMethod::Individual
        {
            by_joint.entry(*joint).or_default().push(t);
        }
    }
    for (joint, traps) in by_joint {
        if traps.len() < 2 || net.graph[joint].kind == JointKind::Basin {
            continue;
        }
        for &t in &traps {
            let others = traps
                .iter()
                .filter(|&&o| o != t)
                .map(|&o| TrapIx(o))
                .collect();
            net.traps[t].vent = VentMethod::Common(others);
        }
    }
}
