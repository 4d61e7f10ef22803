//! The feet of vent stacks, on the drains below tall stacks, and where relief vents leave those.

use super::branches::floor_name;
use crate::codebook::Book;
use crate::job::{FloorIx, Job};
use crate::network::draft::{Draft, Entrant, Who, spots};
use crate::network::{Network, RunIx, State};
use crate::sizing::intervals::intervals;
use crate::sizing::tall::tall;
use crate::units::Length;

/// How far downstream of the base a foot stands, in inches, where the drain's lengths are known: the
/// first that is free. Within ten diameters of a 3 in stack; so near is common practice.
const FOOT: [f64; 5] = [12.0, 18.0, 24.0, 9.0, 30.0];
/// Feet keep so far from what else enters the drain, in inches.
const CLEAR: f64 = 4.0;

/// Gives each tall stack that goes up to the roof a place for the foot of its vent stack, and places
/// at which relief vents leave it. Gives whether there were any: the network has to be cut again.
pub(super) fn propose((job, net): (&Job, &Network), draft: &mut Draft, book: &Book) -> bool {
    if book.vent_stack_rule().is_none() {
        return false;
    }
    let intervals = intervals(job, net, book);
    let mut any = false;
    for (s, stack) in job.stacks.iter().enumerate() {
        let Some(&run) = draft.stacks.get(s) else {
            continue;
        };
        let is_there = draft
            .runs
            .get(run)
            .is_none_or(|r| r.state == State::Existing);
        if is_there || stack.up_to.is_some() {
            continue;
        }
        let own = intervals.get(&RunIx(run));
        let Some(tall) = own.and_then(|i| tall(job, net, book, RunIx(run), i)) else {
            continue;
        };
        if !foot(draft, run) {
            continue;
        }
        any = true;
        for floor in tall.relief {
            relief(job, draft, run, floor);
        }
    }
    any
}

/// Lets a foot enter the drain that a stack stands on, just downstream of its base. Gives whether
/// there was a place for it.
fn foot(draft: &mut Draft, stack: usize) -> bool {
    let Some(below) = draft.parent(stack) else {
        return false;
    };
    let name = format!("{}-vent", draft.runs[stack].id);
    let own = &draft.runs[below];
    let Some(at) = own.entrants.iter().position(|e| e.who == Who::Run(stack)) else {
        return false;
    };
    let total: Option<Length> = own.legs.iter().map(|l| l.length).sum();
    let last = || spots(own).last().is_some_and(|s| s.entrants.contains(&at));
    let total = || total.filter(|_| !own.legs.is_empty() && last());
    let base = own.entrants[at].station.or_else(total);
    let taken: Vec<Length> = own.entrants.iter().filter_map(|e| e.station).collect();
    let clear = Length::from_inches(CLEAR);
    let free = |s: &Length| *s >= clear && taken.iter().all(|t| (*t - *s).abs() >= clear);
    let places = FOOT
        .iter()
        .filter_map(|d| Some(base? - Length::from_inches(*d)));
    let station = places.into_iter().find(free);
    if base.is_some() && station.is_none() {
        return false;
    }
    let entrant = Entrant {
        station,
        span: draft.runs[stack].span.clone(),
        ..Entrant::new(Who::VentStack(stack), name)
    };
    draft.runs[below].entrants.insert(at, entrant);
    true
}

/// Lets a relief vent leave a stack below everything that enters it beneath a floor.
fn relief(job: &Job, draft: &mut Draft, stack: usize, floor: FloorIx) {
    let own = &draft.runs[stack];
    let here = own.entrants.iter().filter(|e| e.floor == Some(floor));
    let inverts: Option<Vec<Length>> = here.map(|e| e.invert).collect();
    let lowest = inverts.and_then(|i| i.into_iter().min_by(Length::total_cmp));
    let entrant = Entrant {
        floor: Some(floor),
        invert: lowest.map(|i| i - Length::from_feet(1.0)),
        span: own.span.clone(),
        ..Entrant::new(
            Who::StackRelief,
            format!("relief-{}", floor_name(job, Some(floor))),
        )
    };
    draft.runs[stack].entrants.push(entrant);
}
