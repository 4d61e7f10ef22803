//! Footings, and how the drains pass them.

use super::Say;
use crate::levels::{FootingAt, FootingPass, NotKnown, Passes};
use crate::sheets::lettering::kept;

/// Each footing with its levels, and whether the drain passes under, over or through it.
pub(super) fn footings(say: &Say<'_>) -> Option<String> {
    let footings = &say.set.solution.levels.footings;
    let words: Vec<String> = footings.iter().filter_map(|f| one(say, f)).collect();
    if words.is_empty() {
        return None;
    }
    Some(format!("Footings: {}.", words.join(". ")))
}

fn one(say: &Say<'_>, footing: &FootingPass) -> Option<String> {
    let job = say.set.job;
    let place = match footing.at {
        FootingAt::Exit(i) => format!("At {}", super::code_name(&job.exits.get(i)?.name)),
        FootingAt::Footing(i) => kept(&job.footings.get(i)?.name),
    };
    let levels = match (footing.top, footing.bottom) {
        (Some(t), Some(b)) => format!(", top {}, bottom {}", say.level(t), say.level(b)),
        (Some(t), None) => format!(", top {}", say.level(t)),
        (None, Some(b)) => format!(", bottom {}", say.level(b)),
        (None, None) => String::new(),
    };
    Some(format!("{place}{levels}: {}", passes(say, footing)))
}

fn passes(say: &Say<'_>, footing: &FootingPass) -> String {
    let needs = "which only the engineer can allow";
    match footing.passes {
        Passes::Under { clear } => format!(
            "the drain passes under it, {} clear of the pipe's outside",
            say.short(clear)
        ),
        Passes::Over { clear } => format!(
            "the drain passes over it, {} clear of the pipe's outside, through the wall{}",
            say.short(clear),
            sleeve(say, footing)
        ),
        Passes::Through {
            above_bottom,
            below_top,
        } => format!(
            "the drain passes through it, {} above its bottom and {} below its top, {needs}",
            say.short(above_bottom),
            say.short(below_top)
        ),
        Passes::CutsBottom { above_bottom } => format!(
            "the drain cuts {} into its bottom, {needs}",
            say.short(above_bottom)
        ),
        Passes::CutsTop { below_top } => format!(
            "the drain cuts {} into its top, {needs}",
            say.short(below_top)
        ),
        Passes::Unknown(NotKnown::Levels) => NotKnown::Levels.words().to_owned(),
        Passes::Unknown(why) => {
            format!("how the drain passes is not known: {}", why.words())
        }
    }
}

/// The sleeve of the drain in the wall, if the book asks for one.
fn sleeve(say: &Say<'_>, footing: &FootingPass) -> String {
    let size = (footing.piece).and_then(|p| say.set.solution.sizing.pieces.get(&p));
    let sleeve = size.and_then(|s| say.set.book.sleeve(s.size));
    sleeve.map_or(String::new(), |s| {
        format!(" in a {} sleeve ({})", say.print.size(s.value), s.cite())
    })
}
