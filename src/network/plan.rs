//! Plan positions: where each run starts, and the station and the way square off it of what
//! states a position instead.

use super::draft::{Draft, DraftLeg, Root, Who};
use super::faults::{self, Faults};
use super::model::RunKind;
use crate::job::Job;
use crate::units::{Heading, Length, Printer};

/// East and north of plan zero.
pub(crate) type Point = (Length, Length);

/// Closer than this is the same place: a quarter inch, finer than anyone sets a pipe.
const SAME: Length = Length::from_mm(6.0);

/// Works out, from the exits up, the plan origin of every run that has one, and the stations and
/// ways off of what states a position. What is known stays. `faults` is told of positions that
/// disagree with stations.
pub(crate) fn place(job: &Job, draft: &mut Draft, mut faults: Option<&mut Faults>) {
    let mut stacks: Vec<Option<usize>> = vec![None; draft.runs.len()];
    for (s, &run) in draft.stacks.iter().enumerate() {
        if let Some(stack @ None) = stacks.get_mut(run) {
            *stack = Some(s);
        }
    }
    // The plan position that the job states of the stack that a run is.
    let stated = |run: usize| job.stacks.get((*stacks.get(run)?)?)?.at;
    let mut ready: Vec<usize> = Vec::new();
    for run in (0..draft.runs.len()).rev() {
        if let Some(Root::Exit(e)) = draft.runs[run].root {
            draft.runs[run].origin = exit_at(job, e);
        }
        if matches!(draft.runs[run].root, Some(Root::Exit(_) | Root::Basin(_))) {
            ready.push(run);
        }
    }
    let mut seen = vec![false; draft.runs.len()];
    while let Some(run) = ready.pop() {
        if std::mem::replace(&mut seen[run], true) {
            continue;
        }
        let entrants = draft.runs[run].entrants.len();
        for e in 0..entrants {
            if draft.runs[run].kind != RunKind::Stack {
                on_level(job, draft, (run, e), &stated, &mut faults);
            }
            if let Who::Run(child) = draft.runs[run].entrants[e].who {
                draft.runs[child].origin =
                    stated(child).or_else(|| origin_of_child(job, draft, run, e));
                ready.push(child);
            }
        }
    }
}

/// Where an exit is: as stated, else the first one is plan zero.
pub(super) fn exit_at(job: &Job, exit: usize) -> Option<Point> {
    let at = job.exits.get(exit)?.at;
    at.or((exit == 0).then_some((Length::ZERO, Length::ZERO)))
}

fn origin_of_child(job: &Job, draft: &Draft, run: usize, entrant: usize) -> Option<Point> {
    let own = draft.runs.get(run)?;
    let e = own.entrants.get(entrant)?;
    if own.kind == RunKind::Stack {
        return shifted(job, draft, run, e.floor);
    }
    let origin = own.origin?;
    if e.in_line {
        let total = own.legs.iter().map(|l| l.length).sum::<Option<Length>>()?;
        return point_at(origin, &own.legs, total).map(|p| p.0);
    }
    point_at(origin, &own.legs, e.station?).map(|p| p.0)
}

/// Where a stack is at a floor: its stated position, else its base's, with its offsets.
pub(crate) fn stack_at(
    job: &Job,
    draft: &Draft,
    stack: usize,
    floor: Option<crate::job::FloorIx>,
) -> Option<Point> {
    shifted(job, draft, stack, floor)
}

/// Where a stack is at a floor, with the offsets beneath it.
fn shifted(
    job: &Job,
    draft: &Draft,
    stack: usize,
    floor: Option<crate::job::FloorIx>,
) -> Option<Point> {
    let own = draft.runs.get(stack)?;
    let level = |f: crate::job::FloorIx| job.floors.get(f.0).map(|f| f.level);
    let here = level(floor?)?;
    let mut at = own.origin?;
    for o in &own.offsets {
        if level(o.floor)? <= here {
            at = go(at, o.heading, o.length?);
        }
    }
    Some(at)
}

/// One step along a heading.
pub(crate) fn go(at: Point, heading: Heading, length: Length) -> Point {
    let (e, n) = heading.east_north();
    (at.0 + length * e, at.1 + length * n)
}

/// The place at a station of a run, with the heading of the leg there.
pub(crate) fn point_at(
    origin: Point,
    legs: &[DraftLeg],
    station: Length,
) -> Option<(Point, Heading)> {
    let (mut at, mut left) = (origin, station);
    let mut last = None;
    for leg in legs {
        let (heading, length) = (leg.heading?, leg.length?);
        if left <= length + SAME {
            return Some((go(at, heading, left), heading));
        }
        at = go(at, heading, length);
        left -= length;
        last = Some(heading);
    }
    last.filter(|_| left < SAME).map(|h| (at, h))
}

/// The station nearest to a place, and the way square off the run from there to it.
fn project(origin: Point, legs: &[DraftLeg], to: Point) -> Option<(Length, Heading, Length)> {
    let mut at = origin;
    let mut walked = Length::ZERO;
    let mut best: Option<(Length, Heading, Length)> = None;
    for leg in legs {
        let (heading, length) = (leg.heading?, leg.length?);
        if !heading.is_vertical() {
            let (along, side) = components(at, heading, to);
            let inside = along > -SAME && along < length + SAME;
            let off = side.abs();
            if inside && best.is_none_or(|b| off < b.2) {
                let station = walked + along.max(Length::ZERO).min(length);
                let way = heading.turned(if side > Length::ZERO { 2 } else { -2 });
                best = Some((station, way, off));
            }
        }
        at = go(at, heading, length);
        walked += length;
    }
    best
}

/// How far along a heading a place is, and how far to its right.
fn components(from: Point, heading: Heading, to: Point) -> (Length, Length) {
    let (east, north) = (to.0 - from.0, to.1 - from.1);
    let (e, n) = heading.east_north();
    let (re, rn) = heading.turned(2).east_north();
    (east * e + north * n, east * re + north * rn)
}

fn on_level(
    job: &Job,
    draft: &mut Draft,
    (run, entrant): (usize, usize),
    stated: &impl Fn(usize) -> Option<Point>,
    faults: &mut Option<&mut Faults>,
) {
    let Some(origin) = draft.runs[run].origin else {
        return;
    };
    let e = &draft.runs[run].entrants[entrant];
    let (at, fixture) = match e.who {
        Who::Fixture(f) => (job.fixtures.get(f).and_then(|f| f.at), Some(f)),
        // A stack, or the lateral at whose end it stands.
        Who::Run(r) => (stated(r), None),
        _ => (None, None),
    };
    let Some(at) = at else { return };
    let legs = &draft.runs[run].legs;
    let found = match e.station {
        None => project(origin, legs, at),
        Some(station) => point_at(origin, legs, station).map(|(here, heading)| {
            let (along, side) = components(here, heading, at);
            let off = if fixture.is_some() {
                along.abs()
            } else {
                along.abs().max(side.abs())
            };
            if off > SAME && !heading.is_vertical() {
                disagree(job, &e.name, e.span.clone(), off, faults);
            }
            let way = heading.turned(if side > Length::ZERO { 2 } else { -2 });
            (station, way, side.abs())
        }),
    };
    let Some((station, way, off)) = found else {
        return;
    };
    draft.runs[run].entrants[entrant].station = Some(station);
    let Some(fixture) = fixture else { return };
    let own = &mut draft.fixtures[fixture];
    if off > SAME && own.offset.is_none() && own.drop.is_empty() {
        own.offset = Some((way, off));
    }
}

fn disagree(
    job: &Job,
    of: &str,
    span: Option<crate::diagnostics::Span>,
    off: Length,
    faults: &mut Option<&mut Faults>,
) {
    let Some(faults) = faults else { return };
    let print = Printer { units: job.units };
    let message = format!(
        "the plan position of `{of}` and its station differ by {} along the drain",
        print.length(off)
    );
    let help = "the station is used; correct one of the two";
    faults.warning(faults::DISAGREE, of, span, message, help);
}
