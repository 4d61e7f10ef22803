//! A drain on the way is made larger, where the larger pipe may fall less. Bigger is no cure
//! otherwise: it only takes more of the room.

use super::Subject;
use crate::diagnostics::Cure;
use crate::job::edit::Edit;
use crate::network::PieceIx;

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
    // Where legs state sizes of their own there is no one value to write.
    if drain.run.iter().any(|l| l.size.is_some()) {
        return None;
    }
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
    let mut edits = vec![Edit::write(
        &["drains", &drain.name, "size"],
        print.size_plain(larger).replace(' ', "-"),
    )];
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
