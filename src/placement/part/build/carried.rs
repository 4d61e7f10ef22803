//! The symbols and the words of what stands in a part.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::Builder;
use crate::captions::Captions;
use crate::network::JointIx;
use crate::placement::figures::{Figure, Figures, Stands};
use crate::placement::part::{floors_of, named_gaps};

impl Builder<'_> {
    /// The symbols that stand in the part, and what each is in the whole.
    pub(super) fn figures(&mut self) -> (Figures, Vec<usize>) {
        let whole = self.cutter.whole.figures;
        let mut picked: Vec<(usize, JointIx)> = Vec::new();
        for (old, new) in self.in_order() {
            picked.extend(whole.at(old).iter().map(|f| (*f, new)));
        }
        picked.extend(self.marks.iter().map(|(joint, index)| (*index, *joint)));
        let mut figures = Figures::like(whole);
        let mut symbols = Vec::with_capacity(picked.len());
        for (index, joint) in picked {
            let stands = match whole.all[index].stands {
                Stands::Fixture(t) => Stands::Fixture(self.trap(t)),
                other => other,
            };
            figures.add(Figure {
                joint,
                stands,
                ..whole.all[index].clone()
            });
            symbols.push(index);
        }
        for (piece, both) in &self.stubs {
            let joint = self.net.to(*piece).unwrap_or_default();
            let own = both.map(|index| {
                symbols.push(index);
                figures.list(Figure {
                    joint,
                    ..whole.all[index].clone()
                })
            });
            figures.mark_at(*piece, own);
        }
        self.figured.clone_from(&symbols);
        (figures, symbols)
    }

    /// The words of what stands in the part, and what each is in the whole.
    pub(super) fn captions(&self) -> (Captions, Vec<usize>) {
        let whole = self.cutter.whole.captions;
        let mut captions = Captions {
            numbers_joints: whole.numbers_joints,
            ..Captions::default()
        };
        for e in self.net.graph.edge_indices() {
            let Some(old) = self.pieces.get(e.index()).copied().flatten() else {
                continue;
            };
            captions
                .pieces
                .extend(whole.pieces.get(&old).map(|c| (e, *c)));
            captions
                .rooms
                .extend(whole.rooms.get(&old).map(|c| (e, *c)));
        }
        for (old, new) in &self.joints {
            captions
                .joints
                .extend(whole.joints.get(old).map(|c| (*new, *c)));
            let above = whole.above_floor.contains(old);
            captions.above_floor.extend(above.then_some(*new));
        }
        for (old, new) in &self.traps {
            captions
                .traps
                .extend(whole.traps.get(old).map(|c| (*new, *c)));
        }
        let symbols = self.figured.iter().filter_map(|index| {
            let id = &self.cutter.whole.figures.all[*index].id;
            Some((id.clone(), *whole.symbols.get(id)?))
        });
        let mut symbols: BTreeMap<String, usize> = symbols.collect();
        // Counted by what carries them.
        let mut words: Vec<usize> = Vec::new();
        let mut ranks: BTreeMap<usize, usize> = BTreeMap::new();
        let mut rank = |c: &mut usize| {
            let known = ranks.entry(*c).or_insert_with(|| {
                words.push(*c);
                words.len() - 1
            });
            *c = *known;
        };
        captions.traps.values_mut().for_each(&mut rank);
        captions.pieces.values_mut().for_each(&mut rank);
        captions.rooms.values_mut().for_each(&mut rank);
        captions.joints.values_mut().for_each(&mut rank);
        // By their symbols' places, not by their names.
        let mut done: BTreeSet<usize> = BTreeSet::new();
        for index in self.figured.iter().filter(|i| done.insert(**i)) {
            let id = &self.cutter.whole.figures.all[*index].id;
            symbols.get_mut(id).into_iter().for_each(&mut rank);
        }
        captions.symbols = Arc::new(symbols);
        captions.all = words.iter().map(|i| Arc::clone(&whole.all[*i])).collect();
        let last = self.floors.last().map_or(0, |f| f.0 + 1);
        let count = last.saturating_sub(self.first_floor());
        let gaps = self.gaps.values();
        captions.floors = floors_of(whole, self.first_floor(), count + 1);
        named_gaps(
            &mut captions.floors,
            self.cutter.whole.job,
            gaps,
            self.first_floor(),
        );
        (captions, words)
    }
}
