//! In which order things enter a run, and which share one place.

use super::{Draft, DraftRun, Who};
use crate::job::Job;
use crate::units::Length;

/// One place along a run where something enters.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Last part of its joint's id: the name of what enters first.
    pub name: String,
    /// Indices into the run's entrants.
    pub entrants: Vec<usize>,
    /// Developed length up the run, if known.
    pub station: Option<Length>,
    /// Whether the run goes on from here in another.
    pub in_line: bool,
}

/// The places of a horizontal run, walking upstream: by station, else in the order of the job.
///
/// What states no station comes after what stands before it in the job.
pub fn spots(run: &DraftRun) -> Vec<Spot> {
    let mut placed: Vec<usize> = (0..run.entrants.len())
        .filter(|&i| own_place(run, i) && run.entrants[i].station.is_some())
        .collect();
    placed.sort_by(|&a, &b| {
        let at = |i: usize| run.entrants[i].station.unwrap_or_default();
        at(a).total_cmp(&at(b))
    });
    let mut spots: Vec<Spot> = Vec::new();
    for i in placed {
        let station = run.entrants[i].station;
        match spots.last_mut() {
            Some(last) if same(last.station, station) => last.entrants.push(i),
            _ => spots.push(Spot::of(run, i)),
        }
    }
    // Walk the file; each one without a station goes in after its predecessor.
    let stated = spots.len();
    let mut slots: Vec<Vec<Spot>> = vec![Vec::new(); stated + 1];
    let mut slot_of_last = 0;
    let mut spot_of: Vec<Option<usize>> = vec![None; run.entrants.len()];
    for (s, spot) in spots.iter().enumerate() {
        for &e in &spot.entrants {
            spot_of[e] = Some(s);
        }
    }
    let mut tail = Vec::new();
    for (i, spot) in spot_of.into_iter().enumerate() {
        if !own_place(run, i) {
            continue;
        }
        match spot {
            Some(s) => slot_of_last = s + 1,
            None if run.entrants[i].in_line => tail.push(Spot::of(run, i)),
            None => slots[slot_of_last].push(Spot::of(run, i)),
        }
    }
    let mut all = Vec::with_capacity(run.entrants.len());
    let mut slots = slots.into_iter();
    all.extend(slots.next().unwrap_or_default());
    for (spot, after) in spots.into_iter().zip(slots) {
        all.push(spot);
        all.extend(after);
    }
    all.extend(tail);
    share(run, &mut all);
    name_first(run, &mut all);
    all
}

/// Whether an entrant makes or joins a place by its own words, not by another fixture's.
fn own_place(run: &DraftRun, i: usize) -> bool {
    let e = &run.entrants[i];
    e.with.is_none_or(|f| !has_fixture(run, f, i))
}

fn has_fixture(run: &DraftRun, fixture: usize, but: usize) -> bool {
    (run.entrants.iter().enumerate()).any(|(i, e)| i != but && e.who == Who::Fixture(fixture))
}

fn same(a: Option<Length>, b: Option<Length>) -> bool {
    matches!((a, b), (Some(a), Some(b)) if (a - b).abs().mm() < 1.0)
}

/// Puts those that share a fixture's place there. A chain of them ends at one with its own.
fn share(run: &DraftRun, spots: &mut Vec<Spot>) {
    for i in 0..run.entrants.len() {
        if own_place(run, i) {
            continue;
        }
        let mut wanted = run.entrants[i].with;
        let mut found = None;
        for _ in 0..=run.entrants.len() {
            let Some(f) = wanted else { break };
            found = spots
                .iter()
                .position(|s| (s.entrants.iter()).any(|&e| run.entrants[e].who == Who::Fixture(f)));
            if found.is_some() {
                break;
            }
            wanted = (run.entrants.iter())
                .find(|e| e.who == Who::Fixture(f))
                .and_then(|e| e.with);
        }
        match found {
            Some(s) => spots[s].entrants.push(i),
            None => spots.push(Spot::of(run, i)),
        }
    }
}

/// Names each place after what enters there first; a mark gives its name only to a place of
/// its own.
fn name_first(run: &DraftRun, spots: &mut [Spot]) {
    for spot in spots {
        let first = (spot.entrants.iter())
            .find(|&&e| !run.entrants[e].is_mark())
            .or(spot.entrants.first());
        if let Some(&e) = first {
            spot.name.clone_from(&run.entrants[e].name);
        }
    }
}

impl Spot {
    fn of(run: &DraftRun, i: usize) -> Spot {
        Spot {
            name: run.entrants[i].name.clone(),
            entrants: vec![i],
            station: run.entrants[i].station,
            in_line: run.entrants[i].in_line,
        }
    }
    /// Whether no water enters here.
    pub fn is_mark(&self, run: &DraftRun) -> bool {
        self.entrants.iter().all(|&e| run.entrants[e].is_mark())
    }
}

/// One place up a stack.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum StackSpot {
    /// Something enters.
    Enters(Spot, Option<Length>),
    /// An offset, by index into the run's.
    Offset(usize),
}

/// The places of a stack, walking up: by floor level, then by invert, then in the order of the
/// job. An offset lies below what enters beneath the same floor, unless inverts say otherwise.
pub(crate) fn stack_spots(job: &Job, draft: &Draft, run: usize) -> Vec<StackSpot> {
    let Some(run) = draft.runs.get(run) else {
        return Vec::new();
    };
    let level = |floor: Option<crate::job::FloorIx>| {
        floor
            .and_then(|f| job.floors.get(f.0))
            .map_or(f64::MIN, |f| f.level.mm())
    };
    let mut keyed: Vec<(f64, f64, usize, StackSpot, Option<usize>)> = Vec::new();
    for (i, e) in run.entrants.iter().enumerate() {
        // A relief vent leaves below everything that enters beneath its floor.
        let below = match e.who {
            Who::StackRelief => f64::MIN,
            _ => f64::MAX,
        };
        let invert = e.invert.map_or(below, Length::mm);
        let spot = StackSpot::Enters(Spot::of(run, i), e.invert);
        keyed.push((level(e.floor), invert, 1 + i, spot, e.floor.map(|f| f.0)));
    }
    for (i, o) in run.offsets.iter().enumerate() {
        let invert = o.invert.as_ref().map_or(f64::MIN, |i| i.value.mm());
        let spot = StackSpot::Offset(i);
        keyed.push((level(Some(o.floor)), invert, 0, spot, Some(o.floor.0)));
    }
    keyed.sort_by(|a, b| {
        (a.0.total_cmp(&b.0))
            .then(a.1.total_cmp(&b.1))
            .then(a.2.cmp(&b.2))
    });
    let mut spots: Vec<(StackSpot, Option<usize>)> = Vec::new();
    for (_, _, _, spot, floor) in keyed {
        if let (Some((StackSpot::Enters(last, at), last_floor)), StackSpot::Enters(new, here)) =
            (spots.last_mut(), &spot)
            && *last_floor == floor
            && same(*at, *here)
        {
            last.entrants.extend(&new.entrants);
            continue;
        }
        spots.push((spot, floor));
    }
    spots.into_iter().map(|(s, _)| s).collect()
}
