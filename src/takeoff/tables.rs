//! The list of material as tables, for sheets and as data.

use std::collections::{BTreeMap, BTreeSet};

use super::Phase;
use super::model::{PipeLine, Rest, Takeoff};
use crate::catalogue;
use crate::network::System;
use crate::sheets::{Form, Say, Table};
use crate::units::{Length, PipeSize};

/// The tables of a list of material; empty ones are left out.
pub fn tables(list: &Takeoff, say: &Say) -> Vec<Table> {
    let all = [
        pipe(list, say),
        fittings(list, say),
        all_fittings(list, say),
        supports(list, say),
        joining(list, say),
        penetrations(list, say),
        uncounted(list, say),
    ];
    let mut all: Vec<Table> = all.into_iter().filter(|t| !t.rows.is_empty()).collect();
    if say.form == Form::Sheet {
        narrower(&mut all, &say.nothing());
    }
    all
}

/// On a sheet the one material of a job is said once, below the first table, and the one section of
/// its distances below theirs; waste or vent is left out where the phase says it already, and a column
/// without a figure says nothing.
fn narrower(tables: &mut [Table], nothing: &str) {
    const MATERIAL: &str = "Material";
    const SECTION: &str = "Table or section";
    let column = |t: &Table, head: &str| t.head.iter().position(|h| h == head);
    let cells = |t: &Table| -> Vec<String> {
        let at = column(t, MATERIAL);
        let cells = t.rows.iter().filter_map(|r| r.get(at?).cloned());
        cells.collect()
    };
    let materials: BTreeSet<String> = tables.iter().flat_map(cells).collect();
    let mut gone = Vec::new();
    gone.extend(phases_say_systems(tables).then_some(SYSTEM));
    if let (1, Some(only)) = (materials.len(), materials.first()) {
        gone.push(MATERIAL);
        if let Some(first) = tables.first_mut() {
            first.foot.push(format!("All of {only}."));
        }
    }
    for table in tables {
        let same = |t: &Table, at: usize| {
            let mut cells = t.rows.iter().map(|r| r.get(at).map_or("", String::as_str));
            let first = cells.next().unwrap_or_default().to_owned();
            cells.all(|c| c == first).then_some(first)
        };
        let section = column(table, SECTION);
        if let Some((at, section)) = section.and_then(|at| Some((at, same(table, at)?))) {
            table.foot.push(format!("By {section}."));
            table.drop_column(at);
        }
        for head in &gone {
            if let Some(at) = column(table, head) {
                table.drop_column(at);
            }
        }
        for at in (0..table.head.len()).rev() {
            if same(table, at).as_deref() == Some(nothing) {
                table.drop_column(at);
            }
        }
    }
}

const SYSTEM: &str = "System";

/// Whether pipe of each phase is of one system.
fn phases_say_systems(tables: &[Table]) -> bool {
    let mut systems: BTreeMap<&str, &str> = BTreeMap::new();
    let of = |t: &Table| t.head.iter().position(|h| h == SYSTEM);
    let rows = tables.iter().filter_map(|t| Some((t, of(t)?)));
    let mut rows = rows.flat_map(|(t, at)| t.rows.iter().map(move |r| (r, at)));
    rows.all(|(row, at)| {
        let (phase, system) = (row.first(), row.get(at));
        let pair = phase.zip(system).map(|(p, s)| (p.as_str(), s.as_str()));
        pair.is_none_or(|(phase, system)| *systems.entry(phase).or_insert(system) == system)
    })
}

/// What a reader of the list must know.
pub fn notes(list: &Takeoff, say: &Say) -> Vec<String> {
    let stock = say.length(Some(list.stock.length));
    let waste = match list.waste {
        Some(percent) => format!("{percent} percent is added for offcuts, as the job states."),
        None => "Nothing is added for offcuts: none is stated.".to_owned(),
    };
    let source = match list.stock.source {
        Some(source) => format!("{source}; none is stated"),
        None => "as the job states".to_owned(),
    };
    let mut notes = vec![
        "Lengths go from centre to centre of the fittings.".to_owned(),
        format!(
            "Pipe comes in lengths of {stock} ({source}), cut the longest piece first, each from the \
             shortest offcut that holds it. {waste}"
        ),
        "What rises from below a slab is bought in two, with a coupling: up to the finished floor with \
         what is laid underground, the rest with what stands above."
            .to_owned(),
        "Each phase is rounded up by itself; the totals are what all take when they are bought \
         together."
            .to_owned(),
        "Not listed: what exists, the sewer beyond the exit, fixtures and their supplies, and what \
         has no length."
            .to_owned(),
        closed(list, say),
        hangers(list),
        "Count it again against the place before ordering."
            .to_owned(),
    ];
    if any_in_place(list) {
        let more = "In place: what the job marks as roughed in or tested, with the cleanouts proposed on it. Lengths, fittings, joints \
                    and hangers are of the whole, with what of them is in place beside; lengths to \
                    buy are of the rest alone. Holes are of the whole.";
        notes.push(more.to_owned());
    }
    if list.pipes.iter().any(|l| l.unknown > 0) || list.joining.iter().any(|l| l.unknown > 0) {
        let more =
            "At least: pipe without a length is not counted, but listed by name; it takes more.";
        notes.push(more.to_owned());
    }
    if !list.never.is_empty() {
        let all: Vec<&str> = list.never.iter().map(|n| n.words()).collect();
        notes.push(format!(
            "Never counted, and needed here: {}.",
            all.join("; ")
        ));
    }
    notes.extend(sold_as(list));
    notes
}

/// How hangers are counted, or why none is.
fn hangers(list: &Takeoff) -> String {
    let above = list.uncounted.iter().any(|u| u.phase != Phase::Underground);
    let counted = match (hung(list), list.supports.is_empty()) {
        (true, _) => "Hangers: each run takes as many as its length in one size needs.",
        (false, true) if above => {
            "Hangers are not counted: no length of pipe above ground is given."
        }
        (false, true) => "Hangers: no pipe lies above ground.",
        (false, false) => {
            "Hangers: the code book has no distances for this material; its maker's hold."
        }
    };
    let mut words = format!("{counted} Pipe below ground lies on its bed.");
    if !list.hanging.is_empty() {
        words += &format!(
            " The code book's table notes: {} Guides are not counted.",
            list.hanging.join(" ")
        );
    }
    words
}

/// Whether the book says of any pipe how far apart it is hung.
fn hung(list: &Takeoff) -> bool {
    let mut lines = list.supports.iter();
    lines.any(|l| l.level.apart.is_some() || l.upright.apart.is_some())
}

/// What pipe that is sold by its outside diameter has on it.
fn sold_as(list: &Takeoff) -> Option<String> {
    let pipes = list.pipes.iter().map(|l| (l.material.as_str(), l.size));
    let pairs = catalogue::sold_as(pipes)?;
    Some(format!(
        "Sizes are nominal. Plastic pipe is sold by its outside diameter: {pairs}; other sizes have the \
         same number."
    ))
}

/// Whether anything is in place already.
fn any_in_place(list: &Takeoff) -> bool {
    list.pipes.iter().any(|l| l.in_place > Length::ZERO)
        || list.fittings.iter().any(|l| l.in_place > 0)
}

/// How holes are closed and shielded.
fn closed(list: &Takeoff, say: &Say) -> String {
    let closed = match &list.closed_by {
        Some(section) => format!("Holes through floors and plates are closed round their pipes ({section})."),
        None => "Holes through floors and plates are closed round their pipes as the building code asks."
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

/// Head of the column of data that says how many pieces are not counted.
const NOT_COUNTED: &str = "Pieces not counted";

/// A figure that further pieces without a length would make larger; data have these in a column of
/// their own.
fn more_than(figure: String, unknown: usize, say: &Say) -> String {
    match unknown > 0 && !say.data() {
        true => format!("at least {figure}"),
        false => figure,
    }
}

/// A count of what is known; where that is none and more is not counted, nothing is known.
fn at_least(count: u64, unknown: usize, say: &Say) -> String {
    match (count, unknown) {
        (0, n) if n > 0 => say.nothing(),
        _ => more_than(count.to_string(), unknown, say),
    }
}

/// What of a count is in place: none is nothing.
fn placed_of(count: u64, say: &Say) -> String {
    match count {
        0 => say.nothing(),
        n => n.to_string(),
    }
}

fn pipe(list: &Takeoff, say: &Say) -> Table {
    let first_total = list.pipes.iter().position(|l| l.phase.is_none());
    // What nothing is added to needs no second column, but for data.
    let offcuts = say.data() || list.waste.is_some();
    let placed = any_in_place(list);
    let row = |l: &PipeLine| {
        let mut row = vec![
            l.phase.map_or("all phases", Phase::words).to_owned(),
            l.system.map_or("", System::word).to_owned(),
            l.material.clone(),
            say.size(Some(l.size)),
            l.pieces.to_string(),
            more_than(say.length(Some(l.net)), l.unknown, say),
        ];
        row.extend(offcuts.then(|| more_than(say.length(Some(l.gross)), l.unknown, say)));
        row.extend(placed.then(|| match l.in_place > Length::ZERO {
            true => say.length(Some(l.in_place)),
            false => say.nothing(),
        }));
        row.push(at_least(l.lengths, l.unknown, say));
        row.extend(say.data().then(|| l.unknown.to_string()));
        row
    };
    let mut head = heads(&["Phase", SYSTEM, "Material", "Size", "Pieces"]);
    head.push(say.in_unit("Length"));
    head.extend(offcuts.then(|| say.in_unit("With offcuts")));
    head.extend(placed.then(|| say.in_unit("In place")));
    head.push("Lengths to buy".into());
    head.extend(say.data().then(|| NOT_COUNTED.to_owned()));
    Table {
        name: "pipe",
        title: "Pipe".into(),
        head,
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
    let placed = any_in_place(list);
    let rows = list.fittings.iter().map(|l| {
        let mut row = vec![
            l.phase.words().to_owned(),
            l.name.clone(),
            sizes(&l.sizes, say),
            l.count.to_string(),
        ];
        row.extend(placed.then(|| placed_of(l.in_place as u64, say)));
        row
    });
    let mut head = heads(&["Phase", "Fitting", "Size", "Count"]);
    head.extend(placed.then(|| "In place".to_owned()));
    Table {
        name: "fittings",
        title: "Fittings".into(),
        head,
        rows: rows.collect(),
        ..Table::default()
    }
}

/// Every fitting once, however many phases it is laid in.
fn all_fittings(list: &Takeoff, say: &Say) -> Table {
    let placed = any_in_place(list);
    let rows = list.all_fittings.iter().map(|l| {
        let mut row = vec![l.name.clone(), sizes(&l.sizes, say), l.count.to_string()];
        if placed {
            row.push(placed_of(l.in_place as u64, say));
            row.push(l.count.saturating_sub(l.in_place).to_string());
        }
        row
    });
    let mut head = heads(&["Fitting", "Size", "Count"]);
    if placed {
        head.extend(heads(&["In place", "To buy"]));
    }
    Table {
        name: "fittings-together",
        title: "Fittings, all phases together".into(),
        head,
        rows: rows.collect(),
        ..Table::default()
    }
}

fn supports(list: &Takeoff, say: &Say) -> Table {
    let placed = any_in_place(list);
    let apart = |rest: &Rest| say.length(rest.apart.as_ref().map(|f| f.value));
    let long = |rest: &Rest| more_than(say.length(Some(rest.length)), rest.unknown, say);
    let count = |rest: &Rest| match rest.apart {
        Some(_) => at_least(rest.count, rest.unknown, say),
        None => say.nothing(),
    };
    if !say.data() && !hung(list) {
        let rows = list.supports.iter().map(|l| {
            vec![
                l.material.clone(),
                say.size(Some(l.size)),
                long(&l.level),
                long(&l.upright),
            ]
        });
        return Table {
            name: "hangers",
            title: "Pipe to hang, at its maker's distances".into(),
            head: heads(&["Material", "Size", "Level pipe", "Upright pipe"]),
            rows: rows.collect(),
            ..Table::default()
        };
    }
    let rows = list.supports.iter().map(|l| {
        let section = l.level.apart.as_ref();
        let mut row = vec![l.material.clone(), say.size(Some(l.size))];
        for rest in [&l.level, &l.upright] {
            row.extend([long(rest), apart(rest), count(rest)]);
            row.extend(placed.then(|| placed_of(rest.in_place, say)));
            row.extend(say.data().then(|| rest.unknown.to_string()));
        }
        row.push(section.map_or_else(|| say.nothing(), |f| f.cite().to_owned()));
        row
    });
    let mut head = heads(&["Material", "Size"]);
    for (long, apart, held) in [
        ("Level pipe", "At most apart", "Hangers"),
        ("Upright pipe", "At most apart, upright", "Clamps"),
    ] {
        head.extend([say.in_unit(long), say.in_unit(apart), held.to_owned()]);
        head.extend(placed.then(|| format!("{held} in place")));
        let kind = long.to_lowercase();
        head.extend(say.data().then(|| format!("{NOT_COUNTED}, {kind}")));
    }
    head.push("Table or section".into());
    Table {
        name: "hangers",
        title: "Hangers".into(),
        head,
        rows: rows.collect(),
        ..Table::default()
    }
}

fn joining(list: &Takeoff, say: &Say) -> Table {
    let placed = any_in_place(list);
    let rows = list.joining.iter().map(|l| {
        let mut row = vec![
            l.material.clone(),
            say.size(Some(l.size)),
            l.by.words().to_owned(),
            l.at_fittings.to_string(),
        ];
        row.extend(placed.then(|| placed_of(l.fitted as u64, say)));
        row.push(at_least(l.between, l.unknown, say));
        row.extend(placed.then(|| placed_of(l.coupled, say)));
        row.extend(say.data().then(|| l.unknown.to_string()));
        row
    });
    let mut head = heads(&["Material", "Size", "Made by", "At fittings"]);
    head.extend(placed.then(|| "Made already".to_owned()));
    head.push("Couplings between lengths".into());
    head.extend(placed.then(|| "Couplings in place".to_owned()));
    head.extend(say.data().then(|| NOT_COUNTED.to_owned()));
    Table {
        name: "joints",
        title: "Joints".into(),
        head,
        rows: rows.collect(),
        ..Table::default()
    }
}

fn penetrations(list: &Takeoff, say: &Say) -> Table {
    // Without a limit in the book there are no shields to count.
    let shields = say.data() || list.shielded.is_some();
    let plates = say.data() || list.penetrations.iter().any(|l| l.plates > 0);
    let rows = list.penetrations.iter().map(|l| {
        let mut row = vec![
            l.material.clone(),
            say.size(l.size),
            l.floors.to_string(),
            l.slabs.to_string(),
            l.roofs.to_string(),
        ];
        if plates {
            row.insert(3, l.plates.to_string());
        }
        if shields {
            row.push(match list.shielded {
                Some(_) => l.shields.to_string(),
                None => say.nothing(),
            });
            row.push(l.unshielded.to_string());
        }
        row
    });
    let mut head = heads(&[
        "Material",
        "Size",
        "Floors to close",
        "Slabs, sleeved",
        "Roof",
    ]);
    if plates {
        head.insert(3, "Top plates alone, to close".to_owned());
    }
    if shields {
        head.extend(heads(&[
            "Shield plates",
            "Of these in walls not stated, no shields",
        ]));
    }
    Table {
        name: "holes",
        title: match shields {
            true => "Holes, closed and shielded".into(),
            false => "Holes, closed".into(),
        },
        head,
        rows: rows.collect(),
        ..Table::default()
    }
}

fn uncounted(list: &Takeoff, say: &Say) -> Table {
    let mut kinds: BTreeMap<(Phase, &str, Option<PipeSize>), Vec<&str>> = BTreeMap::new();
    for l in &list.uncounted {
        let kind = (l.phase, l.material.as_str(), l.size);
        kinds.entry(kind).or_default().push(&l.pipe);
    }
    let rows = kinds.into_iter().map(|((phase, material, size), pipes)| {
        vec![
            phase.words().to_owned(),
            material.to_owned(),
            say.size(size),
            pipes.len().to_string(),
            pipes.join(", "),
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
