//! Single stacks: traps that the own vent of their stack serves through unvented branches.

use std::collections::{BTreeMap, BTreeSet};

use super::choice::Choice;
use crate::job::{FloorIx, Job};
use crate::network::kinds::ways;
use crate::network::{
    Network, OwnVent, PieceIx, RunIx, RunKind, SINGLE_STACK, StackMethod, State, TrapIx,
    VentMethod, level_and_drop,
};
use crate::proposals::notes::Notes;
use crate::proposals::sites::Site;
use crate::proposals::{fixture_load, trap_size};
use crate::sizing::ways::runs_down;
use crate::units::{Flow, Length, Load, PipeSize};

/// Lets each stack that may serve its traps by its own vent do so: those of them that stand near
/// enough and have no vent stated.
pub(super) fn settle(net: &mut Network, sites: &[Option<Site>], choice: &Choice<'_>) {
    let on_stacks = on_stacks(sites);
    for (s, said) in choice.job.stacks.iter().enumerate() {
        let Some(run) = choice.draft.stacks.get(s).copied() else {
            continue;
        };
        let stated = said.method.as_ref().map(|m| m.value.as_str());
        let wanted = stated == Some(SINGLE_STACK);
        // Without a vent of its own it serves none; what is there already keeps its vents.
        let open = said.up_to.is_none() && !said.existing;
        let on = on_stacks.get(&run).map_or(&[][..], Vec::as_slice);
        let taken = net.own_vents.contains_key(&RunIx(run));
        if !open || taken || on.is_empty() || (stated.is_some() && !wanted) {
            continue;
        }
        let floor = |t: &usize| sites.get(*t).copied().flatten().map(|s| s.floor);
        let lowest = on.iter().filter_map(floor).min();
        if !wanted && !proposed(s, on, lowest, choice) {
            continue;
        }
        let mut any = false;
        for &t in on {
            let near = wanted || near(net, t, choice);
            let Some(trap) = net.traps.get_mut(t) else {
                continue;
            };
            if trap.vent != VentMethod::None || !near {
                continue;
            }
            trap.vent = VentMethod::SingleStack;
            if wanted {
                trap.vent_state = State::Stated;
            }
            any = true;
        }
        if any {
            let own = OwnVent {
                method: StackMethod::Single,
                height: height(choice.job, lowest),
            };
            net.own_vents.insert(RunIx(run), own);
        }
    }
    on_drain(net, sites, choice);
}

/// Where the book has it so, the stacks that stand on a building drain serve what enters it.
fn on_drain(net: &mut Network, sites: &[Option<Site>], choice: &Choice<'_>) {
    let rules = choice.book.single_stack_rules();
    let served = rules.and_then(|r| r.drain_served.as_ref());
    if !served.is_some_and(|f| f.value) || !choice.may(SINGLE_STACK) || choice.rather_individual() {
        return;
    }
    let open = |(s, run): (usize, &usize)| {
        let said = choice.job.stacks.get(s)?;
        (said.up_to.is_none() && !said.existing).then_some(RunIx(*run))
    };
    // The building drains below open stacks.
    let stacks = choice.draft.stacks.iter().enumerate().filter_map(open);
    let bases = stacks.filter_map(|run| net.runs.get(run.0)?.pieces.first().copied());
    let drains: BTreeSet<RunIx> = bases.flat_map(|base| drains_below(net, base)).collect();
    for (t, site) in sites.iter().enumerate() {
        let free = site.is_some_and(|s| s.stack.is_none())
            && (net.traps.get(t)).is_some_and(|trap| trap.vent == VentMethod::None);
        let way = net.way_to_vented_run(TrapIx(t)).filter(|_| free);
        let near = way.is_some_and(|(_, run)| drains.contains(&run)) && near(net, t, choice);
        if let Some(trap) = net.traps.get_mut(t).filter(|_| near) {
            trap.vent = VentMethod::SingleStack;
        }
    }
}

/// The building drains on the way down from a piece.
fn drains_below(net: &Network, piece: PieceIx) -> Vec<RunIx> {
    let below = net.to(piece).into_iter();
    let runs = below.flat_map(|j| runs_down(net, j)).map(|(run, _)| run);
    let drain = |r: &RunIx| {
        net.runs
            .get(r.0)
            .is_some_and(|r| r.kind == RunKind::BuildingDrain)
    };
    runs.filter(drain).collect()
}

/// The traps whose water each stack takes, by the stack's run.
pub(super) fn on_stacks(sites: &[Option<Site>]) -> BTreeMap<usize, Vec<usize>> {
    let mut on: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (t, site) in sites.iter().enumerate() {
        if let Some(stack) = site.and_then(|s| s.stack) {
            on.entry(stack).or_default().push(t);
        }
    }
    on
}

/// Whether the book and the job let a stack serve its traps so, by what is known before sizing.
fn proposed(stack: usize, on: &[usize], lowest: Option<FloorIx>, choice: &Choice<'_>) -> bool {
    let (job, book) = (choice.job, choice.book);
    if !choice.may(SINGLE_STACK) || choice.rather_individual() {
        return false;
    }
    let Some(said) = job.stacks.get(stack) else {
        return false;
    };
    // A level offset above other connections has to be vented: that is no single stack's.
    let offset = |o: &crate::job::Offset| o.by_degrees == 90 && lowest.is_some_and(|l| l < o.floor);
    if said.offsets.iter().any(offset) {
        return false;
    }
    let fixtures = on.iter().filter_map(|&t| job.fixtures.get(t));
    let closets = fixtures
        .clone()
        .filter(|f| ways(&f.kind.value).closet)
        .count();
    let loads = || fixtures.clone().map(|f| fixture_load(f, book));
    let largest = loads().fold(Load::ZERO, Load::max);
    let demand = book.demand(loads().sum(), largest, Flow::default());
    let height = height(job, lowest);
    let will_do = |size: PipeSize| {
        let carries = book.single_stack(size, height);
        let takes = book.single_stack_closets(size);
        carries.is_none_or(|c| c.is_ok_and(|c| c.value.covers(demand)))
            && takes.is_none_or(|t| closets <= t.value as usize)
    };
    match &said.size {
        Some(size) => will_do(size.value),
        None => PipeSize::all().any(will_do),
    }
}

/// How high a stack is: from the lowest floor that drains into it to the roof, or to the highest
/// floor where the job states no roof.
pub(super) fn height(job: &Job, lowest: Option<FloorIx>) -> Option<Length> {
    let low = job.floors.get(lowest?.0)?.level;
    let high = job.roof.as_ref().map(|r| r.value);
    Some(high.or(job.floors.last().map(|f| f.level))? - low)
}

/// Whether a trap stands near enough to its stack, as far as lengths are known.
fn near(net: &Network, t: usize, choice: &Choice<'_>) -> bool {
    let Some(f) = choice.job.fixtures.get(t) else {
        return false;
    };
    let Some((way, _)) = net.way_to_vented_run(TrapIx(t)) else {
        return false;
    };
    let (level, drop) = level_and_drop(net, &way);
    // A branch enters a stack through a sanitary tee, two at one place through another fitting.
    let enters = way.last().and_then(|p| net.to(*p));
    let others = enters.map_or(Vec::new(), |j| net.upstream(j)).into_iter();
    let on_stack = |p: &PieceIx| {
        net.graph
            .edge_weight(*p)
            .is_some_and(|p| net.is_stack(p.run))
    };
    let by_tee = others.filter(|p| !on_stack(p)).count() <= 1;
    let rules = choice.book.single_stack_rules();
    let most = rules.and_then(|r| r.distance(ways(&f.kind.value).closet, by_tee));
    let within = |is: Length, most: Length| is <= most || is.same(most);
    if most.is_some_and(|most| !within(level, most.value)) {
        return false;
    }
    // Sizing makes a branch as large as its length asks for, so the longest row counts.
    let least = trap_size(f, choice.book);
    let rows: Vec<_> = (choice.book.unvented_sizes().into_iter())
        .filter(|s| least.is_none_or(|l| *s >= l))
        .filter_map(|s| choice.book.unvented_branch(s))
        .collect();
    rows.is_empty()
        || rows.iter().any(|row| {
            let length = row
                .length
                .as_ref()
                .is_none_or(|m| within(level + drop, m.value));
            length && row.drop.as_ref().is_none_or(|m| within(drop, m.value))
        })
}

/// Says which stacks serve which fixtures.
pub(super) fn notes(job: &Job, net: &Network, notes: &mut Notes<'_>) {
    let mut served: BTreeMap<RunIx, Vec<&str>> = BTreeMap::new();
    for (t, (f, trap)) in job.fixtures.iter().zip(&net.traps).enumerate() {
        if trap.vent == VentMethod::SingleStack
            && let Some((_, run)) = net.way_to_vented_run(TrapIx(t))
        {
            served.entry(run).or_default().push(&f.name);
        }
    }
    let stated: BTreeSet<&str> = (job.stacks.iter())
        .filter(|s| s.method.is_some())
        .map(|s| s.name.as_str())
        .collect();
    for (run, fixtures) in served {
        let Some(id) = net.runs.get(run.0).map(|r| r.id.clone()) else {
            continue;
        };
        if stated.contains(id.as_str()) {
            continue;
        }
        if !net.is_stack(run) {
            let why = format!("the stacks that stand on {id} serve what enters it near");
            let reason = notes.method(SINGLE_STACK, &why);
            for fixture in fixtures {
                notes.add(fixture, "no vent of its own", reason.clone());
            }
            continue;
        }
        let what = format!("serves {} as that of a single stack", fixtures.join(", "));
        let reason = notes.method(SINGLE_STACK, "it serves unvented branches near the stack");
        notes.add(&format!("{id}.vent"), what, reason);
    }
}
