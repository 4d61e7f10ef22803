//! The labeller by itself: labels with candidates, and which candidates cannot both stand, in; at
//! most one candidate for each label out. It knows nothing of pipes or paper.
//!
//! `conflicts` finds which candidates touch, `sure` drops those that no best choice needs, `least`
//! takes those that block the least, `swap` then moves labels aside for those that were left out,
//! and `all` sets those too where they spoil the fewest. Nothing is left to chance: the same
//! candidates give the same choice.

mod all;
mod conflicts;
mod least;
mod state;
mod sure;
mod swap;

use std::ops::Range;

pub use conflicts::Conflicts;
pub use least::least_conflict;

/// Labels, each with its candidates one after the other.
#[derive(Clone, Debug, Default)]
pub struct Labels {
    /// Where each label's candidates begin; one more for the end.
    from: Vec<u32>,
    /// The label of each candidate.
    label: Vec<u32>,
    /// What each candidate is worth, above nought.
    worth: Vec<u32>,
}

impl Labels {
    /// No label yet.
    pub fn new() -> Self {
        Labels {
            from: vec![0],
            ..Labels::default()
        }
    }
    /// Adds a label by what each of its candidates is worth when it is chosen: more for a label
    /// that is needed more, and for a place that reads better. Only the sum counts.
    pub fn add(&mut self, worth: impl IntoIterator<Item = u32>) {
        let label = self.count() as u32;
        for w in worth {
            self.label.push(label);
            self.worth.push(w.max(1));
        }
        self.from.push(self.label.len() as u32);
    }
    /// How many labels there are.
    pub fn count(&self) -> usize {
        self.from.len().saturating_sub(1)
    }
    /// How many candidates there are.
    pub fn candidates(&self) -> usize {
        self.label.len()
    }
    /// Candidates of a label.
    pub fn of(&self, label: usize) -> Range<usize> {
        self.from[label] as usize..self.from[label + 1] as usize
    }
    /// The label of a candidate.
    pub fn label(&self, candidate: usize) -> usize {
        self.label[candidate] as usize
    }
    /// What a candidate is worth.
    pub fn worth(&self, candidate: usize) -> i64 {
        i64::from(self.worth[candidate])
    }
}

/// Chooses places so that none touches another and the most worth stands; what finds no place is
/// left out. `effort` is the number of moves of the search for each label; with none, what blocks
/// the least is taken and that is all.
pub fn choose(labels: &Labels, conflicts: &Conflicts, effort: usize) -> Vec<Option<usize>> {
    let start = least_conflict(labels, conflicts);
    match effort {
        0 => start,
        _ => {
            let found = swap::improve(labels, conflicts, &start, effort);
            swap::settle(labels, conflicts, &found)
        }
    }
}

/// Chooses a place for every label that has a candidate, so that the most labels are clean, that is
/// touch no other. Here every label counts the same.
pub fn choose_all(labels: &Labels, conflicts: &Conflicts, effort: usize) -> Vec<Option<usize>> {
    let start = choose(labels, conflicts, effort);
    all::place(labels, conflicts, &start, effort)
}
