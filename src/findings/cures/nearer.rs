//! The fixture that bounds the drain joins it farther down, where the drain lies lower.

use super::Subject;
use super::subject::up;
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, length_words};
use crate::levels::Bound;

/// Moves the fixture by what is wanting, where it joins a drain at a stated station.
pub(super) fn cures(s: &Subject<'_>) -> Vec<Cure> {
    cure(s).into_iter().collect()
}

fn cure(s: &Subject<'_>) -> Option<Cure> {
    let Bound::Outlet(trap) = s.room.bound else {
        return None;
    };
    let fixture = s.ctx.fixture(trap)?;
    let station = fixture.station.as_ref()?.value;
    let into = &fixture.into.as_ref()?.value;
    // The drain's own fall there: the steepest of what is moved along would give too little.
    let falls = s
        .way
        .iter()
        .filter(|p| s.drain(**p).is_some_and(|d| s.flows_into(d, into)));
    let flattest = falls
        .filter_map(|p| Some(s.fall(*p)?.0.ratio()))
        .reduce(f64::min)?;
    let by = up(s.short / flattest, s.coarse());
    // Where nothing joins beyond it, the drain may as well be shorter, and that is another cure.
    let beyond = s.ctx.job.fixtures.iter().any(|f| {
        let same = f.into.as_ref().is_some_and(|t| t.value == *into);
        same && f.station.as_ref().is_some_and(|st| st.value > station)
    });
    (beyond && by <= station * 0.4).then_some(())?;
    let to = station - by;
    (to > s.coarse()).then_some(())?;
    let (name, print) = (&fixture.name, s.ctx.print);
    let value = length_words(to, s.ctx.job.units);
    Some(Cure {
        words: format!(
            "let {name} join {} farther down, at station {}",
            print.length(by),
            print.length(to)
        ),
        edits: vec![Edit::write(
            &["fixtures", name, "station"],
            format!("\"{value}\""),
        )],
    })
}
