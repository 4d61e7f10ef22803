//! Sure choices, made before anything is weighed (after Wagner and Wolff): what they take or drop
//! leaves a best choice of all possible.

use super::{Conflicts, Labels};

/// What can be dropped: a candidate that keeps out all that another of its label keeps out, and is
/// worth no more. Whatever stands with the first would stand with the second as well.
pub(super) fn dominated(labels: &Labels, conflicts: &Conflicts) -> Vec<bool> {
    let mut dropped = vec![false; labels.candidates()];
    for label in 0..labels.count() {
        // Of two alike the first stays: the caller names the better ones first.
        for c in labels.of(label).rev() {
            dropped[c] = labels.of(label).any(|o| {
                o != c
                    && !dropped[o]
                    && labels.worth(o) >= labels.worth(c)
                    && within(conflicts.of(o), conflicts.of(c))
            });
        }
    }
    dropped
}

/// Whether all of one sorted list is in another.
fn within(some: &[u32], all: &[u32]) -> bool {
    let mut rest = all.iter();
    some.len() <= all.len() && some.iter().all(|s| rest.any(|a| a == s))
}
