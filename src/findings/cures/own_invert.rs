//! A branch that states its invert at its stack meets it lower, or higher; a basin's inlet goes
//! down.

use super::Subject;
use super::subject::{Root, down, up};
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, length_words};

/// Moves the invert by what is wanting.
pub(super) fn cures(s: &Subject<'_>) -> Vec<Cure> {
    cure(s).or_else(|| inlet(s)).into_iter().collect()
}

fn inlet(s: &Subject<'_>) -> Option<Cure> {
    let Some(Root::Inlet(basin)) = s.root.filter(|_| !s.too_low()) else {
        return None;
    };
    let basin = s.ctx.job.basins.get(basin)?;
    let old = basin.inlet.as_ref()?.value;
    let new = down(old - s.short, s.fine());
    let value = length_words(new, s.ctx.job.units);
    Some(Cure {
        words: format!(
            "lower the inlet of {} by {}",
            basin.name,
            s.ctx.print.short(old - new)
        ),
        edits: vec![Edit::write(
            &["basins", &basin.name, "inlet"],
            format!("\"{value}\""),
        )],
    })
}

fn cure(s: &Subject<'_>) -> Option<Cure> {
    let Some(Root::Stated(run)) = s.root else {
        return None;
    };
    let drain = s.drain_of(run)?;
    let id = &drain.name;
    let old = drain.invert.as_ref()?.value;
    let (new, word) = match s.too_low() {
        false => (down(old - s.short, s.fine()), "lower"),
        true => (up(old + s.short, s.fine()), "raise"),
    };
    let by = s.ctx.print.short((new - old).abs());
    let value = length_words(new, s.ctx.job.units);
    Some(Cure {
        words: format!("{word} {id} by {by} where it meets its stack"),
        edits: vec![Edit::write(
            &["drains", id, "invert"],
            format!("\"{value}\""),
        )],
    })
}
