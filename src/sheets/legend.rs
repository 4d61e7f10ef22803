//! The legend of one sheet: the lines, symbols and marks that stand on it, and no others. It is
//! read off the drawing itself, so that the two cannot differ.

use std::collections::BTreeSet;

use kurbo::{BezPath, Point, Rect, Vec2};

use super::block::{Block, Cell, Manner, Row};
use super::lettering::{capitals, pen};
use super::{Grey, Item, Role, Scene, Shape, Stroke};
use crate::job::CleanoutKind;
use crate::linework::Style;
use crate::network::{State, System};
use crate::symbols::{self, Axes, Symbol};

/// Length of a sample of line, mm.
const SAMPLE: f64 = 16.0;

/// The legend of a drawing.
pub(super) fn legend(scene: &Scene) -> Block {
    let shown = Shown::of(scene);
    let mut rows = lines(&shown);
    rows.extend(line_marks(&shown));
    rows.extend(stood(&shown));
    rows.extend(fixtures(&shown));
    rows.extend(letters(&shown));
    let manner = Manner {
        ruled: false,
        most: 120.0,
    };
    Block::new("legend", "Legend", (&[], &[]), rows, manner)
}

/// What stands on a drawing.
#[derive(Default)]
struct Shown<'a> {
    /// Systems and states of its pipes.
    pipes: BTreeSet<(&'a str, &'a str)>,
    /// Kinds and types of its symbols.
    symbols: BTreeSet<(&'a str, &'a str)>,
    /// Kinds of its marks.
    marks: BTreeSet<&'a str>,
    /// Whether a pipe is broken behind another.
    gap: bool,
    /// All its words.
    words: Vec<&'a str>,
}

impl<'a> Shown<'a> {
    fn of(scene: &'a Scene) -> Shown<'a> {
        let mut shown = Shown::default();
        for item in &scene.items {
            let said = |key| said(item, key);
            match item.role {
                Role::Pipe => {
                    shown.pipes.insert((said("system"), said("state")));
                    let starts = item.shapes.iter().flat_map(|s| s.path.elements());
                    let starts = starts.filter(|e| matches!(e, kurbo::PathEl::MoveTo(_)));
                    shown.gap |= starts.count() > 1;
                }
                Role::Symbol => {
                    shown.symbols.insert((said("kind"), said("type")));
                }
                Role::Mark => {
                    shown.marks.insert(said("kind"));
                }
                _ => {}
            }
            // A match mark's letter is no word.
            if item.role != Role::Symbol {
                shown
                    .words
                    .extend(item.texts.iter().map(|t| t.text.as_str()));
            }
        }
        shown
    }

    fn drain(&self, state: State) -> bool {
        self.pipes.contains(&(System::Waste.word(), state.word()))
    }

    fn vent(&self, state: State) -> bool {
        self.pipes.contains(&(System::Vent.word(), state.word()))
    }

    fn says(&self, is: impl Fn(&str) -> bool) -> bool {
        self.words.iter().any(|w| is(w))
    }
}

fn said<'a>(item: &'a Item, key: &str) -> &'a str {
    let found = item.data.iter().find(|(k, _)| *k == key);
    found.map_or("", |(_, value)| value.as_str())
}

fn row(cell: Cell, words: &str) -> Row {
    Row {
        cells: vec![cell, Cell::words(&capitals(words))],
        strong: false,
        key: None,
        onward: false,
    }
}

fn drawn(shapes: Vec<Shape>, high: f64, words: &str) -> Row {
    row(Cell::Drawing(shapes.into(), SAMPLE, high), words)
}

/// A line between two points round the middle of a sample.
fn line(a: (f64, f64), b: (f64, f64), width: f64, dash: &[f64]) -> Shape {
    let mut path = BezPath::new();
    path.move_to(a);
    path.line_to(b);
    Shape {
        path,
        stroke: Some(Stroke {
            width,
            dash: dash.to_vec(),
            grey: Grey::BLACK,
            round: false,
        }),
        fill: None,
    }
}

/// A level line over the whole sample.
fn level_line(width: f64, dash: &[f64]) -> Shape {
    line((-SAMPLE / 2.0, 0.0), (SAMPLE / 2.0, 0.0), width, dash)
}

fn lines(shown: &Shown<'_>) -> Vec<Row> {
    let style = Style::default();
    let new = [State::Stated, State::Proposed, State::Future];
    let dash = &style.vent_dash;
    let mut rows = Vec::new();
    if new.iter().any(|s| shown.drain(*s)) {
        let sample = level_line(style.waste, &[]);
        rows.push(drawn(vec![sample], 3.0, "Drain, soil or waste"));
    }
    if shown.drain(State::Existing) {
        let sample = level_line(style.existing, &[]);
        rows.push(drawn(vec![sample], 3.0, "Existing drain (E)"));
    }
    if new.iter().any(|s| shown.vent(*s)) {
        let sample = level_line(style.vent, dash);
        rows.push(drawn(vec![sample], 3.0, "Vent"));
    }
    if shown.vent(State::Existing) {
        let sample = level_line(style.existing_vent(), dash);
        rows.push(drawn(vec![sample], 3.0, "Existing vent (E)"));
    }
    rows
}

/// How lines meet, cross and are marked.
fn line_marks(shown: &Shown<'_>) -> Vec<Row> {
    const HIGH: f64 = 6.0;
    let style = Style::default();
    let level = level_line(style.waste, &[]);
    let up = |from: f64, to: f64| line((0.0, from), (0.0, to), style.waste, &[]);
    let mut rows = Vec::new();
    if shown.marks.contains("junction") {
        let dot = symbols::junction(Point::ORIGIN);
        let cross = vec![level.clone(), up(-2.8, 2.8), dot];
        rows.push(drawn(cross, HIGH, "Dot: pipes join"));
    }
    if shown.gap {
        let cross = vec![level.clone(), up(-3.4, -1.4), up(1.4, 3.4)];
        rows.push(drawn(cross, HIGH + 1.4, "Gap: pipe passes behind"));
    }
    if shown.marks.contains("floor") {
        let floor = Shape {
            path: symbols::floor_level(Point::ORIGIN, 4.8),
            stroke: pen(0.25, Grey::BLACK),
            fill: None,
        };
        rows.push(drawn(vec![up(-3.0, 3.0), floor], HIGH, "Floor or roof"));
    }
    if shown.marks.contains("break") {
        let broken = Shape {
            path: symbols::storeys_left_out(Point::ORIGIN, 4.8),
            stroke: pen(0.25, Grey::BLACK),
            fill: None,
        };
        let words = "Break: the storeys named, not drawn one by one";
        rows.push(drawn(vec![up(-3.0, 3.0), broken], HIGH, words));
    }
    if shown.marks.contains("hatch") {
        let words = "Hatched: a 45° run, drawn on an axis";
        rows.push(drawn(hatch(), 3.4, words));
    }
    rows
}

/// Symbols that are no fixtures.
fn stood(shown: &Shown<'_>) -> Vec<Row> {
    let level = Axes::along(Vec2::new(
        crate::projection::COS30,
        -crate::projection::SIN30,
    ));
    let right = Axes::along(Vec2::new(1.0, 0.0));
    let has = |kind: &str, of: &str| shown.symbols.contains(&(kind, of));
    let mut rows = Vec::new();
    if has("reducer", "") {
        let width = Style::default().waste;
        let mut shapes = vec![level_line(width, &[])];
        shapes.extend(symbols::reducer(&right).shapes);
        rows.push(drawn(shapes, 3.4, "Reducer"));
    }
    let mut add = |symbol: Symbol, words: &str| rows.push(sample(&symbol, words));
    for (kind, word, words) in CLEANOUTS {
        if has("cleanout", word) {
            let ends = matches!(kind, CleanoutKind::Stack | CleanoutKind::End);
            let axes = if ends { level } else { Axes::UP };
            add(symbols::cleanout(kind, &axes), words);
        }
    }
    let valve = |(kind, of): &(&str, &str)| *kind == "valve" && !of.is_empty();
    if shown.symbols.iter().any(valve) {
        let words = "Backwater valve, wedge points downstream";
        add(symbols::backwater_valve(&level), words);
    }
    if has("terminal", "") {
        add(symbols::vent_terminal(&Axes::UP), "VTR, vent through roof");
    }
    if has("valve", "") {
        add(symbols::air_valve(&Axes::UP), "AAV, air admittance valve");
    }
    if has("basin", "") {
        add(symbols::basin(&level), "Ejector basin");
    }
    if has("exit", "") {
        add(symbols::exit_mark(&level), "Exit, outside face of wall");
    }
    if has("match", "") {
        let words = "Match mark: continued on the sheet named";
        add(symbols::match_mark("", symbols::MARK_CAP, &level), words);
    }
    if has("like", "") {
        let words = "Built from here on as the mark of that letter on the sheet named";
        add(symbols::match_mark("", symbols::MARK_CAP, &level), words);
    }
    rows
}

/// Kinds of cleanouts, each with the type that its symbol carries.
const CLEANOUTS: [(CleanoutKind, &str, &str); 6] = [
    (CleanoutKind::Floor, "floor", "FCO, floor cleanout"),
    (CleanoutKind::Wall, "wall", "WCO, wall cleanout"),
    (CleanoutKind::Grade, "grade", "COTG, cleanout to grade"),
    (
        CleanoutKind::TwoWay,
        "two-way",
        "2-way CO, two-way cleanout",
    ),
    (CleanoutKind::Stack, "stack", "CO, cleanout in a stack"),
    (CleanoutKind::End, "end", "CO, cleanout in the drain's line"),
];

/// Fixtures: those that are drawn alike share a row.
fn fixtures(shown: &Shown<'_>) -> Vec<Row> {
    let level = Axes::along(Vec2::new(
        crate::projection::COS30,
        -crate::projection::SIN30,
    ));
    let mut alike: Vec<(Symbol, Vec<&str>)> = Vec::new();
    for (_, word) in shown.symbols.iter().filter(|(k, _)| *k == "fixture") {
        let symbol = symbols::fixture(word, &level);
        let same = |s: &Symbol| {
            s.shapes.len() == symbol.shapes.len()
                && (s.shapes.iter().zip(&symbol.shapes)).all(|(a, b)| a.path == b.path)
        };
        match alike.iter_mut().find(|(s, _)| same(s)) {
            Some((_, words)) => words.push(word),
            None => alike.push((symbol, vec![word])),
        }
    }
    let said = |word: &str| match word == symbols::PLAIN {
        true => "fixture, by its tag in the schedule".to_owned(),
        false => word.to_owned(),
    };
    let row = |(symbol, words): (Symbol, Vec<&str>)| {
        let words: Vec<String> = words.into_iter().map(said).collect();
        sample(&symbol, &words.join(", "))
    };
    alike.into_iter().map(row).collect()
}

/// A symbol by itself.
fn sample(symbol: &Symbol, words: &str) -> Row {
    let by = symbol.hull.iter().fold(None, |r: Option<Rect>, p| {
        let p = Rect::from_points(*p, *p);
        Some(r.map_or(p, |r| r.union(p)))
    });
    let by = by.unwrap_or_default();
    let middle = by.center() - Point::ORIGIN;
    let shapes = symbol.clone().moved(-middle).shapes;
    drawn(shapes, by.height() + 0.6, words)
}

/// Letters and signs that stand in the words of the drawing.
fn letters(shown: &Shown<'_>) -> Vec<Row> {
    let has = |part: &'static str| shown.says(|w| w.contains(part));
    let word = |mark: &'static str| shown.says(|w| w.split(' ').any(|p| p == mark));
    let all = [
        ("IE", "Invert elevation, bottom of the bore", word("IE")),
        ("F.F. EL.", "Finished floor elevation", has("F.F. EL.")),
        ("DFU", "Drainage fixture units", has(" DFU")),
        ("L/s", "Litres per second to carry", has(" L/s")),
        ("DN", "Nominal size, mm", word("DN")),
        ("@", "Fall of the drain", word("@")),
        ("UP", "Rises, downstream to upstream", word("UP")),
        ("*", "Proposed, not stated in the job", shown.says(starred)),
        ("(E)", "Existing", has("(E)")),
        (
            "(C)",
            "Changed on site, see the table of changes",
            has("(C)"),
        ),
        ("(F)", "Future, roughed in and counted", has("(F)")),
    ];
    let here = all.into_iter().filter(|(.., here)| *here);
    here.map(|(mark, said, _)| row(Cell::words(mark), said))
        .collect()
}

fn starred(words: &str) -> bool {
    words.ends_with('*')
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
