//! Vents.

use std::collections::BTreeMap;

use super::model::Measure;
use super::worst::Worst;
use crate::findings::Context;
use crate::network::System;

/// Of each rule that vents are sized by, the vent with the least to spare; and how many there are whose
/// length nobody gave.
pub(super) fn sizes(ctx: &Context<'_>) -> Vec<Measure> {
    let mut worst: BTreeMap<String, Worst> = BTreeMap::new();
    let lengths = &ctx.solution.levels.vents;
    // As large as its stack a vent is long enough, however long it is.
    let waste = ctx
        .book
        .waste_stack_rules()
        .and_then(|r| r.full_vent.as_ref());
    let single = ctx
        .book
        .single_stack_rules()
        .and_then(|r| r.full_vent.as_ref());
    let full = [waste, single].into_iter().flatten().filter(|r| r.value);
    let as_its_stack = |section: &str| full.clone().any(|r| r.section == section);
    // Their size goes by their length: where that is not known, neither is whether it is kept.
    let mut unknown: BTreeMap<String, Measure> = BTreeMap::new();
    for (ix, piece, size) in ctx.sized(System::Vent) {
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
            provenance: working.provenance,
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
        // What is too small however short it is is known to be.
        if lengths.contains_key(&ix) || over < 0.0 || as_its_stack(&section) {
            worst.entry(section).or_default().add(-over, measure);
        } else {
            let none = || "—".to_owned();
            let open = unknown.entry(section).or_insert(Measure {
                at: "vents without a length".to_owned(),
                has: none(),
                limit: none(),
                margin: none(),
                kept: None,
                ..measure
            });
            open.applied += 1;
        }
    }
    let known = worst.into_values().filter_map(Worst::done);
    known.chain(unknown.into_values()).collect()
}
