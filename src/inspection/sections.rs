//! The section of a rule in the job's own book.

use std::collections::BTreeSet;

use crate::findings::Context;
use crate::network::System;

/// Codes as the explanations of rules name them, with the words that their books' ids begin with.
const FAMILIES: [(&str, &[&str]); 3] = [
    // The building code stands with the plumbing code of its own set.
    ("ipc", &["IPC", "IBC"]),
    ("irc", &["IRC"]),
    ("upc", &["UPC"]),
];

/// All words that begin the sections of a code.
const CODES: [&str; 4] = ["IPC", "IBC", "IRC", "UPC"];

/// The section as the book in force has it; empty where it has none.
///
/// What a finding of the rule would cite goes first; else what the rule's explanation names for
/// books of this one's kind. Other codes' sections were not applied, so they are not told.
pub(super) fn of_rule(ctx: &Context<'_>, code: &str, explained: &str) -> String {
    let cited = of_book(ctx, code).filter(|s| !s.is_empty());
    cited.unwrap_or_else(|| explained_for(ctx, explained))
}

/// What the rule takes from the book, with its section there.
fn of_book(ctx: &Context<'_>, code: &str) -> Option<String> {
    let book = ctx.book;
    let topic = |topic: &str| book.section(topic).map(str::to_owned);
    let some_size = || {
        let sizes = ctx.solution.sizing.pieces.values();
        sizes.map(|s| s.size).next()
    };
    match code {
        "A101" => {
            let mut traps = ctx.solution.sizing.traps.values();
            let row = traps.find_map(|t| book.trap_arm(t.size).ok())?;
            Some(row.cite().to_owned())
        }
        "A102" => {
            let most = book.arm_rules().fall_diameters.as_ref()?;
            Some(most.cite().to_owned())
        }
        "A103" => topic("s-trap"),
        "A104" => Some(book.arm_rules().crown_diameters.cite().to_owned()),
        "B101" | "B102" => Some(book.backwater_by_floor()?.cite().to_owned()),
        "C101" => Some(book.cleanouts().turn_degrees.cite().to_owned()),
        "C102" => Some(book.cleanouts().spacing.cite().to_owned()),
        "D101" | "D102" | "D108" => {
            let sizes = ctx.sized(System::Waste).map(|(.., size)| &size.working);
            let tables = sizes.map(|w| w.table.clone().unwrap_or_else(|| w.section.clone()));
            let tables: BTreeSet<String> = tables.filter(|t| !t.is_empty()).collect();
            Some(tables.into_iter().collect::<Vec<_>>().join("; "))
        }
        "D103" => Some(book.closet_least().cite().to_owned()),
        "D104" => topic("size-decrease"),
        "D105" | "D111" => Some(book.least_fall(some_size()?).ok()?.cite().to_owned()),
        "D106" => Some(book.washer_branch()?.cite().to_owned()),
        "D110" => Some(book.heel_distance()?.cite().to_owned()),
        "E101" => Some(book.discharge_distance()?.cite().to_owned()),
        "L108" => topic("sumps"),
        "M104" => Some(book.circuit_rules()?.fixtures.cite().to_owned()),
        "M106" => {
            let most = book.combination_rules()?.most_drop.as_ref()?;
            Some(most.cite().to_owned())
        }
        "M107" => Some(book.waste_stack_rules()?.info.section.clone()),
        "S102" | "S104" => topic("boring"),
        "S103" => topic("boring-engineered").or_else(|| topic("boring")),
        "T101" => Some(book.trap_rules().primer.cite().to_owned()),
        "T102" => Some(book.trap_rules().outlet_to_weir.cite().to_owned()),
        "V102" | "V106" => topic("vent-needed"),
        "V103" => Some(book.vent_rule().building_vent.section.clone()),
        "V104" => topic("vent-rise"),
        "V105" => topic("vent-joins"),
        "V107" => Some(book.vent_stack_rule()?.from.cite().to_owned()),
        "V108" => {
            let relief = book.vent_stack_rule()?.relief.as_ref()?;
            Some(relief.each.cite().to_owned())
        }
        "V109" => {
            let offset = book.vent_stack_rule()?.offset.as_ref()?;
            Some(offset.from.cite().to_owned())
        }
        _ => None,
    }
}

/// What the explanation names for the codes of the book's kind: `IPC 912.1, 913.1 and 915.1; IRC …`
/// gives an IPC job the first three.
fn explained_for(ctx: &Context<'_>, explained: &str) -> String {
    let book = ctx.book.amends().map_or(ctx.book.id(), |(id, _)| id);
    let family = FAMILIES.iter().find(|(id, _)| book.starts_with(id));
    let mine = family.map_or(&[][..], |(_, codes)| codes);
    let all = mine.iter().filter_map(|code| after(explained, code));
    all.collect::<Vec<_>>().join(", ")
}

/// The sections after a code's name, up to the next code or to what is no section.
fn after(explained: &str, code: &str) -> Option<String> {
    let start = explained.find(&format!("{code} "))? + code.len() + 1;
    let rest = explained.get(start..)?;
    let is_section = |w: &&str| w.chars().any(|c| c.is_ascii_digit());
    let mut words: Vec<&str> = Vec::new();
    for word in rest.split_whitespace() {
        let bare = word.trim_end_matches([',', ';', '.']);
        if CODES.contains(&bare) || !(is_section(&bare) || bare == "and") {
            break;
        }
        words.push(word);
        if word.ends_with(';') || word.ends_with('.') {
            break;
        }
    }
    while words.last().is_some_and(|w| *w == "and") {
        words.pop();
    }
    let said = words.join(" ");
    let said = said.trim_end_matches([',', ';', '.']);
    (!said.is_empty()).then(|| said.to_owned())
}

#[cfg(test)]
mod tests {
    use super::after;

    #[test]
    fn sections_of_one_code() {
        let of = |text, code| after(text, code).unwrap_or_default();
        let several = "IPC 912.1, 913.1 and 915.1; IRC P3108.1, P3109.1 and P3111.1; UPC 908.1.";
        assert_eq!(of(several, "IPC"), "912.1, 913.1 and 915.1");
        assert_eq!(of(several, "IRC"), "P3108.1, P3109.1 and P3111.1");
        assert_eq!(of(several, "UPC"), "908.1");
        let none = "IPC 704.3, IRC P3005.5; the UPC has no such rule.";
        assert_eq!(of(none, "UPC"), "");
        assert_eq!(of(none, "IRC"), "P3005.5");
        let after_words =
            "that of the table which gives what it may carry: IPC 710.1, IRC P3005.4.";
        assert_eq!(of(after_words, "IPC"), "710.1");
        let where_ = "IPC 708.1, IRC P3005.2; UPC 707.4, where turns are added up.";
        assert_eq!(of(where_, "UPC"), "707.4");
    }
}
