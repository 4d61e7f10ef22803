//! Bedding, sleeves, firestop, test, what to verify, the sewer beyond, and the caution.

use super::footings::footings;
use super::{Say, list};
use crate::sheets::lettering::kept;

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
    notes.push(test(say));
    notes.push(exits(say));
    notes.push(
        "Caution: this set was worked out by a computer program from what its author stated. It \
         advises; the licensed plumber and the authority having jurisdiction decide."
            .to_owned(),
    );
}

/// The tests, with the book's figures.
fn test(say: &Say<'_>) -> String {
    let section = say.section("test");
    let Some(rules) = say.set.book.test() else {
        return format!(
            "Test{section}: drains and vents are tested tight by a method that the code allows \
             for their material: once as rough work, before anything is covered, and again as \
             finished work with the traps filled. Both tests are inspected."
        );
    };
    let (water, air) = (&rules.water, &rules.air);
    let smoke = rules.smoke.as_ref().map_or_else(String::new, |smoke| {
        format!(
            "; where smoke is asked for, at {} of water column, held for {} minutes ({})",
            say.short(smoke.column.value),
            smoke.held.value,
            smoke.column.cite(),
        )
    });
    let head = say.length(water.head.value);
    let fill = match water.over_fittings.value {
        true => format!(
            "filled with water to {head} at least above the highest fitting of the part under \
             test, or to the highest point of the whole"
        ),
        false => format!(
            "filled with water to the point of overflow, every part but the uppermost under a \
             head of {head} at least"
        ),
    };
    if !water.fills_whole() {
        return format!(
            "Test{section}: drains below the ground, before they are covered, filled with water to \
             {head} at least above the highest fitting of the part under test, held for {} minutes \
             ({}); or with air at {}, held for {} minutes ({}). What stands above the ground is \
             tested as local rules and the maker of its pipe say. All tests are inspected.",
            water.held.value,
            water.head.cite(),
            kept(&say.print.pressure(air.pressure.value)),
            air.held.value,
            air.pressure.cite(),
        );
    }
    let plastic = match air.on_plastic.value {
        true => "",
        false => ", but not plastic pipe,",
    };
    format!(
        "Test{section}: as rough work, before anything is covered, {fill}, held for {} minutes \
         ({}); or{plastic} with air at {}, held for {} minutes ({}). Again as finished work with \
         the traps filled{smoke}. Both tests are inspected.",
        water.held.value,
        water.head.cite(),
        kept(&say.print.pressure(air.pressure.value)),
        air.held.value,
        air.pressure.cite(),
    )
}

fn exits(say: &Say<'_>) -> String {
    let mut verify = Vec::new();
    let mut beyond = Vec::new();
    for e in &say.set.job.exits {
        let name = super::code_name(&e.name);
        if let Some(invert) = &e.invert {
            verify.push(format!("{} at {name}", say.level(invert.value)));
        }
        let to = e.to.as_deref().unwrap_or("sewer").trim();
        let article = ["the ", "a ", "an "];
        let to = if article.iter().any(|a| to.to_lowercase().starts_with(a)) {
            to.to_owned()
        } else {
            format!("the {to}")
        };
        let size = e.sewer.as_ref().and_then(|s| s.size);
        let size = size.map(|s| format!("{} ", say.print.size(s)));
        let size = size.unwrap_or_default();
        beyond.push(if e.sewer.as_ref().is_some_and(|s| s.existing) {
            format!(
                "Beyond {name} the {size}pipe to {to} is existing and stays; the plumber of this \
                 set joins it at the wall."
            )
        } else {
            format!(
                "Beyond {name} the {size}pipe to {to} is laid by others, who join it at the wall."
            )
        });
    }
    let verify = match verify.as_slice() {
        [] => "The invert at each exit is not stated: the plumber verifies it".to_owned(),
        [one] => format!("The plumber verifies the invert {one}"),
        _ => format!("The plumber verifies the inverts {}", list(&verify)),
    };
    format!(
        "Verify: {verify} and all existing work on site before trenching. The work of this set \
         ends at the outside face of the wall. {}",
        beyond.join(" ")
    )
}
