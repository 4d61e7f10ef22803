//! How each trap is vented: as stated, else one wet vent for a bathroom, else a vent of its own,
//! shared where two traps meet at one fitting.

use std::collections::{BTreeMap, BTreeSet};

use super::sites::{Site, is_drain};
use crate::codebook::Book;
use crate::job::{FloorIx, Job};
use crate::network::kinds::ways;

use crate::network::{JointIx, JointKind, Network, State, TrapIx, VentMethod};
use crate::sizing::loads::Carried;
use crate::units::{Heading, Load, PipeSize};

/// Settles the method of every trap, and the joint at which each dry vent leaves.
///
/// Returns for each trap the joint of its dry vent, if it has one of its own.
pub(crate) fn settle(
    job: &Job,
    net: &mut Network,
    sites: &[Option<Site>],
    book: &Book,
) -> Vec<Option<JointIx>> {
    stated(job, net);
    if wet_allowed(job, book) {
        wet(job, net, sites, book);
    }
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

/// What the job states of vents.
fn stated(job: &Job, net: &mut Network) {
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

fn wet_allowed(job: &Job, book: &Book) -> bool {
    let word = |w: &str| job.practice.allow.iter().any(|a| a.value == w);
    let usual = book
        .methods()
        .get("wet vent")
        .is_some_and(|m| m.usual || word("wet vent"));
    let first = job.practice.prefer.first().map(|p| p.value.as_str());
    usual && !first.is_some_and(|p| p.starts_with("individual"))
}

/// Wet vents: on each run, the bathroom fixtures at its upstream end.
fn wet(job: &Job, net: &mut Network, sites: &[Option<Site>], book: &Book) {
    let Some(rules) = book.wet_vent_rules() else {
        return;
    };
    let upstream = rules.upstream_of_dry_vent.value as usize;
    let most = rules.groups.value.max(1) as usize;
    let rooms = bathrooms(job, sites);
    let loads = crate::sizing::traps::traps(job, net, book);
    let counted = crate::sizing::groups::groups(job, net, book, &loads);
    let carries = largest_wet_vent(book);
    let mut runs: BTreeMap<usize, BTreeMap<usize, Vec<usize>>> = BTreeMap::new();
    for (t, site) in sites.iter().enumerate() {
        if let Some((run, place)) = site.and_then(|s| s.run) {
            runs.entry(run)
                .or_default()
                .entry(place)
                .or_default()
                .push(t);
        }
    }
    for (run, places) in runs {
        let joined = joins(net, run);
        // A lavatory in a dressing room is of no bathroom: what is not joins downstream.
        let bath = |t: usize| {
            job.fixtures.get(t).is_some_and(|f| {
                let room = f.room.as_deref();
                ways(&f.kind.value).bath
                    && room.is_none_or(|room| rooms.contains(&(floor_of(sites, t), room)))
            })
        };
        let closet = |t: usize| {
            job.fixtures
                .get(t)
                .is_some_and(|f| ways(&f.kind.value).closet)
        };
        // From the upstream end down, as long as only bathroom fixtures of one floor drain there.
        let mut zone: Vec<(usize, usize)> = Vec::new();
        let last_join = joined.iter().next_back().copied();
        let mut closets = 0;
        let mut above = Carried::default();
        for (&place, traps) in places.iter().rev() {
            if last_join.is_some_and(|j| place <= j) {
                break;
            }
            let floor = |t: &usize| sites[*t].map(|s| s.floor);
            let first = zone
                .first()
                .and_then(|z| floor(&z.1))
                .or(traps.first().and_then(floor));
            closets += traps.iter().filter(|&&t| closet(t)).count();
            // What drains in here is vented through what carries all that stands upstream of it.
            if above.load() > carries {
                break;
            }
            for &t in traps {
                if let Some(load) = loads.get(&TrapIx(t)) {
                    above.add_trap(&counted, TrapIx(t), load);
                }
            }
            if !traps.iter().all(|t| bath(*t) && floor(t) == first) || closets > most {
                break;
            }
            zone.extend(traps.iter().map(|&t| (place, t)));
        }
        if zone.len() < 2 {
            continue;
        }
        let Some(by) = dry_fixture(job, net, &zone, upstream) else {
            continue;
        };
        let Some(at) = zone.iter().find(|z| z.1 == by).map(|z| z.0) else {
            continue;
        };
        let fitting = sites[by].map(|s| s.fitting);
        if net.traps[by].vent == VentMethod::None {
            net.traps[by].vent = VentMethod::Individual;
        }
        let mut beyond = 0;
        // Nearest to the dry vent first, so that the ones farther up get vents of their own.
        for &(place, t) in zone.iter().rev() {
            if net.traps[t].vent != VentMethod::None {
                continue;
            }
            // One that turns down before it comes to the wet vent would be an S-trap.
            let down = !closet(t) && sites[t].is_some_and(|s| turns_down(net, s));
            if down || sites[t].map(|s| s.fitting) == fitting {
                net.traps[t].vent = VentMethod::Individual;
                continue;
            }
            let not_last = zone.iter().any(|z| z.0 < place && !closet(z.1));
            if closet(t) && not_last && !rules.closet_anywhere.value {
                net.traps[t].vent = VentMethod::Individual;
                continue;
            }
            if place > at {
                beyond += 1;
                if beyond > upstream {
                    net.traps[t].vent = VentMethod::Individual;
                    continue;
                }
            }
            net.traps[t].vent = VentMethod::Wet(TrapIx(by));
        }
    }
}

/// The load of the largest wet vent that the book has.
fn largest_wet_vent(book: &Book) -> Load {
    let rows = PipeSize::all().filter_map(|s| Some(book.wet_vent(s).ok()?.value));
    rows.fold(
        Load::ZERO,
        |most, load| if load > most { load } else { most },
    )
}

/// The rooms that hold a water closet, each with its floor.
fn bathrooms<'j>(job: &'j Job, sites: &[Option<Site>]) -> BTreeSet<(Option<FloorIx>, &'j str)> {
    let closets = (job.fixtures.iter().enumerate()).filter(|(_, f)| ways(&f.kind.value).closet);
    closets
        .filter_map(|(t, f)| Some((floor_of(sites, t), f.room.as_deref()?)))
        .collect()
}

fn floor_of(sites: &[Option<Site>], fixture: usize) -> Option<FloorIx> {
    sites.get(fixture).copied().flatten().map(|s| s.floor)
}

/// How many joints up a run other runs of drain join it.
fn joins(net: &Network, run: usize) -> BTreeSet<usize> {
    let mut joined = BTreeSet::new();
    let Some(own) = net.runs.get(run) else {
        return joined;
    };
    for (i, &p) in own.pieces.iter().enumerate() {
        let Some(joint) = net.from(p) else { continue };
        let foreign = net.upstream(joint).into_iter().any(|u| {
            let of = net.graph[u].run;
            let kind = net.runs[of.0].kind;
            of.0 != run && (is_drain(kind) || net.is_stack(of) || is_pumped(kind))
        });
        if foreign {
            joined.insert(i);
        }
    }
    joined
}

fn is_pumped(kind: crate::network::RunKind) -> bool {
    kind == crate::network::RunKind::Discharge
}

/// The fixture of a wet-vented part whose dry vent serves it: one with a stated vent, else a
/// lavatory, else any but a closet, the farthest upstream; with no more drains beyond it than the
/// book lets stand, if there is such a one.
fn dry_fixture(
    job: &Job,
    net: &Network,
    zone: &[(usize, usize)],
    upstream: usize,
) -> Option<usize> {
    let beyond = |place: usize| zone.iter().filter(|z| z.0 > place).count();
    let kind = |t: usize| {
        job.fixtures
            .get(t)
            .map(|f| ways(&f.kind.value))
            .unwrap_or_default()
    };
    let able = zone.iter().filter(|&&(_, t)| {
        !kind(t).closet && matches!(net.traps[t].vent, VentMethod::None | VentMethod::Individual)
    });
    able.max_by_key(|&&(place, t)| {
        (
            beyond(place) <= upstream,
            net.traps[t].vent == VentMethod::Individual,
            kind(t).lavatory,
            place,
            std::cmp::Reverse(t),
        )
    })
    .map(|z| z.1)
}

/// Whether a trap's drain turns down between its fitting and the run that it drains into.
fn turns_down(net: &Network, site: Site) -> bool {
    let drop = net.downstream(site.fitting);
    let drop = drop.filter(|_| site.fitting != site.place);
    drop.and_then(|p| net.graph.edge_weight(p))
        .is_some_and(|p| p.legs.iter().any(|l| l.heading == Some(Heading::Up)))
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
