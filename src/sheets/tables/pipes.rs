//! The pipe schedule: every piece with its size and where that comes from.

use std::collections::BTreeSet;

use crate::captions::{lettered_run, part_of};
use crate::network::{PieceIx, RunKind};
use crate::units::Demand;

use super::{Inputs, Say, Table, heads};

/// Every piece of the drawing.
pub fn pipes(set: &Inputs<'_>, say: &Say) -> Table {
    let mut head = heads(&["Pipe", "Run", "System", "Size", "Code min."]);
    let unit = set.book.unit().to_uppercase();
    head.push(unit.clone());
    let most = match set.book.by_flow() {
        true => {
            head.push("L/s".to_owned());
            "Max L/s".to_owned()
        }
        false => format!("Max {unit}"),
    };
    head.extend([most.clone(), "Fall".to_owned()]);
    for h in ["Length", "Invert down", "Invert up"] {
        head.push(say.in_unit(h));
    }
    head.extend(heads(&["Table", "Section"]));
    let changed = set.job.changed();
    let rows = match say.data() {
        true => (set.net.graph.edge_indices())
            .map(|p| row(set, say, &changed, p))
            .collect(),
        false => listed(set).map(|p| row(set, say, &changed, p)).collect(),
    };
    let mut table = Table {
        name: "pipes",
        title: "Pipe schedule".into(),
        head,
        rows,
        ..Table::default()
    };
    if !say.data() {
        let mut foot = format!(
            "Code min.: smallest size that the tables allow, at the fall preferred for that size. \
             {most}: what the size drawn may carry at the fall drawn."
        );
        if set.net.runs.iter().any(|r| r.kind == RunKind::Stack) {
            foot += " The lower invert of a stack is that of the drain it stands on.";
        }
        table.foot.push(foot);
        // The run is the id's first part, the system is drawn, the section names the table.
        for row in table.rows.iter_mut().chain([&mut table.head]) {
            let section = row.pop().unwrap_or_default();
            if let Some(table) = row.last_mut().filter(|t| t.is_empty()) {
                *table = section;
            }
            row.drain(1..row.len().min(3));
        }
        if let Some(last) = table.head.last_mut() {
            *last = "Table or section".into();
        }
    }
    table
}

/// The pipes that the schedule on the sheets lists, in its order: those that are drawn.
pub fn listed<'a>(set: &Inputs<'a>) -> impl Iterator<Item = PieceIx> + use<'a> {
    let typical = set.typical;
    let drawn = move |p: &PieceIx| typical.is_none_or(|t| !t.out().pieces.contains(p));
    set.net.graph.edge_indices().filter(drawn)
}

fn row(set: &Inputs<'_>, say: &Say, changed: &BTreeSet<&str>, piece: PieceIx) -> Vec<String> {
    let net = set.net;
    let p = &net.graph[piece];
    let size = set.solution.sizing.pieces.get(&piece);
    let level = set.solution.levels.pieces.get(&piece);
    let length = level
        .and_then(|l| l.length)
        .or_else(|| set.solution.levels.vents.get(&piece).copied());
    let sewer = net
        .runs
        .get(p.run.0)
        .is_some_and(|r| r.kind == RunKind::Sewer);
    let load = |l: Option<crate::units::Load>| {
        l.filter(|_| !sewer)
            .map_or_else(|| say.nothing(), |l| say.print.load(l))
    };
    let figure = |d: Option<Demand>| {
        d.filter(|_| !sewer).map_or_else(
            || say.nothing(),
            |d| crate::units::number(d.number(), 2, false),
        )
    };
    let mut cells = vec![
        say.marked(
            &p.id,
            p.state,
            part_of(net, piece).is_some_and(|part| changed.contains(part)),
        ),
        lettered_run(net, piece),
        p.system.word().to_owned(),
        say.size(size.map(|s| s.size)),
        say.size(size.and_then(|s| s.code_size)),
        load(size.map(|s| s.load)),
    ];
    if set.book.by_flow() {
        // A vent carries no flow, though it vents the units of its column.
        let flow = |d: &Demand| matches!(d, Demand::Flow(_));
        cells.push(figure(size.map(|s| s.demand).filter(flow)));
    }
    cells.extend([
        figure(size.and_then(|s| s.capacity)),
        say.fall(level.and_then(|l| l.fall)),
        say.length(length),
        say.level(level.and_then(|l| l.invert_down)),
        say.level(level.and_then(|l| l.invert_up)),
        size.and_then(|s| s.working.table.clone())
            .unwrap_or_default(),
        match size.map(|s| s.working.section.as_str()) {
            None | Some("") => say.nothing(),
            Some(section) => section.to_owned(),
        },
    ]);
    cells
}
