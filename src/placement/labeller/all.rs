//! Every label stands somewhere: those that were left out where they spoil the fewest clean ones.

use super::{Conflicts, Labels};

pub(super) fn place(
    labels: &Labels,
    conflicts: &Conflicts,
    start: &[Option<usize>],
    effort: usize,
) -> Vec<Option<usize>> {
    let mut crowd = Crowd {
        labels,
        conflicts,
        chosen: start.to_vec(),
        on: vec![0; labels.candidates()],
    };
    for &c in start.iter().flatten() {
        crowd.count(c, true);
    }
    let left: Vec<usize> = (0..labels.count())
        .filter(|&l| start[l].is_none() && !labels.of(l).is_empty())
        .collect();
    for label in left {
        let best = labels.of(label).max_by_key(|&c| crowd.gain(None, c));
        if let Some(c) = best {
            crowd.chosen[label] = Some(c);
            crowd.count(c, true);
        }
    }
    crowd.search(effort);
    crowd.chosen
}

struct Crowd<'a> {
    labels: &'a Labels,
    conflicts: &'a Conflicts,
    chosen: Vec<Option<usize>>,
    /// How many that stand touch a candidate.
    on: Vec<u32>,
}

impl Crowd<'_> {
    fn stands(&self, c: usize) -> bool {
        self.chosen[self.labels.label(c)] == Some(c)
    }
    fn count(&mut self, c: usize, stands: bool) {
        let conflicts = self.conflicts;
        for &d in conflicts.of(c) {
            let on = &mut self.on[d as usize];
            *on = if stands {
                *on + 1
            } else {
                on.saturating_sub(1)
            };
        }
    }
    /// How many more labels are clean when a label moves from one candidate to another.
    fn gain(&self, from: Option<usize>, to: usize) -> i64 {
        let mut gain = i64::from(self.on[to] == 0);
        if let Some(from) = from {
            gain -= i64::from(self.on[from] == 0);
            for &d in self.conflicts.of(from) {
                let d = d as usize;
                let clean = self.on[d] == 1 && self.stands(d) && !self.conflicts.touch(to, d);
                gain += i64::from(clean);
            }
        }
        for &d in self.conflicts.of(to) {
            let d = d as usize;
            let spoilt = self.on[d] == 0 && self.stands(d);
            gain -= i64::from(spoilt);
        }
        gain
    }
    /// Moves one label after the other, in turns; a move may spoil a label or two more, less and
    /// less often. The best choice of all is kept.
    fn search(&mut self, effort: usize) {
        let mut best = self.chosen.clone();
        let (mut lead, mut most) = (0i64, 0i64);
        let mut draw = Draw(0);
        let turns = effort.saturating_mul(TURNS);
        for turn in 0..turns {
            let ready = HOT * (turns - turn) as f64 / turns as f64;
            for label in 0..self.labels.count() {
                let own = self.labels.of(label);
                let (Some(from), count) = (self.chosen[label], own.len() as u64) else {
                    continue;
                };
                let to = own.start + (draw.next() % count) as usize;
                if to == from {
                    continue;
                }
                let gain = self.gain(Some(from), to);
                // Each label more that it spoils is as unlikely as the one before.
                if (gain..0).any(|_| draw.share() >= ready) {
                    continue;
                }
                self.count(from, false);
                self.chosen[label] = Some(to);
                self.count(to, true);
                lead += gain;
                if lead > most {
                    most = lead;
                    best.copy_from_slice(&self.chosen);
                }
            }
        }
        self.chosen = best;
    }
}

/// The chance at first that a move which spoils a label is made; it falls to nought.
const HOT: f64 = 0.02;
/// Turns for each move of effort: a turn costs much less than a move of `swap`.
const TURNS: usize = 2;

/// A plain generator (splitmix64, public domain) with a fixed start: the same labels, the same
/// choice.
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    /// From nought to below one.
    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }
}
