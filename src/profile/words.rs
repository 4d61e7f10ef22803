//! What a place of a section is called, where the level table's word for it is a name that means
//! nothing on site.

use crate::levels::Station;
use crate::network::{Network, RunKind, run_called};
use crate::solve::Work;

/// A place.
pub(super) fn place(work: &Work<'_>, s: &Station, at_exit: bool) -> String {
    let mut words = s.place.clone();
    if at_exit {
        return words;
    }
    for cleanout in &work.net.cleanouts {
        if cleanout.joint == s.joint && cleanout.id.contains('.') {
            // An end with a cleanout is the cleanout.
            words = words.replace(&format!(", {}", cleanout.id), ", cleanout");
            if words == cleanout.id {
                "cleanout".clone_into(&mut words);
            }
        }
    }
    let each = words.split(' ').map(|word| {
        let bare = word.trim_end_matches(',');
        named(work.net, bare).map_or(word.to_owned(), |called| word.replace(bare, &called))
    });
    let words = each.collect::<Vec<_>>().join(" ");
    // The section is of this drain.
    words.replace("of building drain", "of the drain")
}

/// A drain or a vent by its name, in words; stacks and fixtures are called by theirs.
fn named(net: &Network, id: &str) -> Option<String> {
    let run = net.runs.iter().find(|r| r.id == id)?;
    let plain = matches!(
        run.kind,
        RunKind::Stack | RunKind::FixtureDrain | RunKind::Arm
    );
    (!plain).then(|| run_called(net, run))
}
