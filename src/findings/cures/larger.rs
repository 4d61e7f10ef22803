//! A drain on the way is made larger, where the larger pipe may fall less. Bigger is no cure
//! otherwise: it only takes more of the room.

use super::Subject;
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, run_items, size_item};
use crate::network::PieceIx;
use crate::units::{UnitSystem, number};

/// The first drains on the way that gain by it, each by itself.
pub(super) fn cures(s: &Subject<'_>) -> Vec<Cure> {
    const TRIED: usize = 2;
    let mut named: Vec<&str> = Vec::new();
    let mut all = Vec::new();
    for piece in &s.way {
        let Some(drain) = s
            .drain(*piece)
            .filter(|d| !named.contains(&d.name.as_str()))
        else {
            continue;
        };
        if let Some(cure) = cure(s, *piece) {
            named.push(&drain.name);
            all.push(cure);
        }
    }
    all.truncate(TRIED);
    all
}

fn cure(s: &Subject<'_>, piece: PieceIx) -> Option<Cure> {
    let (ctx, drain) = (s.ctx, s.drain(piece)?);
    let size = ctx.solution.sizing.pieces.get(&piece)?.size;
    let least = ctx.book.least_fall(size).ok()?.value;
    let (fall, _) = s.fall(piece)?;
    let stock = ctx.job.practice.stock.iter();
    let larger = stock.copied().filter(|z| *z > size).find(|z| {
        let its = ctx.book.least_fall(*z).map(|f| f.value);
        its.is_ok_and(|its| its.ratio() < least.ratio() && its.ratio() < fall.ratio())
    })?;
    let its = ctx.book.least_fall(larger).ok()?.value;
    let print = ctx.print;
    let job = ctx.job;
    let value = match job.units {
        UnitSystem::Feet => number(larger.inches(), 2, false),
        UnitSystem::Metric => larger.dn().to_string(),
    };
    let keys = ["drains", drain.name.as_str(), "run"];
    let items = run_items(&job.source.text, &job.made.way(&keys)).unwrap_or_default();
    let smaller = |item: &String| size_item(item, job.units).is_some_and(|z| z < larger);
    let mut edits: Vec<Edit> = items
        .iter()
        .enumerate()
        .filter(|(_, item)| smaller(item))
        .map(|(i, _)| Edit::item(&keys, i, format!("\"size {value}\"")))
        .collect();
    // Without a size of its own in the run the whole drain gets it.
    if edits.is_empty() || drain.size.is_some() {
        edits.push(Edit::write(&["drains", &drain.name, "size"], value));
    }
    let mut words = format!(
        "lay {} in {}, which may fall {}",
        drain.name,
        print.size(larger),
        print.fall(its)
    );
    if drain.fall.is_some() {
        let value = format!("\"{}\"", print.fall_plain(its));
        edits.push(Edit::write(&["drains", &drain.name, "fall"], value));
        words += ", and at that fall";
    }
    Some(Cure { words, edits })
}
