//! Words as a drawing letters them.

use std::collections::BTreeSet;

use crate::sheets::{Inputs, lettered};

/// Letters words in capitals, but for the names of the job.
pub(super) struct Letters {
    names: BTreeSet<String>,
}

impl Letters {
    pub fn of(set: &Inputs<'_>) -> Letters {
        let (job, net) = (set.job, set.net);
        let runs = net.runs.iter().map(|r| r.id.clone());
        let joints = net.graph.node_weights().map(|j| j.id.clone());
        let openings = net.cleanouts.iter().map(|c| c.id.clone());
        let openings = openings.chain(net.valves.iter().map(|v| v.id.clone()));
        let things = job.fixtures.iter().map(|f| f.name.clone());
        let things = things.chain(job.footings.iter().map(|f| f.name.clone()));
        let things = things.chain(job.exits.iter().map(|e| e.name.clone()));
        let mut names: BTreeSet<String> =
            runs.chain(joints).chain(openings).chain(things).collect();
        // Common words among them are lettered like the rest.
        for word in ["exit", "footing"] {
            names.remove(word);
        }
        Letters { names }
    }

    /// The words as lettered.
    pub fn lettered(&self, words: &str) -> String {
        let each = words.split_whitespace().map(|word| {
            let bare = word.trim_end_matches([',', '.', ';']);
            match self.names.contains(bare) {
                true => word.to_owned(),
                false => lettered(word),
            }
        });
        each.collect::<Vec<_>>().join(" ")
    }
}
