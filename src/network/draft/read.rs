//! The draft of what a job states, nothing added.

use super::{Draft, DraftCleanout, DraftFixture, DraftLeg, DraftRun, Entrant, Root, Who};
use crate::diagnostics::Span;
use crate::job::{CleanoutKind, FloorIx, Job, Leg, Said, Target};
use crate::network::draft::CleanoutAt;
use crate::network::faults::{self, Faults};
use crate::network::kinds::ways;
use crate::network::model::{RunKind, State};
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
    homes(job, &mut draft, faults);
    marks(job, &mut draft, faults);
    draft
}

/// How many exits there are: a job that states none has one of which nothing is known.
fn exits(job: &Job) -> usize {
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
fn legs(of: &str, run: &[Leg], faults: &mut Faults) -> Vec<DraftLeg> {
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

fn station(of: &str, said: Option<&Said<Length>>, faults: &mut Faults) -> Option<Length> {
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

fn wrong(of: &str, what: &str, target: &Said<Target>, help: &str, faults: &mut Faults) {
    amiss((of, what, "flow into"), target, help, faults);
}

/// Says that a thing cannot do that with what it names.
fn amiss(
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

/// The way of each fixture, as far as it is stated.
fn homes(job: &Job, draft: &mut Draft, faults: &mut Faults) {
    for f in &job.fixtures {
        let ways = ways(&f.kind.value);
        let only = (job.floors.len() == 1).then_some(FloorIx(0));
        let positive = |l: &Option<Said<Length>>| l.as_ref().map(|l| (l.value, l.span.clone()));
        if let Some((length, span)) = positive(&f.arm)
            && !(length.mm() > 0.0 && length.mm().is_finite())
        {
            let message = format!(
                "the arm of `{}` has a length that is not above nought",
                f.name
            );
            let help = "the arm goes from the vent fitting to the trap weir";
            faults.error(faults::BAD_LENGTH, &f.name, Some(span), message, help);
        }
        draft.fixtures.push(DraftFixture {
            home: None,
            floor: f.floor.or(only),
            indirect: f.over.is_some() || (ways.indirect && f.into.is_none()),
            drop: legs(&f.name, &f.run, faults),
            has_drop: !f.run.is_empty() || ways.wall,
            offset: None,
            side: f.side.as_ref().map(|s| s.value),
            arm: f.arm.as_ref().map(|a| a.value),
            arm_limit: None,
        });
    }
    for (i, f) in job.fixtures.iter().enumerate() {
        let at = station(&f.name, f.station.as_ref(), faults);
        if draft.fixtures[i].indirect {
            continue;
        }
        let Some(into) = &f.into else { continue };
        let (home, with) = match follow(job, i) {
            Some((Target::Drain(d), with)) => (draft.drains.get(d).map(|&r| Root::Run(r)), with),
            Some((Target::Basin(b), with)) if b < job.basins.len() => (Some(Root::Basin(b)), with),
            // Into a stack or an exit it needs a drain of its own: proposed later.
            Some((Target::Stack(_) | Target::Exit(_), _)) => (None, None),
            Some(_) => {
                let help = "a fixture flows into a drain, a stack or a basin";
                wrong(&f.name, "the fixture", into, help, faults);
                (None, None)
            }
            None => (None, None),
        };
        if let Some(home) = home {
            settle_in(job, draft, i, home, at, with);
        }
    }
    floors(job, draft, faults);
    for (i, b) in job.basins.iter().enumerate() {
        let at = station(&b.name, b.station.as_ref(), faults);
        let to = match b.into.as_ref().map(|t| &t.value) {
            Some(Target::Drain(d)) => draft.drains.get(*d).copied(),
            Some(Target::Stack(s)) => draft.stacks.get(*s).copied(),
            _ => None,
        };
        match (to, &b.into) {
            (Some(run), _) => draft.runs[run].entrants.push(Entrant {
                station: at,
                floor: b.floor,
                span: Some(b.span.clone()),
                ..Entrant::new(Who::Basin(i), &b.name)
            }),
            (None, Some(into)) => {
                let help = "a basin pumps into a drain or a stack";
                wrong(&b.name, "the basin", into, help, faults);
            }
            (None, None) => {
                let message = format!("basin `{}` does not say what it pumps into", b.name);
                let help = "add into = \"…\", a drain or a stack";
                faults.error(
                    faults::BASIN_LOST,
                    &b.name,
                    Some(b.span.clone()),
                    message,
                    help,
                );
            }
        }
    }
    for (i, v) in job.vents.iter().enumerate() {
        let Some((foot, at)) = &v.foot else { continue };
        let run = match foot.value {
            Target::Drain(d) => draft.drains.get(d).copied(),
            _ => None,
        };
        match run {
            Some(run) => draft.runs[run].entrants.push(Entrant {
                station: *at,
                span: Some(v.span.clone()),
                ..Entrant::new(Who::Foot(i), &v.name)
            }),
            None => {
                let help = "the foot of an island vent stands on a drain";
                amiss(
                    (&v.name, "the foot of vent", "stand on"),
                    foot,
                    help,
                    faults,
                );
            }
        }
    }
}

/// Where a fixture's water goes, through the fixtures whose drains it shares.
fn follow(job: &Job, fixture: usize) -> Option<(Target, Option<usize>)> {
    let (mut at, mut with) = (fixture, None);
    for _ in 0..=job.fixtures.len() {
        match &job.fixtures.get(at)?.into.as_ref()?.value {
            Target::Fixture(next) => {
                with.get_or_insert(*next);
                at = *next;
            }
            other => return Some((other.clone(), with)),
        }
    }
    Some((Target::Fixture(at), None))
}

/// Lets a fixture enter a run or a basin.
pub(crate) fn settle_in(
    job: &Job,
    draft: &mut Draft,
    fixture: usize,
    home: Root,
    station: Option<Length>,
    with: Option<usize>,
) {
    let (Some(f), Some(own)) = (job.fixtures.get(fixture), draft.fixtures.get_mut(fixture)) else {
        return;
    };
    own.home = Some(home);
    let Root::Run(run) = home else { return };
    let with = with.or_else(|| shares(job, draft, fixture, run));
    if let Some(run) = draft.runs.get_mut(run) {
        run.entrants.push(Entrant {
            station,
            with: with.filter(|_| station.is_none()),
            floor: draft.fixtures[fixture].floor,
            span: Some(f.span.clone()),
            ..Entrant::new(Who::Fixture(fixture), &f.name)
        });
    }
}

/// The fixture before it on the same run that names the same vent, so that both use one fitting.
fn shares(job: &Job, draft: &Draft, fixture: usize, run: usize) -> Option<usize> {
    let f = job.fixtures.get(fixture)?;
    let vent = f.vent.as_ref()?.value;
    let way = draft.fixtures.get(fixture)?;
    (draft.runs.get(run)?.entrants.iter()).find_map(|e| {
        let Who::Fixture(other) = e.who else {
            return None;
        };
        let (g, its) = (job.fixtures.get(other)?, draft.fixtures.get(other)?);
        let same = g.vent.as_ref().is_some_and(|v| v.value == vent)
            && f.station.is_none()
            && its.floor == way.floor
            && (its.has_drop, &its.drop) == (way.has_drop, &way.drop);
        same.then_some(other)
    })
}

/// Floors that follow from what stands on a drain or from the drain itself.
fn floors(job: &Job, draft: &mut Draft, faults: &mut Faults) {
    // From the leaves down: drains far from the exit may stand first or last in the file.
    for _ in 0..2 {
        for run in (0..draft.runs.len()).chain((0..draft.runs.len()).rev()) {
            if draft.runs[run].floor.is_some() || draft.runs[run].kind == RunKind::Stack {
                continue;
            }
            let found = draft.runs[run].entrants.iter().find_map(|e| match e.who {
                Who::Fixture(f) => draft.fixtures.get(f).and_then(|f| f.floor),
                Who::Run(r) if draft.runs[r].kind != RunKind::Stack => draft.runs[r].floor,
                _ => None,
            });
            // The floor of a building drain is not that of what stands on it.
            if matches!(draft.runs[run].root, Some(Root::Run(p)) if draft.runs[p].kind == RunKind::Stack)
            {
                draft.runs[run].floor = found;
            }
        }
    }
    for run in 0..draft.runs.len() {
        for e in 0..draft.runs[run].entrants.len() {
            let entrant = &draft.runs[run].entrants[e];
            let floor = match entrant.who {
                Who::Run(r) => draft.runs[r].floor,
                Who::Fixture(f) => draft.fixtures[f].floor.or(draft.runs[run].floor),
                _ => None,
            };
            if let Who::Fixture(f) = entrant.who {
                draft.fixtures[f].floor = floor;
            }
            let entrant = &mut draft.runs[run].entrants[e];
            entrant.floor = entrant.floor.or(floor);
            if draft.runs[run].kind == RunKind::Stack && draft.runs[run].entrants[e].floor.is_none()
            {
                let e = &draft.runs[run].entrants[e];
                missing(&e.name.clone(), e.span.clone(), faults);
            }
        }
    }
    for (i, f) in job.fixtures.iter().enumerate() {
        let own = &mut draft.fixtures[i];
        if let (None, Some(Root::Basin(b))) = (own.floor, own.home) {
            own.floor = job.basins.get(b).and_then(|b| b.floor);
        }
        if own.floor.is_none() && !own.indirect {
            missing(&f.name, Some(f.span.clone()), faults);
        }
    }
}

fn missing(of: &str, span: Option<Span>, faults: &mut Faults) {
    let message = format!("nothing says on which floor `{of}` is");
    faults.error(
        faults::FLOOR_MISSING,
        of,
        span,
        message,
        "add floor = \"…\"",
    );
}

/// Cleanouts, valves and footings.
fn marks(job: &Job, draft: &mut Draft, faults: &mut Faults) {
    let on = |draft: &Draft, target: &Target| match target {
        Target::Drain(d) => draft.drains.get(*d).copied(),
        Target::Stack(s) => draft.stacks.get(*s).copied(),
        _ => None,
    };
    for (i, c) in job.cleanouts.iter().enumerate() {
        let at = station(&c.name, c.station.as_ref(), faults);
        let Some(run) = on(draft, &c.on.value) else {
            amiss(
                (&c.name, "the cleanout", "stand on"),
                &c.on,
                "a cleanout stands on a drain or a stack",
                faults,
            );
            continue;
        };
        let stack = draft.runs[run].kind == RunKind::Stack;
        if at.is_some() && !stack {
            draft.runs[run].entrants.push(Entrant {
                station: at,
                span: Some(c.span.clone()),
                ..Entrant::new(Who::Cleanout(i), &c.name)
            });
        } else {
            draft.cleanouts.push(DraftCleanout {
                id: c.name.clone(),
                job: Some(i),
                run,
                at: if stack {
                    CleanoutAt::Foot
                } else {
                    CleanoutAt::Head
                },
                kind: c.kind.unwrap_or(match stack {
                    true => CleanoutKind::Stack,
                    false => CleanoutKind::End,
                }),
            });
        }
    }
    for (i, v) in job.valves.iter().enumerate() {
        let at = station(&v.name, v.station.as_ref(), faults);
        match on(draft, &v.on.value).filter(|&r| draft.runs[r].kind != RunKind::Stack) {
            Some(run) => draft.runs[run].entrants.push(Entrant {
                station: at,
                span: Some(v.span.clone()),
                ..Entrant::new(Who::Valve(i), &v.name)
            }),
            None => amiss(
                (&v.name, "the valve", "stand on"),
                &v.on,
                "a valve stands in a drain",
                faults,
            ),
        }
    }
    for (i, x) in job.footings.iter().enumerate() {
        let at = station(&x.name, x.station.as_ref(), faults);
        match on(draft, &x.on.value).filter(|&r| draft.runs[r].kind != RunKind::Stack) {
            Some(run) => draft.runs[run].entrants.push(Entrant {
                station: at,
                span: Some(x.span.clone()),
                ..Entrant::new(Who::Footing(i), &x.name)
            }),
            None => amiss(
                (&x.name, "the footing", "stand on"),
                &x.on,
                "a footing crosses a drain",
                faults,
            ),
        }
    }
}
