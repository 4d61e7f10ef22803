//! Which candidates stand, and what stands in the way of each.

use super::{Conflicts, Labels};

pub(super) struct State<'a> {
    pub(super) labels: &'a Labels,
    pub(super) conflicts: &'a Conflicts,
    pub(super) chosen: Vec<Option<usize>>,
    /// Worth of all that stands and touches a candidate.
    pub(super) blocked: Vec<i64>,
    /// Worth of all that stands.
    pub(super) worth: i64,
}

impl<'a> State<'a> {
    pub(super) fn of(labels: &'a Labels, conflicts: &'a Conflicts, at: &[Option<usize>]) -> Self {
        let mut state = State {
            labels,
            conflicts,
            chosen: vec![None; labels.count()],
            blocked: vec![0; labels.candidates()],
            worth: 0,
        };
        for &c in at.iter().flatten() {
            state.set(c);
        }
        state
    }
    pub(super) fn stands(&self, c: usize) -> bool {
        self.chosen[self.labels.label(c)] == Some(c)
    }
    /// Sets a candidate of a label that does not stand.
    pub(super) fn set(&mut self, c: usize) {
        self.chosen[self.labels.label(c)] = Some(c);
        self.worth += self.labels.worth(c);
        for &d in self.conflicts.of(c) {
            self.blocked[d as usize] += self.labels.worth(c);
        }
    }
    /// Takes a candidate that stands away; `freed` is told what nothing blocks any more.
    pub(super) fn lift(&mut self, c: usize, mut freed: impl FnMut(usize)) {
        self.chosen[self.labels.label(c)] = None;
        self.worth -= self.labels.worth(c);
        for &d in self.conflicts.of(c) {
            let d = d as usize;
            self.blocked[d] -= self.labels.worth(c);
            if self.blocked[d] == 0 {
                freed(d);
            }
        }
    }
}
