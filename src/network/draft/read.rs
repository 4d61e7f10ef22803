//! The draft of what a job states, nothing added.

use super::{Draft, DraftLeg, DraftRun, Entrant, Root, Who};
use super::{homes, marks};
use crate::job::{Job, Leg, Said, Target};
use crate::network::faults::{self, Faults};
use crate::network::model::{RunKind, State};
use crate::pins;
use crate::units::Length;

/// Drafts the runs of a job and what the job says enters each.
pub(crate) fn read(job: &Job, faults: &mut Faults) -> Draft {
    let mut draft = Draft::default();
    for d in &job.drains {
        draft.drains.push(draft.runs.len());
        draft.runs.push(DraftRun {
            id: d.name.clone(),
            kind: RunKind::BuildingBranch,
            state: state(d.existing, d.future),
            span: Some(d.span.clone()),
            floor: d.floor,
            wye: d.wye,
            invert: d.invert.clone(),
            size: d.size.clone(),
            fall: d.fall.clone(),
            root: None,
            legs: legs(&d.name, &d.run, faults),
            entrants: Vec::new(),
            offsets: Vec::new(),
            origin: None,
        });
    }
    for s in &job.stacks {
        draft.stacks.push(draft.runs.len());
        draft.runs.push(DraftRun {
            id: s.name.clone(),
            kind: RunKind::Stack,
            state: state(s.existing, s.future),
            span: Some(s.span.clone()),
            floor: None,
            wye: None,
            invert: None,
            size: s.size.clone(),
            fall: None,
            root: None,
            legs: Vec::new(),
            entrants: Vec::new(),
            offsets: s.offsets.clone(),
            origin: None,
        });
    }
    roots_of_drains(job, &mut draft, faults);
    roots_of_stacks(job, &mut draft, faults);
    homes::homes(job, &mut draft, faults);
    marks::discharges(job, &mut draft, faults);
    marks::marks(job, &mut draft, faults);
    pins::order(job, &mut draft);
    draft
}

/// How many exits there are: a job that states none has one of which nothing is known.
pub(super) fn exits(job: &Job) -> usize {
    job.exits.len().max(1)
}

/// The state that two words of the job give.
pub(crate) fn state(existing: bool, future: bool) -> State {
    match (existing, future) {
        (true, _) => State::Existing,
        (_, true) => State::Future,
        _ => State::Stated,
    }
}

/// Stated legs as legs of a draft; those that are not longer than nothing are faults.
pub(super) fn legs(of: &str, run: &[Leg], faults: &mut Faults) -> Vec<DraftLeg> {
    (run.iter())
        .map(|leg| {
            // Written so that a length which is no number is refused as well.
            if !(leg.length.mm() > 0.0 && leg.length.mm().is_finite()) {
                let message = format!("a leg of `{of}` has a length that is not above nought");
                let help = "state the leg by its heading and a length above nought";
                faults.error(
                    faults::BAD_LENGTH,
                    of,
                    Some(leg.span.clone()),
                    message,
                    help,
                );
            }
            DraftLeg {
                heading: Some(leg.heading),
                length: Some(leg.length),
                size: leg.size.clone(),
                fall: leg.fall.clone(),
                lies: leg.lies,
            }
        })
        .collect()
}

pub(super) fn station(
    of: &str,
    said: Option<&Said<Length>>,
    faults: &mut Faults,
) -> Option<Length> {
    let said = said?;
    if !(said.value.mm() >= 0.0 && said.value.mm().is_finite()) {
        let message = format!("`{of}` has a station below nought");
        let help = "stations count up the drain from its downstream end";
        faults.error(
            faults::BAD_LENGTH,
            of,
            Some(said.span.clone()),
            message,
            help,
        );
    }
    Some(said.value)
}

pub(super) fn wrong(of: &str, what: &str, target: &Said<Target>, help: &str, faults: &mut Faults) {
    amiss((of, what, "flow into"), target, help, faults);
}

/// Says that a thing cannot do that with what it names.
pub(super) fn amiss(
    (of, what, verb): (&str, &str, &str),
    target: &Said<Target>,
    help: &str,
    faults: &mut Faults,
) {
    let place = match target.value {
        Target::Exit(_) => "an exit",
        Target::Drain(_) => "a drain",
        Target::Stack(_) => "a stack",
        Target::Vent(_) => "a vent",
        Target::Basin(_) => "a basin",
        Target::Fixture(_) => "a fixture",
        Target::Roof => "the roof",
    };
    let message = format!("{what} `{of}` cannot {verb} {place}");
    faults.error(
        faults::WRONG_TARGET,
        of,
        Some(target.span.clone()),
        message,
        help,
    );
}

fn roots_of_drains(job: &Job, draft: &mut Draft, faults: &mut Faults) {
    for (i, d) in job.drains.iter().enumerate() {
        let run = draft.drains[i];
        let at = station(&d.name, d.station.as_ref(), faults);
        let Some(into) = &d.into else { continue };
        let root = match into.value {
            Target::Exit(e) if e < exits(job) => Some(Root::Exit(e)),
            Target::Basin(b) if b < job.basins.len() => Some(Root::Basin(b)),
            Target::Drain(p) => draft.drains.get(p).map(|&r| Root::Run(r)),
            Target::Stack(p) => draft.stacks.get(p).map(|&r| Root::Run(r)),
            _ => None,
        };
        if root.is_none() {
            let help = "a drain flows into an exit, a drain, a stack or a basin";
            wrong(&d.name, "the drain", into, help, faults);
        }
        draft.runs[run].root = root;
        if let Some(Root::Run(parent)) = root {
            let in_line = at.is_none() && draft.runs[parent].kind != RunKind::Stack;
            draft.runs[parent].entrants.push(Entrant {
                station: at,
                in_line,
                floor: d.floor,
                invert: d.invert.as_ref().map(|i| i.value),
                span: Some(d.span.clone()),
                ..Entrant::new(Who::Run(run), &d.name)
            });
        }
    }
}

fn roots_of_stacks(job: &Job, draft: &mut Draft, faults: &mut Faults) {
    for (i, s) in job.stacks.iter().enumerate() {
        let root = match s.into.as_ref().map(|t| (t, &t.value)) {
            None => None,
            Some((_, Target::Exit(e))) if *e < exits(job) => match s.run.is_empty() {
                // A stack straight into the exit needs a drain to stand on: proposed later.
                true => None,
                false => Some(Root::Exit(*e)),
            },
            Some((_, Target::Drain(d))) => draft.drains.get(*d).map(|&r| Root::Run(r)),
            Some((t, Target::Stack(_))) => {
                let message = format!("stack `{}` cannot stand on another stack", s.name);
                let help = "write it as one stack with an offset: offsets = [{ floor = \"…\", \
                            go = \"east 4'\", by = 45 }]";
                faults.error(
                    faults::STACK_ON_STACK,
                    &s.name,
                    Some(t.span.clone()),
                    message,
                    help,
                );
                None
            }
            Some((t, _)) => {
                let help = "a stack flows into a drain or an exit";
                wrong(&s.name, "the stack", t, help, faults);
                None
            }
        };
        let at = station(&s.name, s.station.as_ref(), faults);
        let legs = legs(&s.name, &s.run, faults);
        stand(draft, i, root, at, legs);
    }
}

/// Stands a stack on what it flows into, over a lateral if it has legs of its own.
pub(crate) fn stand(
    draft: &mut Draft,
    stack: usize,
    root: Option<Root>,
    station: Option<Length>,
    legs: Vec<DraftLeg>,
) {
    let Some(&run) = draft.stacks.get(stack) else {
        return;
    };
    let Some(own) = draft.runs.get(run) else {
        return;
    };
    let (name, state, span) = (own.id.clone(), own.state, own.span.clone());
    let entrant = |who: Who| Entrant {
        station,
        span: span.clone(),
        ..Entrant::new(who, &name)
    };
    let foot = if legs.is_empty() {
        run
    } else {
        let lateral = draft.runs.len();
        draft.runs.push(DraftRun {
            id: format!("{name}.lateral"),
            kind: RunKind::BuildingBranch,
            state,
            span: span.clone(),
            floor: None,
            wye: None,
            invert: None,
            size: None,
            fall: None,
            root: None,
            legs,
            entrants: vec![Entrant {
                in_line: true,
                span: span.clone(),
                ..Entrant::new(Who::Run(run), &name)
            }],
            offsets: Vec::new(),
            origin: None,
        });
        draft.runs[run].root = Some(Root::Run(lateral));
        lateral
    };
    draft.runs[foot].root = root;
    if let Some(Root::Run(parent)) = root {
        draft.runs[parent].entrants.push(entrant(Who::Run(foot)));
    }
}
