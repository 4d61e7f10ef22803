//! Drains whose stated fall is steeper than the book's least are laid flatter. What the job only
//! prefers has been made flatter before.

use std::collections::BTreeMap;

use super::Subject;
use crate::catalogue;
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, fall_item, run_items};
use crate::levels::FallFrom;
use crate::network::PieceIx;
use crate::units::{Fall, Length};

/// The steepest fall, of all that is stated on the way, at which it fits.
pub(super) fn cures(s: &Subject<'_>) -> Vec<Cure> {
    // What hangs too low at a stated fall would have to be steeper.
    let Some((step, _)) = catalogue::fall_step(s.ctx.job.units) else {
        return Vec::new();
    };
    let stated: Vec<Piece> = s.way.iter().filter_map(|p| piece(s, *p)).collect();
    let steepest = stated.iter().map(|p| p.fall.ratio()).fold(0.0, f64::max);
    let Some(least) = stated.iter().map(|p| p.least.ratio()).reduce(f64::min) else {
        return Vec::new();
    };
    let mut n = (steepest / step.ratio() - 1e-6).ceil().min(1000.0) - 1.0;
    while n > 0.0 && step.ratio() * n > least - 1e-9 {
        let cap = Fall::from_ratio(step.ratio() * n);
        let gives: Length = stated.iter().map(|p| p.gives(cap)).sum();
        if gives >= s.short {
            return cure(s, &stated, cap).into_iter().collect();
        }
        n -= 1.0;
    }
    Vec::new()
}

/// A piece of a drain that states its fall.
struct Piece {
    section: &'static str,
    drain: String,
    fall: Fall,
    least: Fall,
    run: Length,
}

impl Piece {
    fn at(&self, cap: Fall) -> Fall {
        self.fall.min(cap.max(self.least))
    }
    fn gives(&self, cap: Fall) -> Length {
        self.fall.over(self.run) - self.at(cap).over(self.run)
    }
}

fn piece(s: &Subject<'_>, ix: PieceIx) -> Option<Piece> {
    let level = s.ctx.solution.levels.pieces.get(&ix)?;
    if level.fall_from != FallFrom::Stated {
        return None;
    }
    let (section, owner) = match s.drain(ix) {
        Some(drain) => ("drains", drain.name.clone()),
        None => ("fixtures", fixture(s, ix)?),
    };
    let size = s.ctx.solution.sizing.pieces.get(&ix)?.size;
    let (fall, run) = s.fall(ix)?;
    Some(Piece {
        section,
        drain: owner,
        fall,
        least: s.ctx.book.least_fall(size).ok()?.value,
        run,
    })
}

/// The fixture whose arm a piece is, if it states the arm's fall.
fn fixture(s: &Subject<'_>, ix: PieceIx) -> Option<String> {
    let trap = s.ctx.net.traps.iter().find(|t| t.arm == Some(ix))?;
    let fixture = s.ctx.job.fixtures.get(trap.fixture)?;
    let stated = fixture.fall.is_some() && !fixture.existing;
    stated.then(|| fixture.name.clone())
}

fn cure(s: &Subject<'_>, stated: &[Piece], cap: Fall) -> Option<Cure> {
    let mut falls: BTreeMap<(&'static str, &str), Fall> = BTreeMap::new();
    for p in stated
        .iter()
        .filter(|p| p.at(cap).ratio() < p.fall.ratio() - 1e-9)
    {
        let to = p.at(cap);
        // A drain of several sizes states one fall: it is that of its steepest least.
        let known = falls.entry((p.section, &p.drain)).or_insert(to);
        *known = known.max(to);
    }
    let print = s.ctx.print;
    let mut words: Vec<String> = Vec::new();
    let mut edits = Vec::new();
    for ((section, name), fall) in falls {
        let of = if section == "fixtures" {
            "the arm of "
        } else {
            ""
        };
        words.push(format!("{of}{name} at {}", print.fall(fall)));
        match section {
            "fixtures" => {
                let value = format!("\"{}\"", print.fall_plain(fall));
                edits.push(Edit::write(&[section, name, "fall"], value));
            }
            _ => edits.extend(written(s, name, fall)?),
        }
    }
    (!edits.is_empty()).then(|| Cure {
        words: format!("lay {}", words.join(" and ")),
        edits,
    })
}

/// What lets a drain fall no more than this, in the words that state its falls.
fn written(s: &Subject<'_>, drain: &str, fall: Fall) -> Option<Vec<Edit>> {
    let job = s.ctx.job;
    let said = job.drains.iter().find(|d| d.name == drain)?;
    let plain = s.ctx.print.fall_plain(fall);
    let mut edits = Vec::new();
    if said.fall.is_some() {
        let value = format!("\"{plain}\"");
        edits.push(Edit::write(&["drains", drain, "fall"], value));
    }
    let keys = ["drains", drain, "run"];
    let items = run_items(&job.source.text, &job.made.way(&keys)).unwrap_or_default();
    for (i, item) in items.iter().enumerate() {
        let steeper = fall_item(item, job.units).is_some_and(|f| f.ratio() > fall.ratio());
        if steeper {
            edits.push(Edit::item(&keys, i, format!("\"fall {plain}\"")));
        }
    }
    Some(edits)
}
