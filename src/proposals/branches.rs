//! Branches for fixtures that name only a stack, and for bathrooms on the building drain.

use std::collections::{BTreeMap, BTreeSet};

use super::backwater;
use super::groups::{bathrooms, toilet_rooms};
use super::methods::{self, Choice};
use super::notes::Notes;
use super::routes::proposed;
use crate::job::{FloorIx, Job, Lies, Target};
use crate::network::draft::{Draft, DraftLeg, Entrant, Root, Who, settle_in};
use crate::network::kinds::ways;
use crate::network::{Ids, RunKind, State, WASTE_STACK};
use crate::units::{Heading, Length};

/// Fixtures that go onto one branch together.
struct Bucket {
    stack: usize,
    floor: Option<FloorIx>,
    heading: Option<Heading>,
    /// Branch of one fixture, with legs of its own.
    own: Option<Vec<DraftLeg>>,
    /// Branch of one fixture that joins a waste stack level, above the floor.
    level: bool,
    fixtures: Vec<usize>,
}

/// All of them, in the order in which their first fixtures stand in the job.
#[derive(Default)]
struct Buckets {
    list: Vec<Bucket>,
    /// The one of several fixtures that leaves a stack on a floor in a direction.
    shared: BTreeMap<(usize, Option<FloorIx>, Option<Heading>), usize>,
}

/// Where a fixture that is on no drain yet goes.
enum Goes {
    Stack(usize),
    Main(usize),
    With(usize),
}

/// Gives every fixture a run to enter.
pub(crate) fn propose(job: &Job, draft: &mut Draft, notes: &mut Notes<'_>) {
    let mut buckets = Buckets::default();
    let mut mains: Vec<(usize, Vec<usize>)> = Vec::new();
    let mut protected: Vec<(usize, Vec<usize>)> = Vec::new();
    let mut together = Vec::new();
    let put = |all: &mut Vec<(usize, Vec<usize>)>, main: usize, f: usize| match all
        .iter_mut()
        .find(|m| m.0 == main)
    {
        Some(m) => m.1.push(f),
        None => all.push((main, vec![f])),
    };
    let waste = waste_stacks(job, draft, notes);
    let drains = Drains::of(job, draft);
    for f in 0..job.fixtures.len() {
        let way = &draft.fixtures[f];
        if way.home.is_some() || way.indirect {
            continue;
        }
        if let Some(main) = drains.first
            && backwater::below_manhole(job, draft, main, f, notes)
        {
            put(&mut protected, main, f);
            continue;
        }
        match goes(job, draft, &drains, f) {
            Some(Goes::Stack(stack)) => {
                into_bucket(job, draft, &mut buckets, (stack, waste.contains(&stack)), f);
            }
            Some(Goes::Main(main)) => put(&mut mains, main, f),
            Some(Goes::With(other)) => together.push((f, other)),
            None => {}
        }
    }
    let mut taken = Ids::default();
    for run in &draft.runs {
        taken.take(run.id.clone());
    }
    let groups = notes.book.wet_vent_rules().map(|r| r.groups.value);
    let most = groups.unwrap_or(1).max(1) as usize;
    let mut ways: BTreeMap<(usize, Option<FloorIx>), usize> = BTreeMap::new();
    for b in &buckets.list {
        *ways.entry((b.stack, b.floor)).or_default() += 1;
    }
    for bucket in &buckets.list {
        let alone = ways.get(&(bucket.stack, bucket.floor)) == Some(&1);
        branch(job, draft, bucket, alone, most, &mut taken, notes);
    }
    for (main, fixtures) in mains {
        on_main(job, draft, main, &fixtures, &mut taken, notes);
    }
    for (main, fixtures) in protected {
        backwater::propose(job, draft, (main, &fixtures), &mut taken, notes);
    }
    for (f, other) in together {
        // Those that share the drain of another fixture go where that one went.
        let home = draft.fixtures.get(other).and_then(|o| o.home);
        if let Some(home) = home {
            settle_in(job, draft, f, home, None, Some(other));
        }
    }
}

/// The building drains of a draft.
struct Drains {
    /// The one that things go to which name nothing.
    first: Option<usize>,
    /// The first one of each exit.
    to_exit: Vec<Option<usize>>,
}

impl Drains {
    fn of(job: &Job, draft: &Draft) -> Drains {
        let mut to_exit = vec![None; job.exits.len().max(1)];
        for (r, run) in draft.runs.iter().enumerate() {
            if let Some(Root::Exit(e)) = run.root
                && let Some(drain @ None) = to_exit.get_mut(e)
            {
                *drain = Some(r);
            }
        }
        Drains {
            first: draft.building_drain(),
            to_exit,
        }
    }
}

fn goes(job: &Job, draft: &Draft, drains: &Drains, fixture: usize) -> Option<Goes> {
    let main = || drains.first.map(Goes::Main);
    match job.fixtures.get(fixture)?.into.as_ref().map(|t| &t.value) {
        Some(Target::Stack(s)) => draft.stacks.get(*s).map(|&s| Goes::Stack(s)),
        Some(Target::Exit(e)) => (drains.to_exit.get(*e).copied().flatten())
            .map(Goes::Main)
            .or_else(main),
        Some(Target::Fixture(f)) => {
            // The one at the end of the chain, which has a way of its own.
            let (mut at, mut left) = (*f, job.fixtures.len());
            while let Some(Target::Fixture(next)) =
                job.fixtures.get(at)?.into.as_ref().map(|t| &t.value)
            {
                left = left.checked_sub(1)?;
                at = *next;
            }
            Some(Goes::With(at))
        }
        None => match draft.stacks.as_slice() {
            [only] => Some(Goes::Stack(*only)),
            _ => main(),
        },
        Some(_) => None,
    }
}

/// The stacks into which each fixture drains by itself, by their runs.
fn waste_stacks(job: &Job, draft: &Draft, notes: &Notes<'_>) -> BTreeSet<usize> {
    let choice = Choice::new(job, notes.book, draft);
    let stacks = draft.stacks.iter().enumerate();
    let waste = stacks.filter(|(s, _)| methods::is_waste_stack(&choice, *s));
    waste.map(|(_, run)| *run).collect()
}

fn into_bucket(
    job: &Job,
    draft: &Draft,
    buckets: &mut Buckets,
    (stack, waste): (usize, bool),
    f: usize,
) {
    let floor = draft.fixtures[f].floor;
    let level = draft.fixtures[f].drop.iter();
    let first: Vec<DraftLeg> = level
        .take_while(|l| l.heading.is_some_and(|h| !h.is_vertical()))
        .cloned()
        .collect();
    if !first.is_empty() {
        buckets.list.push(Bucket {
            stack,
            floor,
            heading: first.first().and_then(|l| l.heading),
            own: Some(first),
            level: false,
            fixtures: vec![f],
        });
        return;
    }
    let heading = way_from(job, draft, stack, f)
        .map(|w| w.0)
        .or(draft.fixtures[f].side);
    if waste && draft.fixtures[f].drop.is_empty() {
        buckets.list.push(Bucket {
            stack,
            floor,
            heading,
            own: None,
            level: true,
            fixtures: vec![f],
        });
        return;
    }
    let next = buckets.list.len();
    let at = *buckets
        .shared
        .entry((stack, floor, heading))
        .or_insert(next);
    match buckets.list.get_mut(at) {
        Some(bucket) => bucket.fixtures.push(f),
        None => buckets.list.push(Bucket {
            stack,
            floor,
            heading,
            own: None,
            level: false,
            fixtures: vec![f],
        }),
    }
}

/// The way from a stack to a fixture whose plan positions are known: the east-west leg first,
/// else north-south. The heading and how far.
fn way_from(job: &Job, draft: &Draft, stack: usize, f: usize) -> Option<(Heading, Length)> {
    let at = job.fixtures.get(f)?.at?;
    let from = crate::network::stack_at(job, draft, stack, draft.fixtures.get(f)?.floor)?;
    let (east, north) = (at.0 - from.0, at.1 - from.1);
    let tiny = Length::from_mm(6.0);
    if east.abs() > tiny {
        let heading = if east > Length::ZERO {
            Heading::East
        } else {
            Heading::West
        };
        return Some((heading, east.abs()));
    }
    let heading = if north > Length::ZERO {
        Heading::North
    } else {
        Heading::South
    };
    (north.abs() > tiny).then_some((heading, north.abs()))
}

/// The name of a floor as part of an id.
pub(crate) fn floor_name(job: &Job, floor: Option<FloorIx>) -> String {
    floor
        .and_then(|f| job.floors.get(f.0))
        .map_or_else(|| "branch".to_owned(), |f| f.name.replace([' ', '.'], "-"))
}

/// Proposes the branch, or the branches, of one bucket.
fn branch(
    job: &Job,
    draft: &mut Draft,
    bucket: &Bucket,
    alone: bool,
    most: usize,
    taken: &mut Ids,
    notes: &mut Notes<'_>,
) {
    let row = notes.book.closet_row().map(|f| f.value as usize);
    let (rows, rest) = toilet_rooms(job, &bucket.fixtures, row);
    let others: Vec<usize> = (rest.iter().copied())
        .filter(|&f| {
            !job.fixtures
                .get(f)
                .is_some_and(|f| ways(&f.kind.value).bath)
        })
        .collect();
    let baths = bathrooms(job, &rest);
    let mut parts: Vec<Vec<usize>> = Vec::new();
    for chunk in baths.chunks(most) {
        parts.push(chunk.concat());
    }
    parts.extend(rows);
    // What is not of a bathroom joins downstream of the part that is wet vented.
    match parts.first_mut() {
        Some(first) => {
            first.splice(0..0, others);
        }
        None => parts.push(others),
    }
    let stack = draft.runs[bucket.stack].id.clone();
    let floor = floor_name(job, bucket.floor);
    for part in parts {
        let name = match (bucket.heading, alone) {
            _ if bucket.level || bucket.own.is_some() => {
                names(job, &part).into_iter().next().unwrap_or_default()
            }
            (Some(heading), false) => format!("{floor}-{}", heading.word()),
            _ => floor.clone(),
        };
        let id = taken.take(format!("{stack}.{name}"));
        let mut run = proposed(id.clone(), RunKind::Branch, Root::Run(bucket.stack));
        run.floor = bucket.floor;
        run.state = state_of_all(job, &part);
        run.legs = match &bucket.own {
            Some(legs) => legs.clone(),
            None => legs_to(job, draft, bucket, &part),
        };
        if bucket.level {
            // Within the wall, as high as its fixture lets it.
            let leg = run.legs.pop().unwrap_or_default();
            run.legs.push(DraftLeg {
                lies: Some(Lies::Wall),
                ..leg
            });
        }
        let at = draft.runs.len();
        draft.runs.push(run);
        draft.runs[bucket.stack].entrants.push(Entrant {
            floor: bucket.floor,
            ..Entrant::new(Who::Run(at), id.clone())
        });
        for &f in &part {
            if bucket.level {
                draft.fixtures[f].has_drop = false;
            }
            if bucket.own.is_some() {
                let way = &mut draft.fixtures[f];
                let rest = way
                    .drop
                    .iter()
                    .position(|l| l.heading.is_none_or(|h| h.is_vertical()));
                way.drop = rest.map_or(Vec::new(), |r| way.drop.split_off(r));
                way.has_drop = !way.drop.is_empty()
                    || job
                        .fixtures
                        .get(f)
                        .is_some_and(|f| ways(&f.kind.value).wall);
            }
            settle_in(job, draft, f, Root::Run(at), None, None);
        }
        let reason = match bucket.level {
            true => notes.method(WASTE_STACK, "each drain joins a waste stack by itself"),
            false => format!("the job names only the stack {stack}"),
        };
        notes.add(
            &id,
            format!("a branch for {}", names(job, &part).join(", ")),
            reason,
        );
    }
}

/// Legs of a branch: as far as the farthest fixture whose position is known.
fn legs_to(job: &Job, draft: &Draft, bucket: &Bucket, part: &[usize]) -> Vec<DraftLeg> {
    let Some(heading) = bucket.heading else {
        return Vec::new();
    };
    let far = part
        .iter()
        .filter_map(|&f| way_from(job, draft, bucket.stack, f))
        .fold(None, |far: Option<Length>, w| {
            Some(far.map_or(w.1, |l| l.max(w.1)))
        });
    vec![DraftLeg {
        heading: Some(heading),
        length: far,
        ..DraftLeg::default()
    }]
}

fn state_of_all(job: &Job, part: &[usize]) -> State {
    let all = |is: fn(&crate::job::Fixture) -> bool| {
        part.iter().all(|&f| job.fixtures.get(f).is_some_and(is))
    };
    match () {
        () if all(|f| f.existing) => State::Existing,
        () if all(|f| f.future) => State::Future,
        () => State::Proposed,
    }
}

pub(super) fn names(job: &Job, part: &[usize]) -> Vec<String> {
    part.iter()
        .filter_map(|&f| job.fixtures.get(f).map(|f| f.name.clone()))
        .collect()
}

/// Fixtures on the building drain itself: each bathroom on a branch, the others one by one.
pub(super) fn on_main(
    job: &Job,
    draft: &mut Draft,
    main: usize,
    fixtures: &[usize],
    taken: &mut Ids,
    notes: &mut Notes<'_>,
) {
    let mut floors: Vec<Option<FloorIx>> =
        fixtures.iter().map(|&f| draft.fixtures[f].floor).collect();
    floors.sort_unstable();
    floors.dedup();
    let mut baths: Vec<Vec<usize>> = Vec::new();
    for floor in floors {
        let here: Vec<usize> = (fixtures.iter().copied())
            .filter(|&f| {
                // One that states its place on the drain keeps it.
                draft.fixtures[f].floor == floor
                    && job
                        .fixtures
                        .get(f)
                        .is_some_and(|f| f.station.is_none() && f.at.is_none())
            })
            .collect();
        baths.extend(bathrooms(job, &here).into_iter().filter(|b| b.len() > 1));
    }
    let owner = draft.runs[main].id.clone();
    let mut bath_of: BTreeMap<usize, usize> = BTreeMap::new();
    for (b, bath) in baths.iter().enumerate() {
        bath_of.extend(bath.iter().map(|&f| (f, b)));
    }
    for &f in fixtures {
        let Some(bath) = bath_of.get(&f).and_then(|&b| baths.get(b)) else {
            let station = job
                .fixtures
                .get(f)
                .and_then(|f| f.station.as_ref())
                .map(|s| s.value);
            settle_in(job, draft, f, Root::Run(main), station, None);
            continue;
        };
        if bath.iter().min() != Some(&f) {
            continue;
        }
        let floor = draft.fixtures[f].floor;
        let id = taken.take(format!("{owner}.{}-bath", floor_name(job, floor)));
        let mut run = proposed(id.clone(), RunKind::BuildingBranch, Root::Run(main));
        run.floor = floor;
        run.state = state_of_all(job, bath);
        let at = draft.runs.len();
        draft.runs.push(run);
        draft.runs[main].entrants.push(Entrant {
            floor,
            ..Entrant::new(Who::Run(at), id.clone())
        });
        for &member in bath {
            settle_in(job, draft, member, Root::Run(at), None, None);
        }
        notes.add(
            &id,
            format!("a branch for {}", names(job, bath).join(", ")),
            notes.method("wet vent", "one vent then serves the bathroom"),
        );
    }
}
