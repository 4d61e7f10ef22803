//! The legend: the lines, symbols and marks that this job's drawing uses, and no others.

use kurbo::{BezPath, Point, Rect, Vec2};

use super::block::{Block, Cell, Manner, Row};
use super::lettering::{capitals, pen};
use super::{Grey, Inputs, Shape, Stroke};
use crate::job::CleanoutKind;
use crate::linework::Style;
use crate::network::{JointKind, State, System};
use crate::symbols::{self, Axes, Symbol};

/// Length of a sample of line, mm.
const SAMPLE: f64 = 16.0;

/// The legend of a job.
pub(super) fn legend(set: &Inputs<'_>) -> Block {
    let mut rows = lines(set);
    rows.extend(drawn(set));
    rows.extend(marks(set));
    let manner = Manner {
        ruled: false,
        most: 120.0,
    };
    Block::new("legend", "Legend", (&[], &[]), rows, manner)
}

fn row(cell: Cell, words: &str) -> Row {
    Row {
        cells: vec![cell, Cell::words(capitals(words))],
        strong: false,
        key: None,
        onward: false,
    }
}

fn lines(set: &Inputs<'_>) -> Vec<Row> {
    let style = Style::default();
    let has = |system: System, state: Option<State>| {
        set.net
            .graph
            .edge_weights()
            .any(|p| p.system == system && state.is_none_or(|s| p.state == s))
    };
    let line = |width: f64, dash: Vec<f64>, words: &str| {
        let mut path = BezPath::new();
        path.move_to((-SAMPLE / 2.0, 0.0));
        path.line_to((SAMPLE / 2.0, 0.0));
        let stroke = Some(Stroke {
            width,
            dash,
            grey: Grey::BLACK,
            round: false,
        });
        row(
            Cell::Drawing(
                vec![Shape {
                    path,
                    stroke,
                    fill: None,
                }],
                SAMPLE,
                3.0,
            ),
            words,
        )
    };
    let mut rows = Vec::new();
    if has(System::Waste, None) {
        rows.push(line(style.waste, Vec::new(), "Drain, soil or waste"));
    }
    if has(System::Waste, Some(State::Existing)) {
        rows.push(line(style.existing, Vec::new(), "Drain there already (E)"));
    }
    if has(System::Vent, None) {
        rows.push(line(style.vent, style.vent_dash.to_vec(), "Vent"));
    }
    rows
}

fn drawn(set: &Inputs<'_>) -> Vec<Row> {
    let net = set.net;
    let level = Axes::along(Vec2::new(
        crate::projection::COS30,
        -crate::projection::SIN30,
    ));
    let mut found: Vec<(Symbol, &str)> = Vec::new();
    let kinds = [
        (CleanoutKind::Floor, "FCO, floor cleanout"),
        (CleanoutKind::Wall, "WCO, wall cleanout"),
        (CleanoutKind::Grade, "COTG, cleanout to grade"),
        (CleanoutKind::TwoWay, "Two-way cleanout"),
        (CleanoutKind::Stack, "CO, cleanout in a stack"),
        (CleanoutKind::End, "CO, cleanout in the drain's line"),
    ];
    for (kind, words) in kinds {
        if net.cleanouts.iter().any(|c| c.kind == kind) {
            let ends = matches!(kind, CleanoutKind::Stack | CleanoutKind::End);
            let axes = if ends { level } else { Axes::UP };
            found.push((symbols::cleanout(kind, &axes), words));
        }
    }
    if !net.valves.is_empty() {
        found.push((
            symbols::backwater_valve(&level),
            "Backwater valve, wedge points downstream",
        ));
    }
    let has = |is: fn(&JointKind) -> bool| net.graph.node_weights().any(|j| is(&j.kind));
    if has(|k| matches!(k, JointKind::Terminal(_))) {
        found.push((symbols::vent_terminal(&Axes::UP), "VTR, vent through roof"));
    }
    if has(|k| matches!(k, JointKind::Valve(_))) {
        found.push((symbols::air_valve(&Axes::UP), "AAV, air admittance valve"));
    }
    if has(|k| matches!(k, JointKind::Basin)) {
        found.push((symbols::basin(&level), "Ejector basin"));
    }
    if has(|k| matches!(k, JointKind::Exit)) {
        found.push((symbols::exit_mark(&level), "Exit, outside face of wall"));
    }
    if !set.marks.is_empty() {
        let mark = symbols::match_mark("", &level);
        found.push((mark, "Match mark: goes on on the sheet named"));
    }
    found
        .into_iter()
        .map(|(symbol, words)| {
            let by = symbol.hull.iter().fold(None, |r: Option<Rect>, p| {
                let p = Rect::from_points(*p, *p);
                Some(r.map_or(p, |r| r.union(p)))
            });
            let by = by.unwrap_or_default();
            let middle = by.center() - Point::ORIGIN;
            let shapes = symbol.moved(-middle).shapes;
            row(Cell::Drawing(shapes, SAMPLE, by.height() + 0.6), words)
        })
        .collect()
}

fn marks(set: &Inputs<'_>) -> Vec<Row> {
    let any = |state: State| {
        set.net.graph.edge_weights().any(|p| p.state == state)
            || set.net.traps.iter().any(|t| t.state == state)
            || set.net.cleanouts.iter().any(|c| c.state == state)
    };
    let skewed = set.net.graph.edge_weights().any(|p| {
        p.legs
            .iter()
            .any(|l| l.rises_45 || l.heading.is_some_and(|h| h.is_diagonal()))
    });
    let mut words = vec![
        ("IE", "Invert elevation, bottom of the bore"),
        ("F.F. EL.", "Finished floor elevation"),
        ("DFU", "Drainage fixture units"),
        ("@", "Fall of the drain"),
    ];
    if any(State::Proposed) {
        words.push(("*", "Proposed, not stated in the job"));
    }
    if any(State::Existing) {
        words.push(("(E)", "Existing"));
    }
    if any(State::Future) {
        words.push(("(F)", "Future, roughed in and counted"));
    }
    let mut rows: Vec<Row> = words
        .into_iter()
        .map(|(mark, said)| row(Cell::words(mark.to_owned()), said))
        .collect();
    if skewed {
        rows.push(row(
            Cell::Drawing(hatch(), SAMPLE, 3.4),
            "Hatched: a 45° run, drawn on an axis",
        ));
    }
    rows
}

/// A piece of pipe with the hatch of a 45° run beside it.
fn hatch() -> Vec<Shape> {
    let style = Style::default();
    let mut pipe = BezPath::new();
    pipe.move_to((-SAMPLE / 2.0, 1.0));
    pipe.line_to((SAMPLE / 2.0, 1.0));
    let mut strokes = BezPath::new();
    for k in 1..=5 {
        let t = f64::from(k) / 6.0;
        let x = -SAMPLE / 2.0 + SAMPLE * t;
        strokes.move_to((x, 0.1));
        strokes.line_to((x + 0.8, 0.1 - 2.0 * t));
    }
    let line = |path, width| Shape {
        path,
        stroke: pen(width, Grey::BLACK),
        fill: None,
    };
    vec![line(pipe, style.waste), line(strokes, 0.18)]
}
