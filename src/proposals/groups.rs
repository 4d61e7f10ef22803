//! Bathroom groups: which fixtures make up one bathroom.

use std::collections::{BTreeMap, BTreeSet};

use crate::job::{FloorIx, Job};
use crate::network::kinds::ways;

/// Bathrooms among some fixtures, each nearest the drain first: closet, bidet, tub or shower,
/// lavatory. Fixtures of one room are one bathroom; where no room is stated, each closet makes
/// one and the others are dealt out in the order in which they are given.
pub(crate) fn bathrooms(job: &Job, fixtures: &[usize]) -> Vec<Vec<usize>> {
    let mut rooms: Vec<(Option<&str>, Vec<usize>)> = Vec::new();
    for &f in fixtures {
        let Some(fixture) = job.fixtures.get(f) else {
            continue;
        };
        if !ways(&fixture.kind.value).bath {
            continue;
        }
        let room = fixture.room.as_deref();
        match rooms.iter_mut().find(|r| r.0 == room) {
            Some(r) => r.1.push(f),
            None => rooms.push((room, vec![f])),
        }
    }
    let mut all = Vec::new();
    for (room, members) in rooms {
        match room {
            Some(_) if closets(job, &members) <= 1 => all.push(members),
            _ => all.extend(dealt(job, &members)),
        }
    }
    for group in &mut all {
        group.sort_by_key(|&f| rank(job, f));
    }
    all.sort_by_key(|g| g.iter().min().copied());
    all
}

/// The rooms among some fixtures that are no bathrooms but hold a row of closets, each with all
/// that drains there and stays in the order of the job, and the fixtures of no such room.
///
/// Where a branch takes no more than `most` closets, a longer row is dealt out to several.
pub(crate) fn toilet_rooms(
    job: &Job,
    fixtures: &[usize],
    most: Option<usize>,
) -> (Vec<Vec<usize>>, Vec<usize>) {
    let mut rooms: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for &f in fixtures {
        if let Some(room) = job.fixtures.get(f).and_then(|f| f.room.as_deref()) {
            rooms.entry(room).or_default().push(f);
        }
    }
    let mut rows: Vec<Vec<usize>> = (rooms.into_values())
        .filter(|members| closets(job, members) > 1)
        .collect();
    rows.sort_by_key(|r| r.first().copied());
    let in_rows: BTreeSet<usize> = rows.iter().flatten().copied().collect();
    let rest = fixtures.iter().copied().filter(|f| !in_rows.contains(f));
    let rest = rest.collect();
    let rows = rows.iter().flat_map(|row| parted(job, row, most));
    (rows.collect(), rest)
}

/// A row in as many parts as its closets ask for, each of closets that stand side by side.
fn parted(job: &Job, row: &[usize], most: Option<usize>) -> Vec<Vec<usize>> {
    let count = closets(job, row);
    let parts = most.map_or(1, |m| count.div_ceil(m.max(1)));
    let (mut seen, mut others) = (0, 0);
    let mut all = vec![Vec::new(); parts];
    for &f in row {
        let nth = match rank(job, f) {
            0 => &mut seen,
            _ => &mut others,
        };
        let of = if rank(job, f) == 0 {
            count
        } else {
            row.len() - count
        };
        if let Some(part) = all.get_mut(*nth * parts / of.max(1)) {
            part.push(f);
        }
        *nth += 1;
    }
    all
}

fn closets(job: &Job, fixtures: &[usize]) -> usize {
    fixtures.iter().filter(|&&f| rank(job, f) == 0).count()
}

/// Place within a bathroom, walking upstream: the lavatory, whose vent serves all, is last.
fn rank(job: &Job, fixture: usize) -> u8 {
    let ways = job
        .fixtures
        .get(fixture)
        .map(|f| ways(&f.kind.value))
        .unwrap_or_default();
    match () {
        () if ways.closet => 0,
        () if ways.bathing => 2,
        () if ways.lavatory => 3,
        () => 1,
    }
}

/// Deals fixtures out to as many bathrooms as there are closets, each kind in turn.
fn dealt(job: &Job, members: &[usize]) -> Vec<Vec<usize>> {
    let count = closets(job, members).max(1);
    let mut groups = vec![Vec::new(); count];
    let mut next = [0usize; 4];
    for &f in members {
        let rank = usize::from(rank(job, f));
        if let Some(turn) = next.get_mut(rank) {
            if let Some(group) = groups.get_mut(*turn % count) {
                group.push(f);
            }
            *turn += 1;
        }
    }
    groups.retain(|g| !g.is_empty());
    groups
}

/// Floor, room and branch of a fixture.
type Home<'a> = (Option<FloorIx>, Option<&'a str>, usize);

/// The group that each fixture is counted in for its load: a closet with one lavatory and, if
/// there, one tub or shower and one bidet, in one room, or on one drain where no room is stated.
///
/// Those nearest each other along their drain go together: `far` is how far up it each stands.
pub(crate) fn counted(
    job: &Job,
    floor: impl Fn(usize) -> Option<FloorIx>,
    host: impl Fn(usize) -> usize,
    far: impl Fn(usize) -> usize,
) -> Vec<Option<usize>> {
    let mut buckets: BTreeMap<Home<'_>, Vec<usize>> = BTreeMap::new();
    for (i, f) in job.fixtures.iter().enumerate() {
        let room = f.room.as_deref();
        let host = host(i);
        buckets.entry((floor(i), room, host)).or_default().push(i);
    }
    let mut of = vec![None; job.fixtures.len()];
    let mut found: Vec<Vec<usize>> = Vec::new();
    for fixtures in buckets.values_mut() {
        // What stands in one place keeps the order of the job.
        fixtures.sort_by_key(|&f| far(f));
        for bathroom in bathrooms(job, fixtures) {
            let mut seen = [false; 4];
            let one_each: Vec<usize> = (bathroom.into_iter())
                .filter(|&f| {
                    let seen = seen.get_mut(usize::from(rank(job, f)));
                    seen.is_some_and(|s| !std::mem::replace(s, true))
                })
                .collect();
            let ranks: Vec<u8> = one_each.iter().map(|&f| rank(job, f)).collect();
            if ranks.contains(&0) && ranks.contains(&3) {
                found.push(one_each);
            }
        }
    }
    found.sort_by_key(|g| g.iter().min().copied());
    for (g, members) in found.iter().enumerate() {
        for &f in members {
            if let Some(slot) = of.get_mut(f) {
                *slot = Some(g);
            }
        }
    }
    of
}
