//! Finds the stacks that are built alike from their feet to the roof.

use std::collections::BTreeMap;

use super::Typical;
use super::storeys::Namer;
use crate::network::{PieceIx, RunIx, System};

/// What a stack is like, with all that stands on it.
#[derive(Default)]
struct Unit {
    words: Vec<String>,
    /// The pipes by which it stands on the building's drains, by the name of their upper end.
    feet: BTreeMap<String, PieceIx>,
}

/// Lets one of the stacks that are alike stand for all of them.
pub(super) fn gather(namer: &Namer<'_>, typical: &mut Typical) {
    let Namer {
        net,
        solution,
        owners,
        ..
    } = namer;
    let mut units: BTreeMap<RunIx, Unit> = BTreeMap::new();
    for (joint, owner) in owners.all() {
        let floor = owner.floor.map(|f| f.0);
        let words = format!("{floor:?} {}", namer.joint(joint, owner));
        units.entry(owner.stack).or_default().words.push(words);
    }
    for e in net.graph.edge_indices() {
        let Some((from, to)) = net.graph.edge_endpoints(e) else {
            continue;
        };
        match (owners.of_joint(from), owners.of_joint(to)) {
            (None, None) => {}
            (Some(a), Some(b)) if a.stack == b.stack => {
                let floors = [a, b].map(|o| o.floor.map(|f| f.0));
                let load = solution.sizing.pieces.get(&e).map(|s| s.demand);
                let words = format!("{floors:?} {load:?} {}", namer.within(e, a));
                units.entry(a.stack).or_default().words.push(words);
            }
            (Some(a), Some(b)) => {
                // It leads over to another stack: like no other.
                let words = net.graph[e].id.clone();
                for stack in [a.stack, b.stack] {
                    units.entry(stack).or_default().words.push(words.clone());
                }
            }
            (Some(own), None) | (None, Some(own)) => {
                let joint = match owners.of_joint(from) {
                    Some(_) => from,
                    None => to,
                };
                let unit = units.entry(own.stack).or_default();
                let name = namer.name(joint, own);
                let load = solution.sizing.pieces.get(&e).map(|s| s.demand);
                let words = format!("{name} {load:?} {}", namer.size(e));
                unit.words.push(words);
                let up = (net.graph[e].system == System::Waste) == (joint == from);
                match up {
                    true => unit.feet.insert(name, e),
                    // Something of the building's drains hangs on it.
                    false => {
                        unit.words.push(net.graph[e].id.clone());
                        None
                    }
                };
            }
        }
    }
    let mut classes: BTreeMap<Vec<String>, Vec<RunIx>> = BTreeMap::new();
    for (stack, unit) in &mut units {
        let mut words = std::mem::take(&mut unit.words);
        words.sort_unstable();
        classes.entry(words).or_default().push(*stack);
    }
    for stacks in classes.into_values() {
        let [drawn, others @ ..] = stacks.as_slice() else {
            continue;
        };
        if others.is_empty() {
            continue;
        }
        for other in others {
            let feet = units.get(other).into_iter().flat_map(|u| &u.feet);
            let as_drawn =
                feet.filter_map(|(name, p)| Some((*p, *units.get(drawn)?.feet.get(name)?)));
            typical.as_drawn.extend(as_drawn.collect::<Vec<_>>());
        }
        typical.like.insert(*drawn, others.to_vec());
    }
}
