//! A section that has more places than there is room for below it is drawn in parts, one a sheet.

use super::super::model::{Over, Profile};
use super::bands::drawn;
use crate::units::Length;

/// What lies nearer than this is at one place.
const FINE: Length = Length::from_mm(1.0);

/// The parts of a section with no more than so many places each, from the lower end up. The place
/// where two parts meet is in both.
pub(super) fn parts(profile: &Profile, most: usize) -> Vec<Profile> {
    let at: Vec<Length> = drawn(profile).filter_map(|p| p.distance).collect();
    let Some(last) = at.len().checked_sub(1).filter(|_| at.len() > most) else {
        return vec![profile.clone()];
    };
    let count = last.div_ceil(most.saturating_sub(1).max(1));
    let each = last.div_ceil(count);
    let bound = |i: usize| at.get((i * each).min(last)).copied();
    let ends = (0..count).filter_map(|i| Some((i, bound(i)?, bound(i + 1)?)));
    ends.map(|(i, from, to)| part(profile, (from, to), i + 1 == count))
        .filter(|p| !p.pipes.is_empty())
        .collect()
}

fn part(profile: &Profile, (from, to): (Length, Length), last: bool) -> Profile {
    let within = |d: Length| from - FINE <= d && d <= to + FINE;
    // A pipe is in the part in which its lower end is.
    let begins = |d: Length| from - FINE <= d && (last || d < to - FINE);
    let pipes = profile.pipes.iter();
    let pipes = pipes.filter(|p| p.points.first().is_some_and(|q| begins(q.distance)));
    let places = profile.places.iter();
    let places = places.filter(|p| p.distance.is_some_and(within));
    let clipped = |o: &Over| {
        let (low, high) = (o.from.max(from), o.to.min(to));
        (low < high).then(|| Over {
            from: low,
            to: high,
            ..o.clone()
        })
    };
    let grounds = profile.grounds.iter().filter(|g| within(g.distance));
    let footings = profile.footings.iter().filter(|f| within(f.distance));
    Profile {
        pipes: pipes.cloned().collect(),
        places: places.cloned().collect(),
        over: profile.over.iter().filter_map(clipped).collect(),
        grounds: grounds.copied().collect(),
        footings: footings.cloned().collect(),
        ..profile.clone()
    }
}
