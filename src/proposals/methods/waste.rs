//! Waste stacks: the own vent of a stack serves waste drains that join it one by one.

use std::collections::BTreeMap;

use super::choice::Choice;
use super::single;
use crate::catalogue;
use crate::job::Job;
use crate::network::draft::Who;
use crate::network::{
    Network, OwnVent, RunIx, SINGLE_STACK, StackMethod, State, TrapIx, VentMethod, WASTE_STACK,
};
use crate::proposals::fixture_load;
use crate::proposals::notes::Notes;
use crate::proposals::sites::Site;
use crate::units::{Demand, Load, PipeSize};

/// Whether a stack is a waste stack: as the job states, or as book and job let it be, by what
/// drains into it. The same before its branches are proposed and after.
pub(in crate::proposals) fn is_one(choice: &Choice<'_>, stack: usize) -> bool {
    let (job, book) = (choice.job, choice.book);
    let Some(said) = job.stacks.get(stack) else {
        return false;
    };
    if said.up_to.is_some() || said.existing {
        return false;
    }
    match said.method.as_ref().map(|m| m.value.as_str()) {
        Some(WASTE_STACK) => return true,
        Some(_) => return false,
        None => {}
    }
    let prefer = |word: &str| {
        let mut list = job.practice.prefer.iter();
        list.position(|p| p.value == word)
    };
    let single_first = choice.may(SINGLE_STACK)
        && prefer(SINGLE_STACK).is_some_and(|s| prefer(WASTE_STACK).is_none_or(|w| s < w));
    let (Some(method), Some(_)) = (book.methods().get(WASTE_STACK), book.waste_stack_rules())
    else {
        return false;
    };
    if !choice.may(WASTE_STACK) || choice.rather_individual() || single_first {
        return false;
    }
    let Some(on) = one_by_one(choice, stack) else {
        return false;
    };
    let fixtures = on.iter().filter_map(|&f| job.fixtures.get(f));
    let takes = |f: &crate::job::Fixture| {
        let kind = catalogue::kind(&f.kind.value);
        let own = f.vent.is_none() && f.vented_by.is_none() && f.run.is_empty();
        own && kind.is_some_and(|k| method.refuses(k.word, &f.with).is_none())
    };
    let load: Load = fixtures.clone().map(|f| fixture_load(f, book)).sum();
    let carries = |s: PipeSize| match book.waste_stack(s) {
        Some(most) => most.is_ok_and(|m| m.value.covers(Demand::Units(load))),
        None => true,
    };
    let size = match &said.size {
        Some(size) => carries(size.value),
        None => PipeSize::all().any(carries),
    };
    !on.is_empty() && said.offsets.is_empty() && size && fixtures.clone().all(takes)
}

/// The fixtures of a stack, if each drains into it by itself.
fn one_by_one(choice: &Choice<'_>, stack: usize) -> Option<Vec<usize>> {
    let draft = choice.draft;
    let run = *draft.stacks.get(stack)?;
    let mut on = Vec::new();
    for entrant in &draft.runs.get(run)?.entrants {
        match entrant.who {
            Who::Run(r) => {
                let fixtures = draft.runs.get(r)?.entrants.iter().map(|e| match e.who {
                    Who::Fixture(f) => Some(f),
                    _ => None,
                });
                let fixtures: Vec<Option<usize>> = fixtures.collect();
                let [Some(one)] = fixtures.as_slice() else {
                    return None;
                };
                on.push(*one);
            }
            Who::Fixture(f) => on.push(f),
            Who::Basin(_) => return None,
            _ => {}
        }
    }
    // Those that have no branch yet.
    let only = draft.stacks.as_slice() == [run];
    let homeless = choice.homeless();
    // What shares another's drain does not drain by itself.
    if homeless.shares {
        return None;
    }
    on.extend(homeless.into_stack.get(&stack).into_iter().flatten());
    on.extend(homeless.into_any.iter().filter(|_| only));
    on.sort_unstable();
    on.dedup();
    Some(on)
}

/// Lets each waste stack serve the traps on it that state no vent.
pub(super) fn settle(net: &mut Network, sites: &[Option<Site>], choice: &Choice<'_>) {
    let on_stacks = single::on_stacks(sites);
    for (s, said) in choice.job.stacks.iter().enumerate() {
        let Some(run) = choice.draft.stacks.get(s).copied() else {
            continue;
        };
        if !is_one(choice, s) {
            continue;
        }
        let on = on_stacks.get(&run).map_or(&[][..], Vec::as_slice);
        let floor = |t: &usize| sites.get(*t).copied().flatten().map(|s| s.floor);
        let lowest = on.iter().filter_map(floor).min();
        let mut any = false;
        for &t in on {
            let Some(trap) = net.traps.get_mut(t).filter(|t| t.vent == VentMethod::None) else {
                continue;
            };
            trap.vent = VentMethod::WasteStack;
            if said.method.is_some() {
                trap.vent_state = State::Stated;
            }
            any = true;
        }
        if any {
            let own = OwnVent {
                method: StackMethod::Waste,
                height: single::height(choice.job, lowest),
            };
            net.own_vents.insert(RunIx(run), own);
        }
    }
}

/// Says which waste stacks serve which fixtures.
pub(super) fn notes(job: &Job, net: &Network, notes: &mut Notes<'_>) {
    let mut served: BTreeMap<RunIx, Vec<&str>> = BTreeMap::new();
    for (t, (f, trap)) in job.fixtures.iter().zip(&net.traps).enumerate() {
        if trap.vent == VentMethod::WasteStack
            && trap.vent_state != State::Stated
            && let Some((_, run)) = net.way_to_stack(TrapIx(t))
        {
            served.entry(run).or_default().push(&f.name);
        }
    }
    for (run, fixtures) in served {
        let Some(id) = net.runs.get(run.0).map(|r| r.id.clone()) else {
            continue;
        };
        let what = format!("serves {} as that of a waste stack", fixtures.join(", "));
        let reason = notes.method(
            WASTE_STACK,
            "it serves waste that joins the stack one by one",
        );
        notes.add(&format!("{id}.vent"), what, reason);
    }
}
