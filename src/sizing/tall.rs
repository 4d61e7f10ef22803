//! Tall stacks: which need a vent stack beside them, and at which floors relief vents between the two.

use std::collections::BTreeSet;

use super::intervals::{Intervals, floor_of};
use crate::codebook::Book;
use crate::job::{FloorIx, Job};
use crate::network::{Network, RunIx};

/// What a tall stack needs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tall {
    /// Its branch intervals, or the storeys that drain into it, as the book counts.
    pub count: u32,
    /// The floors below whose branches a relief vent leaves it, from the top down.
    pub relief: Vec<FloorIx>,
}

/// What a stack needs by the book; none: it is not that tall, or the book has no such rule.
///
/// Relief vents stand at each so-many-eth interval or storey, counted from the top; the lowest of
/// all has the foot of the vent stack.
pub fn tall(
    job: &Job,
    net: &Network,
    book: &Book,
    stack: RunIx,
    intervals: &Intervals,
) -> Option<Tall> {
    let rule = book.vent_stack_rule()?;
    let all = rule.of_own_vents.as_ref().is_none_or(|f| f.value);
    if !all && net.own_vents.contains_key(&stack) {
        return None;
    }
    // Each floor that drains into it with its interval; of one with branches in two, the lower.
    let mut floors: Vec<(FloorIx, u32)> = Vec::new();
    for piece in &net.runs.get(stack.0)?.pieces {
        let joint = net.from(*piece)?;
        let Some(interval) = intervals.of.get(&joint) else {
            continue;
        };
        let enters = net.upstream(joint).into_iter();
        let of = enters.filter(|p| net.graph.edge_weight(*p).is_some_and(|p| p.run != stack));
        for floor in of.filter_map(|p| floor_of(job, net, p)) {
            match floors.iter_mut().find(|f| f.0 == floor) {
                Some(found) => found.1 = found.1.max(*interval),
                None => floors.push((floor, *interval)),
            }
        }
    }
    floors.sort_by_key(|f| std::cmp::Reverse(f.0));
    let highest = floors.first()?.0;
    // How many lie above it, and it; from the top down.
    let place = |floor: &(FloorIx, u32)| match rule.by_storeys {
        true => (highest.0.saturating_sub(floor.0.0)) as u32 + 1,
        false => floor.1 + 1,
    };
    let count = match rule.by_storeys {
        true => floors.iter().map(place).max()?,
        false => intervals.count,
    };
    if count < rule.from.value {
        return None;
    }
    let mut relief = BTreeSet::new();
    if let Some(r) = rule.relief.as_ref().filter(|r| count > r.over.value) {
        for wanted in (1..).map(|n| n * r.each.value).take_while(|n| *n < count) {
            // Where nothing drains in just there, the next floor below has it.
            let at = floors
                .iter()
                .filter(|f| place(f) >= wanted)
                .map(place)
                .min();
            let lowest = floors.iter().rfind(|f| Some(place(f)) == at);
            relief.extend(lowest.map(|f| f.0));
        }
    }
    Some(Tall {
        count,
        relief: relief.into_iter().rev().collect(),
    })
}
