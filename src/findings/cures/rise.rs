//! A rise that the job states, of a drain or below the fixture that bounds it, is made shorter.

use super::Subject;
use super::shorter::{Cut, cut};
use super::subject::up;
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, leg_items, length_words};
use crate::levels::Bound;
use crate::units::{Heading, Length};

/// Takes what is wanting out of one rise.
pub(super) fn cures(s: &Subject<'_>) -> Vec<Cure> {
    if s.too_low() {
        return Vec::new();
    }
    let mut all: Vec<Cure> = fixture(s).into_iter().collect();
    for (_, drain) in s.drains() {
        let mut from = Length::ZERO;
        for (leg, said) in drain.run.iter().enumerate() {
            let by = up(s.short, s.fine());
            let made = (said.heading == Heading::Up && said.length > by).then(|| {
                let at = Cut { leg, from, by };
                let edits = cut(s, drain, &at)?;
                let words = format!(
                    "let the rise of {} be {} shorter, {}",
                    drain.name,
                    s.ctx.print.short(by),
                    s.ctx.print.length(said.length - by)
                );
                Some(Cure { words, edits })
            });
            all.extend(made.flatten());
            from += said.length;
        }
    }
    all
}

/// The rise below the fixture.
fn fixture(s: &Subject<'_>) -> Option<Cure> {
    let Bound::Outlet(trap) = s.room.bound else {
        return None;
    };
    let fixture = s.ctx.fixture(trap)?;
    let by = up(s.short, s.fine());
    let rises = fixture.run.iter().enumerate();
    let (leg, said) = rises
        .filter(|(_, l)| l.heading == Heading::Up)
        .max_by(|a, b| a.1.length.total_cmp(&b.1.length))?;
    let left = said.length - by;
    (left > Length::ZERO).then_some(())?;
    let keys = ["fixtures", fixture.name.as_str(), "run"];
    let item = *leg_items(&s.ctx.job.source.text, &s.ctx.job.made.way(&keys))?.get(leg)?;
    let value = length_words(left, s.ctx.job.units);
    Some(Cure {
        words: format!(
            "let the rise below {} be {} shorter, {}",
            fixture.name,
            s.ctx.print.short(by),
            s.ctx.print.length(left)
        ),
        edits: vec![Edit::item(&keys, item, format!("\"up {value}\""))],
    })
}
