//! What the methods ask of the fitter by which the own vent of a stack, or of a branch, serves
//! several traps.

use super::{Say, list};
use crate::codebook::Method;
use crate::network::{SINGLE_STACK, StackMethod};
use crate::sheets::lettering::kept;

/// One note a method that the job uses.
pub(super) fn notes(say: &Say<'_>, notes: &mut Vec<String>) {
    notes.extend(single_stack(say));
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
