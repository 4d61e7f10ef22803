//! The worst of several places.

use super::model::Measure;

/// Counts the places to which a limit applies, and keeps the worst: the first of several that are
/// as bad.
#[derive(Default)]
pub(super) struct Worst {
    applied: usize,
    worst: Option<(f64, Measure)>,
}

impl Worst {
    /// A further place, and how bad it is: the larger, the worse.
    pub fn add(&mut self, bad: f64, measure: Measure) {
        self.applied += 1;
        if self.worst.as_ref().is_none_or(|(worst, _)| bad > *worst) {
            self.worst = Some((bad, measure));
        }
    }
    /// The worst of them, with how many there were.
    pub fn done(self) -> Option<Measure> {
        let applied = self.applied;
        self.worst.map(|(_, m)| Measure { applied, ..m })
    }
}
