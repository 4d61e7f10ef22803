//! Bedding, sleeves, firestop, test, what to verify, the sewer beyond, and the caution.

use super::{Say, list};

/// What holds on site.
pub(super) fn notes(say: &Say<'_>, notes: &mut Vec<String>) {
    notes.push(
        "Bedding: pipe in the ground lies on firm, even bedding along its whole length, hubs dug \
         out, backfilled in thin layers without stones before the slab."
            .to_owned(),
    );
    notes.push(format!(
        "Protection{}: sleeves through walls and footings, no pipe in a footing; shield plates \
         where pipe stands nearer to the face of framing than the code allows; holes and notches \
         within the limits of the framing{}. Firestop every pipe through a rated floor or wall \
         with a listed system.",
        say.section("protection"),
        say.section("boring"),
    ));
    if let Some(words) = footings(say) {
        notes.push(words);
    }
    notes.push(format!(
        "Test{}: the whole system is tested and inspected before it is covered.",
        say.section("test")
    ));
    notes.push(exits(say));
    notes.push(
        "Caution: this set was worked out by a computer program from what its author stated. It \
         advises; the licensed plumber and the authority having jurisdiction decide."
            .to_owned(),
    );
}

fn footings(say: &Say<'_>) -> Option<String> {
    let job = say.set.job;
    let mut words: Vec<String> = Vec::new();
    let between = |top, bottom| match (top, bottom) {
        (Some(t), Some(b)) => Some(format!(
            "top {}, bottom {}",
            say.print.level(t),
            say.print.level(b)
        )),
        (Some(t), None) => Some(format!("top {}", say.print.level(t))),
        (None, Some(b)) => Some(format!("bottom {}", say.print.level(b))),
        (None, None) => None,
    };
    for e in &job.exits {
        words.extend(
            between(e.footing_top, e.footing_bottom)
                .map(|w| format!("at {}, {w}", super::code_name(&e.name))),
        );
    }
    for f in &job.footings {
        words.extend(between(f.top, f.bottom).map(|w| format!("{}, {w}", f.name)));
    }
    if words.is_empty() {
        return None;
    }
    Some(format!("Footings that drains pass: {}.", words.join("; ")))
}

fn exits(say: &Say<'_>) -> String {
    let mut verify = Vec::new();
    let mut beyond = Vec::new();
    for e in &say.set.job.exits {
        let name = super::code_name(&e.name);
        if let Some(invert) = &e.invert {
            verify.push(format!("{name} IE {}", say.print.level(invert.value)));
        }
        let to = e.to.as_deref().unwrap_or("the sewer").trim();
        let size = e
            .sewer
            .as_ref()
            .and_then(|s| s.size)
            .map(|s| say.print.size(s));
        let existing = e.sewer.as_ref().is_some_and(|s| s.existing);
        let size = size.map(|s| format!("{s} ")).unwrap_or_default();
        beyond.push(if existing {
            format!("{name}: existing {size}pipe to {to}")
        } else {
            format!("{name}: {size}pipe to {to}, by others")
        });
    }
    let verify = if verify.is_empty() {
        "the invert at each exit (not stated)".to_owned()
    } else {
        list(&verify)
    };
    format!(
        "Verify {verify} and all existing work before trenching. Beyond the outside face of the \
         wall, not in this set: {}.",
        beyond.join("; ")
    )
}
