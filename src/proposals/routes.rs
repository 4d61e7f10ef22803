//! The building drain, and the way to it of stacks and drains that name nothing.

use super::notes::Notes;
use crate::job::{Job, Target};
use crate::network::draft::{Draft, DraftLeg, DraftRun, Entrant, Root, Who, stand};
use crate::network::{RunKind, State};
use crate::units::{Heading, Length};

/// A proposed run of which nothing is known but its name.
pub(crate) fn proposed(id: String, kind: RunKind, root: Root) -> DraftRun {
    DraftRun {
        id,
        kind,
        state: State::Proposed,
        span: None,
        floor: None,
        wye: None,
        invert: None,
        size: None,
        fall: None,
        root: Some(root),
        legs: Vec::new(),
        entrants: Vec::new(),
        offsets: Vec::new(),
        origin: None,
    }
}

/// Gives every drain and every stack something to flow into.
pub(crate) fn propose(job: &Job, draft: &mut Draft, notes: &mut Notes<'_>) {
    let mut mains: Vec<Option<usize>> = vec![None; job.exits.len().max(1)];
    for (r, run) in draft.runs.iter().enumerate() {
        if let Some(Root::Exit(e)) = run.root
            && let Some(main @ None) = mains.get_mut(e)
        {
            *main = Some(r);
        }
    }
    let wanted = exits_wanted(job, draft, &mains);
    for exit in wanted {
        if mains.get(exit).is_some_and(Option::is_none) {
            mains[exit] = Some(main_drain(job, draft, exit, notes));
        }
    }
    for d in 0..draft.drains.len() {
        free_drain(job, draft, d, &mains, notes);
    }
    for s in 0..draft.stacks.len() {
        free_stack(job, draft, s, &mains, notes);
    }
}

/// The exits that something needs a building drain to.
fn exits_wanted(job: &Job, draft: &Draft, mains: &[Option<usize>]) -> Vec<usize> {
    let mut wanted = Vec::new();
    for (s, stack) in job.stacks.iter().enumerate() {
        if draft
            .stacks
            .get(s)
            .and_then(|&r| draft.runs.get(r))
            .is_none_or(|r| r.root.is_some())
        {
            continue;
        }
        match stack.into.as_ref().map(|t| &t.value) {
            Some(Target::Exit(e)) => wanted.push(*e),
            _ if mains.iter().all(Option::is_none) => wanted.push(0),
            _ => {}
        }
    }
    for f in &job.fixtures {
        if let Some(Target::Exit(e)) = f.into.as_ref().map(|t| &t.value) {
            wanted.push(*e);
        }
    }
    if mains.iter().all(Option::is_none) {
        wanted.push(0);
    }
    wanted.sort_unstable();
    wanted.dedup();
    wanted
}

/// The building drain to an exit that none flows into: a drain that names nothing, else a new one.
fn main_drain(job: &Job, draft: &mut Draft, exit: usize, notes: &mut Notes<'_>) -> usize {
    let free = (draft.drains.iter().copied())
        .find(|&r| exit == 0 && draft.runs[r].root.is_none() && draft.runs[r].floor.is_none());
    let reason = "the job states no building drain to this exit";
    if let Some(run) = free {
        draft.runs[run].root = Some(Root::Exit(exit));
        let id = draft.runs[run].id.clone();
        notes.add(&id, "the building drain", reason);
        return run;
    }
    let name = job.exits.get(exit).map_or("exit", |e| e.name.as_str());
    let id = format!("{name}.drain");
    let mut run = proposed(id.clone(), RunKind::BuildingDrain, Root::Exit(exit));
    run.legs = trunk(job, exit);
    draft.runs.push(run);
    notes.add(&id, "a building drain", reason);
    draft.runs.len() - 1
}

/// The way a building drain goes of which only the exit is known: straight in, as far as the
/// farthest position stated of a stack, where there is one.
fn trunk(job: &Job, exit: usize) -> Vec<DraftLeg> {
    let Some(said) = job
        .exits
        .get(exit)
        .and_then(|e| e.heading.as_ref().map(|h| (e, h)))
    else {
        return Vec::new();
    };
    let heading = said.1.value.reversed();
    let from = said.0.at.unwrap_or_default();
    let far = (job.stacks.iter())
        .filter_map(|s| s.at)
        .map(|at| along(from, heading, at))
        .fold(None, |far: Option<Length>, a| {
            Some(far.map_or(a, |f| f.max(a)))
        });
    vec![DraftLeg {
        heading: Some(heading),
        length: far.filter(|l| *l > Length::from_mm(1.0)),
        ..DraftLeg::default()
    }]
}

fn along(from: (Length, Length), heading: Heading, to: (Length, Length)) -> Length {
    let (e, n) = heading.east_north();
    (to.0 - from.0) * e + (to.1 - from.1) * n
}

/// A drain that names nothing: to the only stack if it hangs above the lowest floor, else to the
/// building drain.
fn free_drain(
    job: &Job,
    draft: &mut Draft,
    drain: usize,
    mains: &[Option<usize>],
    notes: &mut Notes<'_>,
) {
    let Some(&run) = draft.drains.get(drain) else {
        return;
    };
    if draft.runs[run].root.is_some() {
        return;
    }
    let said = job.drains.get(drain);
    let upper = draft.runs[run].floor.is_some_and(|f| f.0 > 0);
    let to = match (upper, draft.stacks.as_slice()) {
        // Not where the stack itself flows through this drain.
        (true, [only]) if !flows_through(draft, *only, run) => Some(*only),
        _ => mains.first().copied().flatten().filter(|&m| m != run),
    };
    let Some(to) = to else { return };
    draft.runs[run].root = Some(Root::Run(to));
    let entrant = Entrant {
        station: said.and_then(|d| d.station.as_ref()).map(|s| s.value),
        floor: draft.runs[run].floor,
        invert: draft.runs[run].invert.as_ref().map(|i| i.value),
        span: draft.runs[run].span.clone(),
        ..Entrant::new(Who::Run(run), draft.runs[run].id.clone())
    };
    enter_early(draft, to, entrant);
    let (id, into) = (draft.runs[run].id.clone(), draft.runs[to].id.clone());
    notes.add(
        &id,
        format!("flows into {into}"),
        "the job does not say where it flows",
    );
}

fn flows_through(draft: &Draft, from: usize, through: usize) -> bool {
    let mut at = Some(from);
    for _ in 0..=draft.runs.len() {
        match at {
            Some(run) if run == through => return true,
            Some(run) => at = draft.parent(run),
            None => return false,
        }
    }
    true
}

/// A stack that names nothing, or the exit: onto the building drain.
fn free_stack(
    job: &Job,
    draft: &mut Draft,
    stack: usize,
    mains: &[Option<usize>],
    notes: &mut Notes<'_>,
) {
    let (Some(&run), Some(said)) = (draft.stacks.get(stack), job.stacks.get(stack)) else {
        return;
    };
    // With legs of its own it stands on a lateral already; that is what lacks a root then.
    let foot = draft
        .parent(run)
        .filter(|&p| draft.runs[p].root.is_none())
        .unwrap_or(run);
    if draft.runs[foot].root.is_some() {
        return;
    }
    let exit = match said.into.as_ref().map(|t| &t.value) {
        Some(Target::Exit(e)) => *e,
        _ => mains.iter().position(Option::is_some).unwrap_or(0),
    };
    let Some(main) = mains.get(exit).copied().flatten() else {
        return;
    };
    let mut station = said.station.as_ref().map(|s| s.value);
    let mut legs = Vec::new();
    if foot == run
        && let (None, Some((at, off))) = (station, off_trunk(job, draft, main, exit, stack))
    {
        station = Some(at);
        legs.extend(off);
    }
    let (id, into) = (draft.runs[run].id.clone(), draft.runs[main].id.clone());
    notes.add(
        &id,
        format!("stands on {into}"),
        "the job does not say where its base is",
    );
    if foot == run {
        stand(draft, stack, Some(Root::Run(main)), station, legs);
        // Stands before the fixtures that enter the drain themselves.
        if let Some(entrant) = draft.runs[main].entrants.pop() {
            enter_early(draft, main, entrant);
        }
    } else {
        draft.runs[foot].root = Some(Root::Run(main));
        let entrant = Entrant {
            station,
            span: draft.runs[run].span.clone(),
            ..Entrant::new(Who::Run(foot), id)
        };
        enter_early(draft, main, entrant);
    }
}

/// Station on a proposed trunk and the leg square off it, of a stack whose position is stated.
fn off_trunk(
    job: &Job,
    draft: &Draft,
    main: usize,
    exit: usize,
    stack: usize,
) -> Option<(Length, Option<DraftLeg>)> {
    let at = job.stacks.get(stack)?.at?;
    let own = draft.runs.get(main)?;
    if own.state != State::Proposed {
        return None;
    }
    let [leg] = own.legs.as_slice() else {
        return None;
    };
    let (heading, total) = (leg.heading?, leg.length?);
    let from = job.exits.get(exit)?.at.unwrap_or_default();
    let station = along(from, heading, at);
    let side = along(from, heading.turned(2), at);
    if station < Length::ZERO || station > total {
        return None;
    }
    let off = (side.abs() > Length::from_mm(6.0)).then(|| DraftLeg {
        heading: Some(heading.turned(if side > Length::ZERO { 2 } else { -2 })),
        length: Some(side.abs()),
        ..DraftLeg::default()
    });
    Some((station, off))
}

/// Lets an entrant in after the runs that enter already, before fixtures.
fn enter_early(draft: &mut Draft, run: usize, entrant: Entrant) {
    let entrants = &mut draft.runs[run].entrants;
    let place = entrants
        .iter()
        .position(|e| !matches!(e.who, Who::Run(_)) || e.in_line)
        .unwrap_or(entrants.len());
    entrants.insert(place, entrant);
}
