//! Takes the candidate that costs the others the least, one after the other. Dominated ones are
//! dropped first; one that costs nobody anything is safe, and comes before all that do.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::sure;
use super::{Conflicts, Labels};

/// A choice in which none touches another.
pub fn least_conflict(labels: &Labels, conflicts: &Conflicts) -> Vec<Option<usize>> {
    let mut greedy = Greedy::of(labels, conflicts);
    while let Some(c) = greedy.next() {
        greedy.take(c);
    }
    greedy.chosen
}

struct Greedy<'a> {
    labels: &'a Labels,
    conflicts: &'a Conflicts,
    chosen: Vec<Option<usize>>,
    open: Vec<bool>,
    /// What others lose when a candidate is taken, for those that are open.
    loss: Vec<i64>,
    /// What a label loses with a candidate: its worth over the number of its candidates.
    share: Vec<i64>,
    waiting: BinaryHeap<Reverse<(i64, u32)>>,
}

/// Shares are counted in such parts of a candidate's worth.
const PARTS: i64 = 48;

impl<'a> Greedy<'a> {
    fn of(labels: &'a Labels, conflicts: &'a Conflicts) -> Self {
        let n = labels.candidates();
        let open: Vec<bool> = sure::dominated(labels, conflicts)
            .iter()
            .map(|d| !d)
            .collect();
        let mut share = vec![0i64; n];
        let mut spare = vec![0i64; n];
        for label in 0..labels.count() {
            let own = labels.of(label);
            let best = own.clone().map(|c| labels.worth(c)).max().unwrap_or(0);
            let count = own.clone().filter(|c| open[*c]).count().max(1) as i64;
            for c in own.filter(|c| open[*c]) {
                share[c] = labels.worth(c) * PARTS / count;
                // A worse place than the label's best is that much of a loss too.
                spare[c] = (best - labels.worth(c)) * PARTS;
            }
        }
        let loss: Vec<i64> = (0..n)
            .map(|c| spare[c] + sum(conflicts.of(c), &share))
            .collect();
        let waiting = loss.iter().enumerate();
        let waiting = waiting.map(|(c, l)| Reverse((*l, c as u32))).collect();
        Greedy {
            labels,
            conflicts,
            chosen: vec![None; labels.count()],
            open,
            loss,
            share,
            waiting,
        }
    }
    /// The open candidate that costs the least.
    fn next(&mut self) -> Option<usize> {
        while let Some(Reverse((loss, c))) = self.waiting.pop() {
            let c = c as usize;
            // Its loss has become less since: it waits again, nearer.
            if self.open[c] && self.loss[c] == loss {
                return Some(c);
            }
        }
        None
    }
    fn take(&mut self, c: usize) {
        let label = self.labels.label(c);
        self.chosen[label] = Some(c);
        for own in self.labels.of(label) {
            self.close(own);
        }
        let conflicts = self.conflicts;
        for &d in conflicts.of(c) {
            self.close(d as usize);
        }
    }
    fn close(&mut self, c: usize) {
        if !std::mem::replace(&mut self.open[c], false) {
            return;
        }
        let conflicts = self.conflicts;
        for &d in conflicts.of(c) {
            let d = d as usize;
            if self.open[d] {
                self.loss[d] -= self.share[c];
                self.waiting.push(Reverse((self.loss[d], d as u32)));
            }
        }
    }
}

fn sum(of: &[u32], share: &[i64]) -> i64 {
    of.iter().map(|&d| share[d as usize]).sum()
}
