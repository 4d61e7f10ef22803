//! The lifts in which the whole is filled, where plugs bear less than its whole height.

use super::filling::{self, Pipe, volume};
use super::model::{Filling, Lift};
use crate::codebook::TestRules;
use crate::solve::Work;
use crate::units::Length;

/// The lifts, from the exit up.
///
/// ```text
/// wᵢ = min(pᵢ + r, top),   pᵢ₊₁ = the highest floor with level ≤ wᵢ − h
/// ```
///
/// `p` the level of a lift's lower plug, `w` that of its water, `r` the head that the plugs bear,
/// `h` the head that the book asks for: every joint stands under it in one lift or the next, but
/// for the uppermost. None where the roof or the lowest joint is not known, or no floor is high
/// enough over the plug before it: then the plugs are too weak for any test by lifts.
pub(super) fn lifts(
    work: &Work<'_>,
    rules: &TestRules,
    pipes: &[Pipe],
    fill: Option<&Filling>,
) -> Vec<Lift> {
    let Some((lowest, top)) = lowest(work, pipes).zip(fill.map(|f| f.level)) else {
        return Vec::new();
    };
    let head = rules.water.head.value;
    let Some(plugs) = plugs(work, (lowest, top), head, work.job.test.plug_rating) else {
        return Vec::new();
    };
    let lift = |(at, bottom, top): (String, Length, Length)| {
        let (volume, uncounted) = volume(pipes.iter(), (bottom, top));
        Lift {
            plug_at: at,
            bottom,
            top,
            volume,
            uncounted: uncounted.len(),
        }
    };
    plugs.into_iter().map(lift).collect()
}

/// The least head that plugs must bear for a test by lifts, one at each floor; none where the whole
/// height is not known.
pub(super) fn least_rating(
    work: &Work<'_>,
    rules: &TestRules,
    pipes: &[Pipe],
    fill: Option<&Filling>,
) -> Option<Length> {
    let (lowest, top) = lowest(work, pipes).zip(fill.map(|f| f.level))?;
    let head = rules.water.head.value;
    let floors = work.job.floors.iter().map(|f| f.level);
    let mut places: Vec<Length> = floors.filter(|l| *l > lowest).collect();
    places.push(lowest);
    let mut tried: Vec<Length> = Vec::new();
    for from in &places {
        tried.push(top - *from);
        tried.extend(places.iter().map(|to| *to + head - *from));
    }
    tried.sort_by(Length::total_cmp);
    let works =
        |r: &Length| *r > Length::ZERO && plugs(work, (lowest, top), head, Some(*r)).is_some();
    tried.into_iter().find(works)
}

fn lowest(work: &Work<'_>, pipes: &[Pipe]) -> Option<Length> {
    filling::lowest(work, pipes.iter()).map(|l| l.1)
}

/// Where the lower plug of each lift stands, its level and that of the water.
fn plugs(
    work: &Work<'_>,
    (lowest, whole): (Length, Length),
    head: Length,
    bears: Option<Length>,
) -> Option<Vec<(String, Length, Length)>> {
    let mut plugs = Vec::new();
    let (mut bottom, mut at) = (lowest, "exit".to_owned());
    loop {
        let top = bears.map_or(whole, |r| (bottom + r).min(whole));
        plugs.push((std::mem::take(&mut at), bottom, top));
        if top >= whole || top.same(whole) {
            return Some(plugs);
        }
        let reach = top - head;
        let within = |l: Length| l > bottom && (l <= reach || l.same(reach));
        let floors = work.job.floors.iter();
        let above = floors.filter(|f| f.part_of.is_none() && within(f.level));
        let next = above.max_by(|a, b| a.level.total_cmp(&b.level))?;
        bottom = next.level;
        at.clone_from(&next.name);
    }
}
