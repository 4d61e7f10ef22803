//! One wet vent for a bathroom: through the drain of its fixtures, by the dry vent of one of them.

use std::collections::{BTreeMap, BTreeSet};

use super::choice::Choice;
use crate::codebook::Book;
use crate::job::{FloorIx, Job};
use crate::network::kinds::ways;
use crate::network::{Network, TrapIx, VentMethod};
use crate::proposals::sites::{Site, is_drain};
use crate::sizing::loads::Carried;
use crate::units::{Heading, Load, PipeSize};

/// Wet vents: on each run, the bathroom fixtures at its upstream end.
pub(super) fn wet(job: &Job, net: &mut Network, sites: &[Option<Site>], choice: &Choice<'_>) {
    if !choice.may("wet vent") || choice.rather_individual() {
        return;
    }
    let book = choice.book;
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
