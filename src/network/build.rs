//! From a job to the network that it states, or all that is wrong with it.

use super::draft::{Draft, Who, circles, read, settle, spots};
use super::faults::{self, Faults};
use super::model::{Network, RunKind};
use super::{cut, place};
use crate::diagnostics::Outcome;
use crate::job::{Job, Target};
use crate::units::{Length, Printer};

/// Builds the network of what a job states, and nothing else.
///
/// What the job leaves open (a drain without `into`, a fixture that names only its stack) is in
/// [`Network::draft`], not in the graph; stage 3 proposes the rest.
///
/// # Errors
/// Every fault that makes the job no network: drains that go round in a circle, stations beyond
/// the end of a run, things that flow into what cannot take them.
pub fn build(job: &Job) -> Outcome<Network> {
    let mut faults = Faults::default();
    let mut draft = read(job, &mut faults);
    let round = rounds(job, &draft, &mut faults);
    vents(job, &mut faults);
    receptors(job, &mut faults);
    if !round {
        settle(&mut draft);
        place(job, &mut draft, None);
        stations(job, &draft, &mut faults);
        places(job, &draft, &mut faults);
    }
    if !faults.list.is_empty() {
        return Err(faults.list);
    }
    let mut net = cut(job, &draft);
    net.draft = draft;
    Ok(net)
}

/// Circles of drains, stacks and basins. Gives whether there are any.
fn rounds(job: &Job, draft: &Draft, faults: &mut Faults) -> bool {
    let mut discharge = vec![None; job.basins.len()];
    for (r, run) in draft.runs.iter().enumerate() {
        for e in &run.entrants {
            if let Who::Basin(b) = e.who
                && let Some(slot) = discharge.get_mut(b)
            {
                *slot = Some(r);
            }
        }
    }
    let circles = circles(draft, &discharge);
    for circle in &circles {
        let mut names: Vec<String> = circle
            .iter()
            .filter_map(|&r| draft.runs.get(r).map(|r| format!("`{}`", r.id)))
            .collect();
        names.extend(names.first().cloned());
        let first = circle.first().and_then(|&r| draft.runs.get(r));
        let message = format!("the water goes round in a circle: {}", names.join(" into "));
        let help = "one of them must lead to the exit";
        let id = first.map_or("", |r| r.id.as_str());
        faults.error(
            faults::CIRCLE,
            id,
            first.and_then(|r| r.span.clone()),
            message,
            help,
        );
    }
    // A basin that pumps into a run which only flows back into it is a circle without a run.
    !circles.is_empty()
}

/// Stations beyond the end of a run whose legs are known.
fn stations(job: &Job, draft: &Draft, faults: &mut Faults) {
    let print = Printer { units: job.units };
    for run in draft
        .runs
        .iter()
        .filter(|r| r.kind != RunKind::Stack && !r.legs.is_empty())
    {
        let Some(total) = run.legs.iter().map(|l| l.length).sum::<Option<Length>>() else {
            continue;
        };
        for e in &run.entrants {
            let Some(at) = e.station else { continue };
            if at > total + Length::from_mm(1.0) {
                let message = format!(
                    "`{}` stands at {} on `{}`, which is only {} long",
                    e.name,
                    print.length(at),
                    run.id,
                    print.length(total)
                );
                let help = "stations count up the drain from its downstream end";
                faults.error(faults::BEYOND_END, &e.name, e.span.clone(), message, help);
            }
        }
    }
}

/// Two drains in line from one end, and two stacks in one place.
fn places(job: &Job, draft: &Draft, faults: &mut Faults) {
    for run in &draft.runs {
        let mut in_line = run.entrants.iter().filter(|e| e.in_line);
        if let (Some(a), Some(b)) = (in_line.next(), in_line.next()) {
            let message = format!(
                "`{}` and `{}` both go on from the end of `{}`",
                a.name, b.name, run.id
            );
            let help = "give one of them a station, so that it joins from the side";
            faults.error(faults::TWO_IN_LINE, &b.name, b.span.clone(), message, help);
        }
        if run.kind == RunKind::Stack {
            continue;
        }
        for spot in spots(run) {
            let mut stacks = (spot.entrants.iter())
                .filter_map(|&e| run.entrants.get(e))
                .filter(|e| {
                    matches!(e.who, Who::Run(r)
                        if draft.runs.get(r).is_some_and(|r| r.kind == RunKind::Stack))
                });
            if let (Some(a), Some(b)) = (stacks.next(), stacks.next()) {
                two_stacks(&a.name, &b.name, b.span.clone(), faults);
            }
        }
    }
    for (i, a) in job.stacks.iter().enumerate() {
        let Some(at) = a.at else { continue };
        for b in &job.stacks[i + 1..] {
            if b.at.is_some_and(|b| b.0.same(at.0) && b.1.same(at.1)) {
                two_stacks(&a.name, &b.name, Some(b.span.clone()), faults);
            }
        }
    }
}

fn two_stacks(a: &str, b: &str, span: Option<crate::diagnostics::Span>, faults: &mut Faults) {
    let message = format!("stacks `{a}` and `{b}` stand in one place");
    let help = "give them different stations or positions, or make them one stack";
    faults.error(faults::TWO_STACKS, b, span, message, help);
}

/// Where vents lead.
fn vents(job: &Job, faults: &mut Faults) {
    for (i, v) in job.vents.iter().enumerate() {
        match v.into.as_ref().map(|t| (&t.value, t.span.clone())) {
            None | Some((Target::Stack(_) | Target::Roof, _)) => {}
            Some((Target::Vent(first), span)) => {
                let mut at = *first;
                let mut steps = 0;
                let round = loop {
                    if at == i {
                        break true;
                    }
                    steps += 1;
                    match job
                        .vents
                        .get(at)
                        .and_then(|v| v.into.as_ref())
                        .map(|t| &t.value)
                    {
                        Some(Target::Vent(next)) if steps <= job.vents.len() => at = *next,
                        _ => break false,
                    }
                };
                if round {
                    let message = format!("vent `{}` leads back into itself", v.name);
                    let help = "a vent leads to a stack, another vent or the roof";
                    faults.error(faults::VENT_CIRCLE, &v.name, Some(span), message, help);
                }
            }
            Some((_, span)) => {
                let message = format!("vent `{}` cannot end in a drain", v.name);
                let help = "a vent leads to a stack, another vent or the roof";
                faults.error(faults::VENT_CIRCLE, &v.name, Some(span), message, help);
            }
        }
    }
    for f in &job.fixtures {
        let Some(by) = &f.vented_by else { continue };
        let Some(other) = job.fixtures.get(by.value) else {
            continue;
        };
        if let (Some(a), Some(b)) = (f.floor, other.floor)
            && a != b
        {
            let message = format!(
                "`{}` cannot be wet vented by `{}`, which is on another floor",
                f.name, other.name
            );
            let help = "a wet vent serves fixtures of its own floor";
            faults.error(
                faults::WET_OTHER_FLOOR,
                &f.name,
                Some(by.span.clone()),
                message,
                help,
            );
        }
        if other.name == f.name {
            let message = format!("`{}` cannot be wet vented by itself", f.name);
            let help = "name another fixture, or leave `vented_by` out";
            faults.error(
                faults::WRONG_TARGET,
                &f.name,
                Some(by.span.clone()),
                message,
                help,
            );
        }
    }
}

/// Indirect wastes and what they stand over.
fn receptors(job: &Job, faults: &mut Faults) {
    for (i, f) in job.fixtures.iter().enumerate() {
        let indirect = super::kinds::ways(&f.kind.value).indirect;
        match &f.over {
            Some(over) => {
                let receptor = job.fixtures.get(over.value);
                if over.value == i || receptor.is_none_or(|r| r.over.is_some()) {
                    let message = format!("`{}` stands over nothing that has a trap", f.name);
                    let help = "over names a fixture with a trap of its own, such as a floor drain";
                    let span = Some(over.span.clone());
                    faults.error(faults::NO_RECEPTOR, &f.name, span, message, help);
                }
            }
            None if indirect && f.into.is_none() => {
                let message = format!("`{}` is an indirect waste and names no receptor", f.name);
                let help = "add over = \"FD-1\", the receptor that it drains over";
                let span = Some(f.span.clone());
                faults.error(faults::NO_RECEPTOR, &f.name, span, message, help);
            }
            None => {}
        }
    }
}
