//! What of the pins a drawing did not keep: ways that another pipe had taken.

use std::collections::{BTreeMap, BTreeSet};

use super::Names;
use crate::diagnostics::Diagnostic;
use crate::findings::pin_not_kept;
use crate::job::{Job, PaperSide, Pin};
use crate::network::{Network, PieceIx};
use crate::placement::Plan;
use crate::projection::{Corner, Space};

/// Pins that a drawing on these sheets does not show, but for those `told` of already.
pub fn drawn(job: &Job, net: &Network, plans: &[Plan], told: &[Diagnostic]) -> Vec<Diagnostic> {
    if job.pins.is_empty() {
        return Vec::new();
    }
    let told: BTreeSet<&str> = (told.iter())
        .filter(|d| d.code == pin_not_kept::META.code)
        .map(|d| d.at.as_str())
        .collect();
    let names = Names::of(net);
    let mut paths: BTreeMap<PieceIx, (&[Space], Corner)> = BTreeMap::new();
    for plan in plans {
        for p in &plan.placement.pipes {
            paths.insert(p.piece, (&p.path, plan.placement.corner));
        }
    }
    let missed = |pin: &&Pin| {
        let leg = names.get(&pin.on.value).and_then(|p| p.level_leg(net));
        let Some((piece, leg)) = leg.filter(|_| !told.contains(pin.name.as_str())) else {
            return false;
        };
        let legs = net.graph[piece].legs.len();
        let Some((path, corner)) = paths.get(&piece) else {
            return false;
        };
        // From the upstream end down.
        let Some([end, begin]) = path.get(legs - 1 - leg..=legs - leg) else {
            return false;
        };
        !keeps(pin, *end - *begin, *corner)
    };
    let all = job.pins.iter().filter(missed);
    all.map(|pin| {
        let why = format!(
            "{} leads another way, so that it crosses nothing",
            pin.on.value
        );
        let said = pin.heading.as_ref().map(|h| h.span.clone());
        let span = said.or(pin.side.as_ref().map(|s| s.span.clone()));
        pin_not_kept::finding(
            pin,
            span.unwrap_or_else(|| pin.span.clone()),
            &why,
            "pin what takes that way, or take the pin out",
        )
    })
    .collect()
}

/// Whether a leg drawn along this step keeps its pin.
fn keeps(pin: &Pin, step: Space, corner: Corner) -> bool {
    /// Out of line by more than this is another way, of a step of one.
    const IN_LINE: f64 = 1e-3;
    let heading = pin.heading.as_ref().is_none_or(|h| {
        let way = corner.way(h.value).unit();
        let off = step * (1.0 / step.length().max(1e-9)) - way * (1.0 / way.length());
        off.length() < IN_LINE
    });
    let side = pin.side.as_ref().is_none_or(|s| match s.value {
        PaperSide::Left => step.paper().x < -IN_LINE,
        PaperSide::Right => step.paper().x > IN_LINE,
    });
    heading && side
}
