//! What is drawn once and stands for several.

use super::{Say, list};
use crate::network::RunIx;

/// Which storeys and stacks are not drawn, and what they are built like.
pub(super) fn notes(say: &Say<'_>, notes: &mut Vec<String>) {
    let Some(typical) = say.set.typical else {
        return;
    };
    let name = |s: &RunIx| say.set.net.runs.get(s.0).map_or("", |r| r.id.as_str());
    let mut parts = Vec::new();
    for (drawn, others) in &typical.like {
        let others = match others.as_slice() {
            [first, _, .., last] => {
                format!("{} to {}", say.name(name(first)), say.name(name(last)))
            }
            few => list(&few.iter().map(|s| say.name(name(s))).collect::<Vec<_>>()),
        };
        parts.push(format!("{others} as {}", say.name(name(drawn))));
    }
    if !parts.is_empty() {
        notes.push(format!(
            "Like stacks: drawn once, with all that stands on them. Built from the drain to the roof: {}.",
            parts.join("; ")
        ));
    }
    if !typical.ranges.is_empty() {
        notes.push(
            "Like storeys: drawn once; a break on the stack names the storeys that are built like the \
             one below it, sizes, falls and fittings alike. The load of the stack there is that at \
             the two ends of the break; each storey's is in its table."
                .to_owned(),
        );
    }
}
