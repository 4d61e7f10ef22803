//! One vent on a branch for several fixtures: circuit vents and combination drains and vents, as
//! the job states or allows them.

use super::fixture_load;
use super::methods::Choice;
use crate::catalogue;
use crate::codebook::Book;
use crate::job::{Fixture, FloorIx, Job};
use crate::network::draft::{Draft, DraftBranchVent, DraftRun, Entrant, Root, Spot, Who, spots};
use crate::network::kinds::ways;
use crate::network::{BranchMethod, CIRCUIT, COMBINATION, RunKind, State};
use crate::units::{Length, Load, PipeSize};

/// The least fixtures for which a circuit vent is proposed: a battery.
const BATTERY: usize = 3;
/// How far below its floor a branch is taken to lie where nothing is known of it.
const BELOW_FLOOR: Length = Length::from_inches(18.0);

/// Lets such vents stand on the runs that state or may have them.
pub(crate) fn propose(job: &Job, draft: &mut Draft, book: &Book) {
    let mut wanted: Vec<DraftBranchVent> = Vec::new();
    let choice = Choice::new(job, book, draft);
    let mut drains: Vec<Option<usize>> = vec![None; draft.runs.len()];
    for (d, run) in draft.drains.iter().enumerate() {
        if let Some(drain @ None) = drains.get_mut(*run) {
            *drain = Some(d);
        }
    }
    for (run, drain) in drains.into_iter().enumerate() {
        wanted.extend(of_run(&choice, run, drain));
    }
    for vent in wanted {
        stand(job, book, draft, vent);
    }
}

/// The vents of one run, which is this drain of the job, if it is one.
fn of_run(choice: &Choice<'_>, run: usize, drain: Option<usize>) -> Vec<DraftBranchVent> {
    let Some(own) = choice.draft.runs.get(run) else {
        return Vec::new();
    };
    let said = drain.and_then(|d| choice.job.drains.get(d)?.method.as_ref());
    let made = |method, fixtures: Vec<usize>| DraftBranchVent {
        method,
        run,
        fixtures,
        stated: said.is_some(),
    };
    match said.map(|s| s.value.as_str()) {
        Some(CIRCUIT) => {
            return circuits(choice, own, true)
                .into_iter()
                .map(|f| made(BranchMethod::Circuit, f))
                .collect();
        }
        Some(COMBINATION) => {
            let all: Vec<usize> = open(choice, own).into_iter().map(|z| z.1).collect();
            let some = !all.is_empty();
            return some
                .then(|| made(BranchMethod::Combination, all))
                .into_iter()
                .collect();
        }
        _ => {}
    }
    let branch = matches!(own.kind, RunKind::Branch | RunKind::BuildingBranch);
    if !branch || own.state == State::Existing || choice.rather_individual() {
        return Vec::new();
    }
    if choice.may(COMBINATION)
        && let Some(all) = combination(choice, own)
    {
        return vec![made(BranchMethod::Combination, all)];
    }
    if choice.may(CIRCUIT) {
        let sets = circuits(choice, own, false);
        return sets
            .into_iter()
            .map(|f| made(BranchMethod::Circuit, f))
            .collect();
    }
    Vec::new()
}

/// The fixtures of a run that state no vent, each with the number of its place up the run, from
/// the upstream end down to where something else drains in.
fn open(choice: &Choice<'_>, own: &DraftRun) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let places = spots(own);
    if places.last().is_some_and(|s| s.in_line) {
        return found;
    }
    for (place, spot) in places.iter().enumerate().rev() {
        let entrants = spot.entrants.iter().filter_map(|&e| own.entrants.get(e));
        let foreign = |e: &Entrant| matches!(e.who, Who::Run(_) | Who::Basin(_));
        if entrants.clone().any(foreign) {
            break;
        }
        for entrant in entrants {
            if let Who::Fixture(f) = entrant.who
                && let Some(fixture) = choice.job.fixtures.get(f)
                && fixture.vent.is_none()
                && fixture.vented_by.is_none()
                && !choice.serves(f)
            {
                found.push((place, f));
            }
        }
    }
    found
}

fn floor(choice: &Choice<'_>, f: usize) -> Option<FloorIx> {
    choice.draft.fixtures.get(f)?.floor
}

/// Sets of fixtures, each for one circuit vent: those of one floor whose own drains join the branch
/// level, nearest each other.
fn circuits(choice: &Choice<'_>, own: &DraftRun, stated: bool) -> Vec<Vec<usize>> {
    let Some(rules) = choice.book.circuit_rules() else {
        // The book has none: as stated, and a finding.
        let all: Vec<usize> = open(choice, own).into_iter().map(|z| z.1).collect();
        return if stated && !all.is_empty() {
            vec![all]
        } else {
            Vec::new()
        };
    };
    let all = open(choice, own);
    if stated {
        return Some(all.into_iter().map(|z| z.1).collect::<Vec<_>>())
            .filter(|a| !a.is_empty())
            .into_iter()
            .collect();
    }
    let level = |f: usize| choice.draft.fixtures.get(f).is_some_and(|w| !w.has_drop);
    let first = all.first().and_then(|z| floor(choice, z.1));
    let battery: Vec<usize> = (all.iter().map(|z| z.1))
        .take_while(|&f| floor(choice, f) == first)
        .filter(|&f| level(f))
        .collect();
    let closets = battery
        .iter()
        .filter(|&&f| is_closet(choice.job, f))
        .count();
    let groups = choice.book.wet_vent_rules().map(|r| r.groups.value);
    let baths = groups.unwrap_or_default() as usize;
    let prefers = choice.job.practice.prefer.iter();
    let rather = prefers.clone().position(|p| p.value == CIRCUIT);
    let wet = prefers.clone().position(|p| p.value == "wet vent");
    let rather = rather.is_some_and(|c| wet.is_none_or(|w| c < w));
    // What is no row of closets and urinals has to be asked for.
    let soil = |f: &usize| {
        let fixture = choice.job.fixtures.get(*f);
        fixture
            .and_then(|f| catalogue::kind(&f.kind.value))
            .is_some_and(|k| k.soil)
    };
    if !choice.asked(CIRCUIT) && !battery.iter().all(soil) {
        return Vec::new();
    }
    // A bathroom is wet vented with less pipe.
    if battery.len() < BATTERY || (closets <= baths && !rather) {
        return Vec::new();
    }
    let most = rules.fixtures.value.max(2) as usize;
    // As few circuits as there may be, each with as many fixtures as the others.
    let sets = battery.len().div_ceil(most);
    let size = battery.len().div_ceil(sets);
    battery.chunks(size).map(<[usize]>::to_vec).collect()
}

fn is_closet(job: &Job, f: usize) -> bool {
    job.fixtures
        .get(f)
        .is_some_and(|f| ways(&f.kind.value).closet)
}

/// The fixtures of a run, if all that drains into it may go through a combination drain and vent
/// and a floor drain is among it, or the job prefers it.
fn combination(choice: &Choice<'_>, own: &DraftRun) -> Option<Vec<usize>> {
    let (job, book) = (choice.job, choice.book);
    let method = book.methods().get(COMBINATION)?;
    let fixtures: Vec<usize> = open(choice, own).into_iter().map(|z| z.1).collect();
    let waste = own
        .entrants
        .iter()
        .filter(|e| matches!(e.who, Who::Run(_) | Who::Basin(_) | Who::Fixture(_)));
    if fixtures.is_empty() || waste.count() != fixtures.len() {
        return None;
    }
    let kind = |f: &usize| {
        job.fixtures
            .get(*f)
            .and_then(|f| catalogue::kind(&f.kind.value))
    };
    let takes = |f: &usize| {
        let with = job.fixtures.get(*f).map_or(&[][..], |f| &f.with);
        kind(f).is_some_and(|k| method.refuses(k.word, with).is_none())
    };
    let floor_drain = fixtures
        .iter()
        .any(|f| kind(f).is_some_and(|k| k.floor_drain));
    let prefers = job.practice.prefer.iter().any(|p| p.value == COMBINATION);
    let first = fixtures.first().and_then(|&f| floor(choice, f));
    let one_floor = fixtures.iter().all(|&f| floor(choice, f) == first);
    if !(floor_drain || prefers) || !one_floor || !fixtures.iter().all(takes) {
        return None;
    }
    let rules = book.combination_rules()?;
    let drops_in = |f: &usize| {
        let most = rules.most_drop.as_ref().map(|m| m.value);
        drop(choice, *f)
            .zip(most)
            .is_none_or(|(is, most)| is <= most || is.same(most))
    };
    let load: Load = (fixtures.iter())
        .filter_map(|&f| job.fixtures.get(f))
        .map(|f| fixture_load(f, book))
        .sum();
    let building = own.kind == RunKind::BuildingBranch;
    let carries = PipeSize::all().any(|s| match book.combination(s, building) {
        Some(most) => most.is_ok_and(|m| m.value >= load),
        None => true,
    });
    (carries && fixtures.iter().all(drops_in)).then_some(fixtures)
}

/// How far a fixture's drain drops into its branch: as stated, else from its outlet to below the
/// floor; none where it does not.
fn drop(choice: &Choice<'_>, f: usize) -> Option<Length> {
    let way = choice.draft.fixtures.get(f).filter(|w| w.has_drop)?;
    let upright = way
        .drop
        .iter()
        .filter(|l| l.heading.is_some_and(|h| h.is_vertical()));
    let lengths: Vec<Option<Length>> = upright.map(|l| l.length).collect();
    let known: Option<Length> = lengths.iter().copied().sum();
    match known.filter(|_| !lengths.is_empty()) {
        Some(known) => Some(known),
        None => {
            let fixture = choice.job.fixtures.get(f)?;
            let kind = catalogue::kind(&fixture.kind.value)?;
            let outlet = fixture.outlet.unwrap_or(kind.default_outlet.height);
            Some(outlet + BELOW_FLOOR)
        }
    }
}

/// Lets a vent stand on its run: between the two most upstream of its fixtures, or just below the
/// only one; its relief vent, where it needs one, below the lowest.
fn stand(job: &Job, book: &Book, draft: &mut Draft, vent: DraftBranchVent) {
    let ix = draft.branch_vents.len();
    let places = |draft: &Draft| -> Option<(Vec<Spot>, Vec<usize>)> {
        let own = draft.runs.get(vent.run)?;
        let all = spots(own);
        let serves = |s: &Spot| {
            s.entrants.iter().any(|&e| {
                own.entrants
                    .get(e)
                    .is_some_and(|e| matches!(e.who, Who::Fixture(f) if vent.fixtures.contains(&f)))
            })
        };
        let at = (0..all.len())
            .filter(|&i| all.get(i).is_some_and(serves))
            .collect();
        Some((all, at))
    };
    let Some((all, at)) = places(draft) else {
        return;
    };
    let Some(&upper) = at.last() else { return };
    let circuit = vent.method == BranchMethod::Circuit;
    let relief = circuit && needs_relief(job, book, draft, &vent, &all, &at);
    let name = match vent.method {
        BranchMethod::Circuit => "circuit",
        BranchMethod::Combination => "air",
    };
    put(
        draft,
        vent.run,
        &all,
        upper,
        Entrant::new(Who::BranchVent(ix), name),
    );
    if relief
        && let Some((all, at)) = places(draft)
        && let Some(&lower) = at.first()
    {
        put(
            draft,
            vent.run,
            &all,
            lower,
            Entrant::new(Who::Relief(ix), "relief"),
        );
    }
    draft.branch_vents.push(vent);
}

/// Lets something enter a run just below a place: half way to the place below it.
fn put(draft: &mut Draft, run: usize, all: &[Spot], above: usize, mut entrant: Entrant) {
    let Some(own) = draft.runs.get_mut(run) else {
        return;
    };
    let below = above.checked_sub(1).and_then(|b| all.get(b));
    let Some(upper) = all.get(above) else { return };
    let foot = Some(Length::ZERO);
    let lower = below.map_or(foot, |b| b.station);
    // The last place of a run of known length stands at its end, if it states nothing else.
    let last = above + 1 == all.len();
    let total = || own.legs.iter().map(|l| l.length).sum::<Option<Length>>();
    let end = upper
        .station
        .or_else(|| total().filter(|_| last && !own.legs.is_empty()));
    if let (Some(a), Some(b)) = (lower, end) {
        entrant.station = Some(a + (b - a) * 0.5);
        own.entrants.push(entrant);
        return;
    }
    let after = below.and_then(|b| b.entrants.iter().max());
    let at = match after {
        Some(&after) => after + 1,
        None => upper.entrants.iter().min().copied().unwrap_or(0),
    };
    own.entrants.insert(at.min(own.entrants.len()), entrant);
}

/// Whether a circuit needs a relief vent of its own: enough closets, a stack that takes waste from
/// above, and no vented drain below it that serves as one.
fn needs_relief(
    job: &Job,
    book: &Book,
    draft: &Draft,
    vent: &DraftBranchVent,
    all: &[Spot],
    at: &[usize],
) -> bool {
    let rules = book.circuit_rules();
    let Some(from) = rules.and_then(|r| r.relief_from.as_ref()) else {
        return false;
    };
    let closets = vent.fixtures.iter().filter(|&&f| is_closet(job, f)).count();
    let Some(own) = draft.runs.get(vent.run) else {
        return false;
    };
    let stack = match own.root {
        Some(Root::Run(r)) => draft.runs.get(r).filter(|r| r.kind == RunKind::Stack),
        _ => None,
    };
    let floor = vent
        .fixtures
        .iter()
        .filter_map(|&f| draft.fixtures.get(f)?.floor)
        .max();
    let above = stack.is_some_and(|s| s.entrants.iter().any(|e| e.floor > floor));
    if (closets as u64) < u64::from(from.value) || !above {
        return false;
    }
    let most = rules.and_then(|r| r.relief_drain.as_ref()).map(|m| m.value);
    let Some((most, &lowest)) = most.zip(at.first()) else {
        return true;
    };
    // A drain with a drop below the battery gets a vent of its own.
    let below = all.iter().take(lowest).flat_map(|s| &s.entrants);
    let mut fixtures = below.filter_map(|&e| match own.entrants.get(e)?.who {
        Who::Fixture(f) => Some(f),
        _ => None,
    });
    let relieves = |f: usize| {
        let dropped = draft.fixtures.get(f).is_some_and(|w| w.has_drop);
        dropped
            && job
                .fixtures
                .get(f)
                .is_some_and(|f| vented_by_itself(f) && fixture_load(f, book) <= most)
    };
    !fixtures.any(relieves)
}

fn vented_by_itself(f: &Fixture) -> bool {
    f.vented_by.is_none()
}
