//! A search from a choice to a better one: a label that was left out takes a place, and what stood
//! there looks for another. What was moved stays a while (tabu), so that the search goes on.
//! Each move looks at one label only, and those that wait take turns: the work grows with the
//! number of moves, not with the size of the drawing.

use std::collections::VecDeque;

use super::state::State;
use super::{Conflicts, Labels};

/// The best choice that so many moves for each label find.
pub(super) fn improve(
    labels: &Labels,
    conflicts: &Conflicts,
    start: &[Option<usize>],
    effort: usize,
) -> Vec<Option<usize>> {
    let mut search = Search::of(labels, conflicts, start);
    let moves = effort.saturating_mul(labels.count());
    for now in 1..=moves {
        let Some(label) = search.next() else {
            break;
        };
        search.step(label, now as u64);
    }
    search.best
}

/// Moves each label to its best free place, as long as that helps.
pub(super) fn settle(
    labels: &Labels,
    conflicts: &Conflicts,
    chosen: &[Option<usize>],
) -> Vec<Option<usize>> {
    /// Rounds: what one label frees another may take.
    const ROUNDS: usize = 4;
    let mut state = State::of(labels, conflicts, chosen);
    for _ in 0..ROUNDS {
        let before = state.worth;
        for label in 0..labels.count() {
            let Some(c) = state.chosen[label] else {
                continue;
            };
            let better = |o: &usize| state.blocked[*o] == 0 && labels.worth(*o) > labels.worth(c);
            if let Some(o) = labels
                .of(label)
                .filter(better)
                .max_by_key(|o| labels.worth(*o))
            {
                state.lift(c, |_| ());
                state.set(o);
            }
        }
        if state.worth == before {
            break;
        }
    }
    state.chosen
}

struct Search<'a> {
    state: State<'a>,
    best: Vec<Option<usize>>,
    best_worth: i64,
    /// Labels whose choice may differ from the best one's.
    changed: Vec<u32>,
    is_changed: Vec<bool>,
    /// Labels that are left out, in turn; `queued` says whether one is among them.
    left: VecDeque<u32>,
    queued: Vec<bool>,
    /// Candidates that have just become free.
    freed: Vec<u32>,
    /// Until when a candidate may not be taken again, or lifted.
    tabu: Vec<u64>,
    /// When a candidate was last set.
    last: Vec<u64>,
}

/// What was moved stays for this many turns of all that wait, and a few more.
const STAY: u64 = 2;
/// The few more, never the same for long, so that moves do not go round in a ring.
const MORE: [u64; 11] = [7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17];

impl<'a> Search<'a> {
    fn of(labels: &'a Labels, conflicts: &'a Conflicts, start: &[Option<usize>]) -> Self {
        let state = State::of(labels, conflicts, start);
        let left: VecDeque<u32> = (0..labels.count())
            .filter(|&l| start[l].is_none() && !labels.of(l).is_empty())
            .map(|l| l as u32)
            .collect();
        let mut queued = vec![false; labels.count()];
        left.iter().for_each(|&l| queued[l as usize] = true);
        Search {
            best: start.to_vec(),
            best_worth: state.worth,
            changed: Vec::new(),
            is_changed: vec![false; labels.count()],
            left,
            queued,
            freed: Vec::new(),
            tabu: vec![0; labels.candidates()],
            last: vec![0; labels.candidates()],
            state,
        }
    }
    /// The label whose turn it is: one for which a place has just become free, else the one that
    /// has waited longest.
    fn next(&mut self) -> Option<usize> {
        while let Some(c) = self.freed.pop() {
            let c = c as usize;
            let label = self.state.labels.label(c);
            if self.state.blocked[c] == 0 && self.state.chosen[label].is_none() {
                return Some(label);
            }
        }
        while let Some(label) = self.left.pop_front() {
            let label = label as usize;
            self.queued[label] = false;
            if self.state.chosen[label].is_none() {
                return Some(label);
            }
        }
        None
    }
    fn step(&mut self, label: usize, now: u64) {
        let state = &self.state;
        // The most gained; of equals the one that was set longest ago.
        let key = |c: usize| (state.labels.worth(c) - state.blocked[c], self.last[c]);
        let open = |c: &usize| self.tabu[*c] <= now || state.blocked[*c] == 0;
        let best = state.labels.of(label).filter(open).map(|c| (key(c), c));
        let best = best.reduce(|a, b| {
            let better = b.0.0 > a.0.0 || (b.0.0 == a.0.0 && b.0.1 < a.0.1);
            if better { b } else { a }
        });
        let more = MORE[(now % MORE.len() as u64) as usize];
        let stay = now + STAY * self.left.len() as u64 + more;
        match best {
            Some(((gain, _), c)) if gain >= 0 => self.take(c, now, stay),
            _ => self.wait(label),
        }
    }
    fn wait(&mut self, label: usize) {
        if !std::mem::replace(&mut self.queued[label], true) {
            self.left.push_back(label as u32);
        }
    }
    fn take(&mut self, c: usize, now: u64, stay: u64) {
        let conflicts = self.state.conflicts;
        for &d in conflicts.of(c) {
            let d = d as usize;
            if self.state.stands(d) {
                let label = self.state.labels.label(d);
                let freed = &mut self.freed;
                self.state.lift(d, |f| freed.push(f as u32));
                self.tabu[d] = stay;
                self.touched(label);
                self.wait(label);
            }
        }
        self.state.set(c);
        self.last[c] = now;
        self.touched(self.state.labels.label(c));
        // What was moved aside stands again where it can.
        for &d in conflicts.of(c) {
            let label = self.state.labels.label(d as usize);
            if self.state.chosen[label].is_none() {
                let free = |o: &usize| self.state.blocked[*o] == 0;
                let most = |o: &usize| self.state.labels.worth(*o);
                if let Some(o) = self.state.labels.of(label).filter(free).max_by_key(most) {
                    self.state.set(o);
                    self.last[o] = now;
                    self.touched(label);
                }
            }
        }
        if self.state.worth > self.best_worth {
            self.best_worth = self.state.worth;
            for label in self.changed.drain(..) {
                let label = label as usize;
                self.best[label] = self.state.chosen[label];
                self.is_changed[label] = false;
            }
        }
    }
    fn touched(&mut self, label: usize) {
        if !std::mem::replace(&mut self.is_changed[label], true) {
            self.changed.push(label as u32);
        }
    }
}
