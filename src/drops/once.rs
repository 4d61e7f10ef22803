//! Numbers the holes of one name.

use std::collections::{BTreeMap, BTreeSet};

use super::{Hole, Level};
use crate::units::Length;

/// Of one name that stands twice on a floor each place gets a number, the same on every floor.
pub(super) fn once_a_floor(holes: &mut [Hole]) {
    type Spot = Result<(i64, i64), String>;
    let spot = |h: &Hole| -> Spot {
        let tenth = |l: Length| (l.mm() * 10.0).round() as i64;
        h.at.as_ref()
            .map(|at| (tenth(at.0), tenth(at.1)))
            .map_err(Clone::clone)
    };
    let mut spots: BTreeMap<String, Vec<Spot>> = BTreeMap::new();
    let mut once: BTreeMap<(Level, String), usize> = BTreeMap::new();
    for hole in holes.iter() {
        let own = spots.entry(hole.tag.clone()).or_default();
        if !own.contains(&spot(hole)) {
            own.push(spot(hole));
        }
        *once.entry((hole.level, hole.tag.clone())).or_default() += 1;
    }
    let twice: BTreeSet<String> = once
        .into_iter()
        .filter(|(_, n)| *n > 1)
        .map(|((_, tag), _)| tag)
        .collect();
    let mut taken: BTreeSet<(Level, String)> = BTreeSet::new();
    for hole in holes {
        if twice.contains(&hole.tag) {
            let all = spots.get(&hole.tag);
            let place = all.and_then(|s| s.iter().position(|s| *s == spot(hole)));
            let name = hole.tag.clone();
            let mut number = place.unwrap_or_default() + 1;
            loop {
                hole.tag = match number {
                    1 => name.clone(),
                    n => format!("{name}-{n}"),
                };
                if taken.insert((hole.level, hole.tag.clone())) {
                    break;
                }
                // Two of which nobody knows the place.
                number = number.max(all.map_or(0, Vec::len)) + 1;
            }
        }
    }
}
