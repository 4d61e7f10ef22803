//! Fixtures against the rim of the manhole that the sewer would back up to.

use super::model::Measure;
use super::worst::Worst;
use crate::findings::{Context, open_to_the_sewer};
use crate::units::Length;

/// The fixture without a valve that lies least above that rim: by its own rim, or by its floor, as the
/// book has it.
pub(super) fn over_manhole(ctx: &Context<'_>) -> Option<Measure> {
    let by_floor = ctx.book.backwater_by_floor()?;
    let mut worst = Worst::default();
    for (trap, above) in open_to_the_sewer(ctx, by_floor.value) {
        let Some(fixture) = ctx.fixture(trap) else {
            continue;
        };
        let assumed = !by_floor.value && fixture.rim.is_none();
        let of = match (by_floor.value, assumed) {
            (true, _) => "its floor",
            (false, false) => "its rim",
            (false, true) => "its rim as its kind usually has it, not stated",
        };
        let measure = Measure {
            what: "height over the rim of the next manhole".to_owned(),
            section: by_floor.cite().to_owned(),
            provenance: Some(by_floor.provenance),
            applied: 0,
            at: format!("{}, {of}", fixture.name),
            has: ctx.print.length(above),
            limit: ctx.print.length(Length::ZERO),
            margin: ctx.print.length(above.max(Length::ZERO)),
            kept: Some(above >= Length::ZERO || above.same(Length::ZERO)),
        };
        worst.add(-above.mm(), measure);
    }
    worst.done()
}
