//! What the methods ask of the fitter by which the own vent of a stack, or of a branch, serves
//! several traps.

use super::{Say, list};
use crate::codebook::Method;
use crate::network::{BranchMethod, CIRCUIT, COMBINATION, SINGLE_STACK, StackMethod, WASTE_STACK};
use crate::sheets::lettering::kept;

/// One note a method that the job uses.
pub(super) fn notes(say: &Say<'_>, notes: &mut Vec<String>) {
    notes.extend(single_stack(say));
    notes.extend(waste_stack(say));
    notes.extend(circuit(say));
    notes.extend(combination(say));
}

/// The stacks that serve their traps by a method.
fn stacks(say: &Say<'_>, method: StackMethod) -> Vec<String> {
    let own = say.set.net.own_vents.iter();
    own.filter(|(_, own)| own.method == method)
        .filter_map(|(run, _)| say.set.net.runs.get(run.0))
        .map(|r| kept(&r.id))
        .collect()
}

fn cited(say: &Say<'_>, word: &str) -> String {
    let method = say.set.book.methods().get(word);
    method
        .map(Method::cite)
        .map_or(String::new(), |c| format!(" ({c})"))
}

fn single_stack(say: &Say<'_>) -> Option<String> {
    let names = stacks(say, StackMethod::Single);
    if names.is_empty() {
        return None;
    }
    let mut words = format!(
        "Single stack {}: its own vent serves unvented branches{}",
        list(&names),
        cited(say, SINGLE_STACK)
    );
    if let Some(rules) = say.set.book.single_stack_rules() {
        let closet = rules.closet.as_ref().zip(rules.closet_by_tee.as_ref());
        if let Some((near, by_tee)) = closet {
            words += &format!(
                "; water closets within {} of it, {} through a sanitary tee",
                say.length(near.value),
                say.length(by_tee.value)
            );
        }
        if let Some(others) = &rules.others {
            words += &format!("; other fixtures within {}", say.length(others.value));
        }
        if rules.one_size.as_ref().is_some_and(|r| r.value) {
            words += "; the stack and its vent of one size throughout";
        }
    }
    Some(words + ".")
}

fn waste_stack(say: &Say<'_>) -> Option<String> {
    let names = stacks(say, StackMethod::Waste);
    if names.is_empty() {
        return None;
    }
    let straight = say.set.book.waste_stack_rules();
    let straight = straight.is_some_and(|r| !r.offsets.value);
    Some(format!(
        "Waste stack {}{}: no water closet or urinal drains into it; each fixture's drain joins it \
         by itself{}; the stack and its vent of one size throughout.",
        list(&names),
        cited(say, WASTE_STACK),
        match straight {
            true => "; no offset between its lowest and its highest drain",
            false => "",
        }
    ))
}

/// The branches that have a vent of a method.
fn branches(say: &Say<'_>, method: BranchMethod) -> Vec<String> {
    let vents = say.set.net.branch_vents.iter();
    let mut names: Vec<String> = vents
        .filter(|v| v.method == method)
        .filter_map(|v| say.set.net.runs.get(v.run.0))
        .map(|r| kept(&r.id))
        .collect();
    names.dedup();
    names
}

fn circuit(say: &Say<'_>) -> Option<String> {
    let names = branches(say, BranchMethod::Circuit);
    if names.is_empty() {
        return None;
    }
    let rules = say.set.book.circuit_rules();
    let fall = rules.and_then(|r| r.most_fall.as_ref());
    let fall = fall.map(|f| format!(", falls {} at most", say.print.fall(f.value)));
    Some(format!(
        "Circuit vented branches {}{}: the vent rises between the two most upstream of the \
         fixtures that it serves and takes no waste; each of their drains joins level; the vented \
         part is of one size{}.",
        list(&names),
        cited(say, CIRCUIT),
        fall.unwrap_or_default()
    ))
}

fn combination(say: &Say<'_>) -> Option<String> {
    let names = branches(say, BranchMethod::Combination);
    if names.is_empty() {
        return None;
    }
    let rules = say.set.book.combination_rules();
    let fall = rules.and_then(|r| r.most_fall.as_ref());
    let fall = fall.map(|f| format!("; falls {} at most", say.print.fall(f.value)));
    let drop = rules.and_then(|r| r.most_drop.as_ref());
    let drop = drop.map(|d| {
        format!(
            ", upright only where a fixture drops, {} at most",
            say.length(d.value)
        )
    });
    Some(format!(
        "Combination drains and vents {}{}: large enough to be their own fixtures' vent{}{}.",
        list(&names),
        cited(say, COMBINATION),
        drop.unwrap_or_default(),
        fall.unwrap_or_default()
    ))
}
