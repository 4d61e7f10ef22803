//! Vents.

use std::collections::BTreeMap;

use super::model::Measure;
use super::worst::Worst;
use crate::findings::Context;
use crate::network::System;

/// Of each rule that vents are sized by, the vent with the least to spare.
pub(super) fn sizes(ctx: &Context<'_>) -> Vec<Measure> {
    let mut worst: BTreeMap<String, Worst> = BTreeMap::new();
    for (_, piece, size) in ctx.sized(System::Vent) {
        let Some(code) = size.code_size else { continue };
        let working = &size.working;
        let section = working
            .table
            .clone()
            .unwrap_or_else(|| working.section.clone());
        let over = size.size.inches() - code.inches();
        let measure = Measure {
            what: "size of a vent".to_owned(),
            section: section.clone(),
            applied: 0,
            at: piece.id.clone(),
            has: ctx.print.size(size.size),
            limit: ctx.print.size(code),
            margin: match over {
                o if o < 0.0 => "too small".to_owned(),
                o if o > 0.0 => "larger".to_owned(),
                _ => "none: as small as it may be".to_owned(),
            },
            kept: Some(over >= 0.0),
        };
        worst.entry(section).or_default().add(-over, measure);
    }
    worst.into_values().filter_map(Worst::done).collect()
}
