//! The list of material as tables, for sheets and as data.

use std::collections::BTreeMap;

use super::Phase;
use super::model::{PipeLine, Rest, Takeoff};
use crate::network::System;
use crate::sheets::{Say, Table};
use crate::units::PipeSize;

/// The tables of a list of material; empty ones are left out.
pub fn tables(list: &Takeoff, say: &Say) -> Vec<Table> {
    let all = [
        pipe(list, say),
        fittings(list, say),
        supports(list, say),
        joining(list, say),
        penetrations(list, say),
        uncounted(list, say),
    ];
    all.into_iter().filter(|t| !t.rows.is_empty()).collect()
}

/// What a reader of the list must know.
pub fn notes(list: &Takeoff, say: &Say) -> Vec<String> {
    let stock = say.length(Some(list.stock.length));
    let waste = match list.waste {
        Some(percent) => format!("{percent} percent is added for waste, as the job states."),
        None => "Nothing is added for waste: the job states none (`takeoff.waste`).".to_owned(),
    };
    let source = match list.stock.source {
        Some(source) => format!("{source}; `takeoff.stock_length` states another"),
        None => "as the job states".to_owned(),
    };
    vec![
        "Lengths go from centre to centre of the fittings, nothing taken off for them.".to_owned(),
        format!("Pipe comes in lengths of {stock} ({source}). {waste}"),
        "Each phase is rounded to whole lengths by itself; the totals are what all phases take \
         when they are bought together."
            .to_owned(),
        "Not in the list: what exists, the sewer beyond the exit, fixtures and their supplies, \
         and what no length is given of."
            .to_owned(),
        closed(list, say),
        "Hangers: each run takes as many as its length in one size needs, one at the least. Pipe \
         below ground lies on its bed."
            .to_owned(),
        "It lists what the drawing shows; count it again against the place before ordering."
            .to_owned(),
    ]
}

/// How holes are closed and shielded.
fn closed(list: &Takeoff, say: &Say) -> String {
    let closed = match &list.closed_by {
        Some(section) => format!("Holes through floors are closed round their pipes ({section})."),
        None => "Holes through floors are closed round their pipes as the building code asks."
            .to_owned(),
    };
    let shields = match &list.shielded {
        Some((nearer, section)) => format!(
            "A shield plate stands at each face that a hole comes nearer to than {} ({section}); it \
             is counted where the stack's wall is stated.",
            say.print.short(*nearer)
        ),
        None => "The code book says nothing of shield plates: none is counted.".to_owned(),
    };
    format!("{closed} {shields}")
}

fn heads(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

fn pipe(list: &Takeoff, say: &Say) -> Table {
    let first_total = list.pipes.iter().position(|l| l.phase.is_none());
    let row = |l: &PipeLine| {
        vec![
            l.phase.map_or("all phases", Phase::words).to_owned(),
            l.system.map_or("", System::word).to_owned(),
            l.material.clone(),
            say.size(Some(l.size)),
            l.pieces.to_string(),
            say.length(Some(l.net)),
            say.length(Some(l.gross)),
            l.lengths.to_string(),
        ]
    };
    Table {
        name: "pipe",
        title: "Pipe".into(),
        head: vec![
            "Phase".into(),
            "System".into(),
            "Material".into(),
            "Size".into(),
            "Pieces".into(),
            say.in_unit("Length"),
            say.in_unit("With waste"),
            "Lengths to buy".into(),
        ],
        rows: list.pipes.iter().map(row).collect(),
        strong: first_total
            .into_iter()
            .flat_map(|i| i..list.pipes.len())
            .collect(),
        ..Table::default()
    }
}

/// Sizes of a fitting, run first.
fn sizes(sizes: &[PipeSize], say: &Say) -> String {
    let all: Vec<String> = sizes.iter().map(|s| say.size(Some(*s))).collect();
    all.join(if say.data() { " x " } else { " × " })
}

fn fittings(list: &Takeoff, say: &Say) -> Table {
    let rows = list.fittings.iter().map(|l| {
        vec![
            l.phase.words().to_owned(),
            l.name.clone(),
            sizes(&l.sizes, say),
            l.count.to_string(),
        ]
    });
    Table {
        name: "fittings",
        title: "Fittings".into(),
        head: heads(&["Phase", "Fitting", "Size", "Count"]),
        rows: rows.collect(),
        ..Table::default()
    }
}

fn supports(list: &Takeoff, say: &Say) -> Table {
    let apart = |rest: &Rest| say.length(rest.apart.as_ref().map(|f| f.value));
    let count = |rest: &Rest| match rest.apart {
        Some(_) => rest.count.to_string(),
        None => say.nothing(),
    };
    let rows = list.supports.iter().map(|l| {
        let section = l.level.apart.as_ref();
        vec![
            l.material.clone(),
            say.size(Some(l.size)),
            say.length(Some(l.level.length)),
            apart(&l.level),
            count(&l.level),
            say.length(Some(l.upright.length)),
            apart(&l.upright),
            count(&l.upright),
            section.map_or_else(|| say.nothing(), |f| f.cite().to_owned()),
        ]
    });
    Table {
        name: "hangers",
        title: "Hangers".into(),
        head: vec![
            "Material".into(),
            "Size".into(),
            say.in_unit("Level pipe"),
            say.in_unit("At most apart"),
            "Hangers".into(),
            say.in_unit("Upright pipe"),
            say.in_unit("At most apart, upright"),
            "Clamps".into(),
            "Table or section".into(),
        ],
        rows: rows.collect(),
        ..Table::default()
    }
}

fn joining(list: &Takeoff, say: &Say) -> Table {
    let rows = list.joining.iter().map(|l| {
        vec![
            l.material.clone(),
            say.size(Some(l.size)),
            l.by.words().to_owned(),
            l.at_fittings.to_string(),
            l.between.to_string(),
        ]
    });
    Table {
        name: "joints",
        title: "Joints".into(),
        head: heads(&[
            "Material",
            "Size",
            "Made by",
            "At fittings",
            "Couplings between lengths",
        ]),
        rows: rows.collect(),
        ..Table::default()
    }
}

fn penetrations(list: &Takeoff, say: &Say) -> Table {
    let rows = list.penetrations.iter().map(|l| {
        let shields = match list.shielded {
            Some(_) => l.shields.to_string(),
            None => say.nothing(),
        };
        vec![
            l.material.clone(),
            say.size(l.size),
            l.floors.to_string(),
            l.slabs.to_string(),
            l.roofs.to_string(),
            shields,
            l.unshielded.to_string(),
        ]
    });
    Table {
        name: "holes",
        title: "Holes, closed and shielded".into(),
        head: heads(&[
            "Material",
            "Size",
            "Floors to close",
            "Slabs, sleeved",
            "Roof",
            "Shield plates",
            "Shields not counted",
        ]),
        rows: rows.collect(),
        ..Table::default()
    }
}

/// More names than this are only counted, but for data.
const NAMED: usize = 8;

fn uncounted(list: &Takeoff, say: &Say) -> Table {
    let mut kinds: BTreeMap<(Phase, &str, Option<PipeSize>), Vec<&str>> = BTreeMap::new();
    for l in &list.uncounted {
        let kind = (l.phase, l.material.as_str(), l.size);
        kinds.entry(kind).or_default().push(&l.pipe);
    }
    let rows = kinds.into_iter().map(|((phase, material, size), pipes)| {
        let shown = match say.data() {
            true => pipes.len(),
            false => pipes.len().min(NAMED),
        };
        let mut names = pipes[..shown].join(", ");
        if let Some(more) = pipes.len().checked_sub(shown).filter(|m| *m > 0) {
            names += &format!(" and {more} more");
        }
        vec![
            phase.words().to_owned(),
            material.to_owned(),
            say.size(size),
            pipes.len().to_string(),
            names,
        ]
    });
    Table {
        name: "not-counted",
        title: "Not counted: no length given".into(),
        head: heads(&["Phase", "Material", "Size", "Pieces", "Pipe"]),
        rows: rows.collect(),
        ..Table::default()
    }
}
