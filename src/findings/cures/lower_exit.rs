//! The exit is lowered, as far as the sewer outside lets it.

use super::Subject;
use super::subject::{Root, down, up};
use crate::diagnostics::Cure;
use crate::job::Exit;
use crate::job::edit::{Edit, length_words};
use crate::units::{Fall, Length};

/// Lowers the exit by what is wanting.
pub(super) fn cures(s: &Subject<'_>) -> Vec<Cure> {
    cure(s).into_iter().collect()
}

fn cure(s: &Subject<'_>) -> Option<Cure> {
    let exit = exit(s)?;
    let old = exit.invert.as_ref()?.value;
    to(s, exit, down(old - s.short, s.fine()))
}

/// Lowers the exit by so much, if the sewer outside lets it.
pub(super) fn by(s: &Subject<'_>, by: Length) -> Option<Cure> {
    let exit = exit(s)?;
    let old = exit.invert.as_ref()?.value;
    to(s, exit, down(old - by, s.fine()))
}

/// Lowers the exit as far as the sewer outside lets it, and tells by how much, where that is some,
/// but not all, of what is wanting.
pub(super) fn to_the_limit(s: &Subject<'_>) -> Option<(Cure, Length)> {
    let exit = exit(s)?;
    let old = exit.invert.as_ref()?.value;
    let new = up(lowest(&outside(s, exit)?), s.fine());
    (new < old && new > old - s.short).then_some(())?;
    Some((to(s, exit, new)?, old - new))
}

/// The exit at another invert, if the sewer outside lets it.
fn to(s: &Subject<'_>, exit: &Exit, new: Length) -> Option<Cure> {
    let old = exit.invert.as_ref()?.value;
    let print = s.ctx.print;
    let beyond = match outside(s, exit) {
        Some(sewer) => {
            let fall = sewer.fall(new);
            if !s.ctx.book.meets(fall, sewer.least) {
                return None;
            }
            let fall = print.fall(fall);
            match sewer.existing {
                true => format!(" (with the sewer outside laid again, at {fall})"),
                false => format!(" (the sewer outside then falls {fall})"),
            }
        }
        None => " (if the sewer outside lets it)".to_owned(),
    };
    let value = length_words(new, s.ctx.job.units);
    let (at, called) = path(exit);
    Some(Cure {
        words: format!(
            "lower {called} by {}, to {}{beyond}",
            print.short(old - new),
            print.level(new)
        ),
        edits: vec![Edit::write(&at, format!("\"{value}\""))],
    })
}

/// The keys of an exit's invert, and what the exit is called.
pub(super) fn path(exit: &Exit) -> (Vec<&str>, &str) {
    match exit.name.as_str() {
        "exit" => (vec!["exit", "invert"], "the exit"),
        name => (vec!["exits", name, "invert"], name),
    }
}

/// How far the sewer outside lets the exit down, where that is not far enough.
pub(super) fn limit(s: &Subject<'_>) -> Option<String> {
    if matches!(s.root, Some(Root::Exit(_))) && !s.too_low() && !s.is_new() {
        return Some("what is there already leads to the exit: it is not lowered".to_owned());
    }
    let exit = exit(s)?;
    let old = exit.invert.as_ref()?.value;
    let sewer = outside(s, exit)?;
    let lowest = lowest(&sewer);
    let print = s.ctx.print;
    if old - s.short >= lowest {
        return None;
    }
    if old - lowest < s.fine() {
        return Some("the sewer outside has no fall to give: the exit cannot go lower".to_owned());
    }
    Some(format!(
        "the sewer outside, at its least fall of {}, lets the exit go down by {} and no more",
        print.fall(sewer.least),
        print.short(old - lowest)
    ))
}

/// The lowest that the exit may lie over the tap.
fn lowest(sewer: &Outside) -> Length {
    sewer.tap + sewer.least.over(sewer.length)
}

/// The exit that holds the level.
pub(super) fn exit<'a>(s: &Subject<'a>) -> Option<&'a Exit> {
    match s.root? {
        Root::Exit(i) if !s.too_low() && s.is_new() => s.ctx.job.exits.get(i),
        _ => None,
    }
}

/// The sewer outside, where it is known.
struct Outside {
    tap: Length,
    length: Length,
    least: Fall,
    existing: bool,
}

impl Outside {
    fn fall(&self, from: Length) -> Fall {
        Fall::from_ratio((from - self.tap) / self.length)
    }
}

fn outside(s: &Subject<'_>, exit: &Exit) -> Option<Outside> {
    let sewer = exit.sewer.as_ref()?;
    let (tap, length) = (sewer.tap?, sewer.length?);
    (length > Length::ZERO).then_some(())?;
    let own = || {
        let last = s.way.last()?;
        Some(s.ctx.solution.sizing.pieces.get(last)?.size)
    };
    let size = sewer.size.or_else(own)?;
    Some(Outside {
        tap,
        length,
        least: s.ctx.book.least_fall(size).ok()?.value,
        existing: sewer.existing,
    })
}
