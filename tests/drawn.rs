//! The samples' sheets as the whole pipeline draws them: each legend is that of its sheet, pipes
//! that meet in a cross have their dot, panels stand in columns, and what a reader needs stands
//! on the sheet where it is needed.

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use kurbo::{PathEl, Point, Rect, Shape as _};
use stackfall::assets;
use stackfall::pipeline::{self, Options};
use stackfall::sheets::{self, Anchor, DrawingKind, Item, Role, Sheet, SheetSet, Text, Weight};

use common::{SAMPLES, sample_text};

/// What the samples do not have: fixtures that are there already or to come.
const OTHERS: &str = r#"
[job]
title = "Others"
code = "ipc-2021"
[floors]
first = { level = "0" }
second = { level = "10'" }
roof = { level = "20'" }
[exit]
[stacks]
S1 = {}
[fixtures]
WC-1 = { kind = "water closet", floor = "first", into = "S1" }
LAV-1 = { kind = "lavatory", floor = "first", into = "S1", existing = true }
LAV-2 = { kind = "lavatory", floor = "second", into = "S1", future = true }
"#;

fn sets() -> &'static BTreeMap<String, SheetSet> {
    static SETS: OnceLock<BTreeMap<String, SheetSet>> = OnceLock::new();
    SETS.get_or_init(|| {
        let read = |name: &str| (name.to_owned(), sample_text(name));
        let mut texts: Vec<(String, String)> = SAMPLES.iter().map(|name| read(name)).collect();
        texts.push(("others".to_owned(), OTHERS.to_owned()));
        texts
            .into_iter()
            .map(|(name, text)| {
                let run = pipeline::run_text(&name, "job.toml", &text, &Options::default());
                let run = run.unwrap_or_else(|f| panic!("{name}: {:?}", f.problems));
                (name, run.sheets)
            })
            .collect()
    })
}

fn drawings() -> impl Iterator<Item = &'static Sheet> {
    let all = sets().values().flat_map(|s| &s.sheets);
    all.filter(|s| s.drawing == DrawingKind::Isometric)
}

fn said<'a>(item: &'a Item, key: &str) -> &'a str {
    let found = item.data.iter().find(|(k, _)| *k == key);
    found.map_or("", |(_, v)| v.as_str())
}

fn panel<'a>(sheet: &'a Sheet, name: &str) -> Option<&'a Item> {
    let mut panels = sheet.items.iter().filter(|i| i.role == Role::Panel);
    panels.find(|i| said(i, "panel") == name)
}

fn words(item: &Item) -> String {
    let texts: Vec<&str> = item.texts.iter().map(|t| t.text.as_str()).collect();
    texts.join(" ")
}

/// Rows that the legend of a sheet must have, from what is drawn on it: the other way round from
/// how the legend is made.
fn called_for(sheet: &Sheet) -> BTreeSet<&'static str> {
    let mut rows = BTreeSet::new();
    let mut words: Vec<&str> = Vec::new();
    for item in &sheet.items {
        match item.role {
            Role::Pipe => {
                rows.insert(match (said(item, "system"), said(item, "state")) {
                    ("waste", "existing") => "EXISTING DRAIN (E)",
                    ("waste", _) => "DRAIN, SOIL OR WASTE",
                    ("vent", "existing") => "EXISTING VENT (E)",
                    ("vent", _) => "VENT",
                    other => panic!("no row for {other:?}"),
                });
                let path = &item.shapes[0].path;
                let starts = path.elements().iter();
                if starts.filter(|e| matches!(e, PathEl::MoveTo(_))).count() > 1 {
                    rows.insert("GAP: PIPE PASSES BEHIND");
                }
            }
            Role::Symbol => {
                rows.insert(match (said(item, "kind"), said(item, "type")) {
                    ("reducer", _) => "REDUCER",
                    ("terminal", _) => "VTR, VENT THROUGH ROOF",
                    ("exit", _) => "EXIT, OUTSIDE FACE OF WALL",
                    ("match", _) => "MATCH MARK: CONTINUED ON THE SHEET NAMED",
                    ("basin", _) => "EJECTOR BASIN",
                    ("valve", "") => "AAV, AIR ADMITTANCE VALVE",
                    ("valve", _) => "BACKWATER VALVE, WEDGE POINTS DOWNSTREAM",
                    ("cleanout", "floor") => "FCO, FLOOR CLEANOUT",
                    ("cleanout", "wall") => "WCO, WALL CLEANOUT",
                    ("cleanout", "grade") => "COTG, CLEANOUT TO GRADE",
                    ("cleanout", "two-way") => "2-WAY CO, TWO-WAY CLEANOUT",
                    ("cleanout", "stack") => "CO, CLEANOUT IN A STACK",
                    ("cleanout", "end") => "CO, CLEANOUT IN THE DRAIN'S LINE",
                    ("fixture", "water closet") => "WATER CLOSET",
                    ("fixture", "lavatory") => "LAVATORY",
                    ("fixture", "bathtub") => "BATHTUB",
                    ("fixture", "shower") => "SHOWER",
                    ("fixture", "bidet") => "BIDET",
                    ("fixture", "sink") => "SINK",
                    ("fixture", "kitchen sink") => "KITCHEN SINK",
                    ("fixture", "bar sink") => "BAR SINK",
                    ("fixture", "laundry tub") => "LAUNDRY TUB",
                    ("fixture", "clothes washer") => "CLOTHES WASHER",
                    ("fixture", "floor drain") => "FLOOR DRAIN",
                    ("fixture", "condensate") => "CONDENSATE",
                    other => panic!("no row for {other:?}"),
                });
            }
            Role::Mark => {
                rows.insert(match said(item, "kind") {
                    "junction" => "DOT: PIPES JOIN",
                    "floor" => "FLOOR OR ROOF",
                    "hatch" => "HATCHED: A 45° RUN, DRAWN ON AN AXIS",
                    other => panic!("no row for {other:?}"),
                });
            }
            _ => {}
        }
        if matches!(item.role, Role::Label | Role::Mark) {
            words.extend(item.texts.iter().map(|t| t.text.as_str()));
        }
    }
    let has = |part: &str| words.iter().any(|w| w.contains(part));
    for (part, row) in [
        ("IE ", "IE INVERT ELEVATION, BOTTOM OF THE BORE"),
        ("F.F. EL.", "F.F. EL. FINISHED FLOOR ELEVATION"),
        (" DFU", "DFU DRAINAGE FIXTURE UNITS"),
        (" L/s", "L/s LITRES PER SECOND TO CARRY"),
        ("DN ", "DN NOMINAL SIZE, MM"),
        (" @ ", "@ FALL OF THE DRAIN"),
        (" UP ", "UP RISES, DOWNSTREAM TO UPSTREAM"),
        ("*", "* PROPOSED, NOT STATED IN THE JOB"),
        ("(E)", "(E) EXISTING"),
        ("(C)", "(C) CHANGED ON SITE, SEE THE TABLE OF CHANGES"),
        ("(F)", "(F) FUTURE, ROUGHED IN AND COUNTED"),
    ] {
        if has(part) {
            rows.insert(row);
        }
    }
    rows
}

#[test]
fn a_legend_lists_what_stands_on_its_sheet_and_nothing_else() {
    let mut seen = BTreeSet::new();
    for sheet in drawings() {
        let legend = panel(sheet, "legend").expect("a drawing has its legend");
        let place = format!("{} {}", sheet.number, sheet.title);
        let mut left = format!(" {} ", words(legend)).replacen(" LEGEND ", " ", 1);
        let mut rows: Vec<&str> = called_for(sheet).into_iter().collect();
        seen.extend(rows.iter().copied());
        // A long row may hold the words of a short one.
        rows.sort_by_key(|r| std::cmp::Reverse(r.len()));
        for row in rows {
            let row = format!(" {row} ");
            assert!(left.contains(&row), "{place}: the legend lacks{row}");
            left = left.replacen(&row, "  ", 1);
        }
        assert_eq!(left.trim(), "", "{place}: in the legend, not on the sheet");
    }
    // The jobs of this test have what the test is about.
    for row in [
        "DOT: PIPES JOIN",
        "GAP: PIPE PASSES BEHIND",
        "REDUCER",
        "FLOOR OR ROOF",
        "MATCH MARK: CONTINUED ON THE SHEET NAMED",
        "HATCHED: A 45° RUN, DRAWN ON AN AXIS",
        "(F) FUTURE, ROUGHED IN AND COUNTED",
    ] {
        assert!(seen.contains(row), "no sheet shows {row}");
    }
}

/// The ends of a pipe on paper, upstream first.
fn ends(item: &Item) -> [Point; 2] {
    let mut points = item.shapes[0].path.elements().iter();
    let first = points.next().and_then(PathEl::end_point);
    let last = points.next_back().and_then(PathEl::end_point);
    [first.expect("a start"), last.expect("an end")]
}

#[test]
fn pipes_that_meet_in_a_cross_have_a_dot() {
    let mut dots = 0;
    for sheet in drawings() {
        let mut met: BTreeMap<&str, Vec<Point>> = BTreeMap::new();
        for item in sheet.items.iter().filter(|i| i.role == Role::Pipe) {
            for (key, at) in ["from", "to"].into_iter().zip(ends(item)) {
                met.entry(said(item, key)).or_default().push(at);
            }
        }
        let centre = |i: &Item| i.shapes[0].path.bounding_box().center();
        let junction = |i: &&Item| i.role == Role::Mark && said(i, "kind") == "junction";
        let marked: BTreeMap<&str, Point> = (sheet.items.iter().filter(junction))
            .map(|i| (said(i, "for"), centre(i)))
            .collect();
        // A match mark stands for its pipe, at the cut, not for a joint.
        let symbols = sheet.items.iter().filter(|i| i.role == Role::Symbol);
        let symbols = symbols.filter(|i| said(i, "kind") != "match");
        let stood: BTreeSet<&str> = symbols.map(|i| said(i, "for")).collect();
        for (joint, places) in &met {
            let cross = places.len() >= 4 && !stood.contains(joint);
            assert_eq!(
                cross,
                marked.contains_key(joint),
                "{} {joint}",
                sheet.number
            );
            if let Some(dot) = marked.get(joint) {
                assert!(places.iter().all(|p| (*p - *dot).hypot() < 0.01), "{joint}");
                dots += 1;
            }
        }
        assert!(marked.keys().all(|joint| met.contains_key(joint)));
        // A dot touches no lettering.
        for label in sheet.items.iter().filter(|i| i.role == Role::Label) {
            for text in label
                .texts
                .iter()
                .filter(|t| t.slant == sheets::Slant::Level)
            {
                let clear = |dot: &Point| ink(text).inflate(0.95, 0.95).contains(*dot);
                assert!(!marked.values().any(clear), "{}", text.text);
            }
        }
    }
    assert!(dots >= 3, "{dots}");
}

fn ink(t: &Text) -> Rect {
    let w = assets::width(&t.text, t.weight) * t.em;
    let x = match t.anchor {
        Anchor::Start => t.at.x,
        Anchor::Middle => t.at.x - w / 2.0,
        Anchor::End => t.at.x - w,
    };
    Rect::new(x, t.at.y - t.em * assets::CAP, x + w, t.at.y)
}

fn covers(item: &Item) -> Rect {
    let shapes = item.shapes.iter().map(|s| s.path.bounding_box());
    let all = shapes.chain(item.texts.iter().map(ink));
    all.reduce(|a, b| a.union(b)).expect("a panel has ink")
}

/// Panels of a drawing stand in columns at the field's upper or lower edge, one left edge and one
/// gap to a column, rather than in whatever hole is nearest.
#[test]
fn panels_stand_in_columns_at_the_edges() {
    for sheet in drawings() {
        let frame = sheets::layout(sheet.paper);
        let mut columns: BTreeMap<i64, Vec<Rect>> = BTreeMap::new();
        let panels = sheet.items.iter().filter(|i| i.role == Role::Panel);
        for at in panels.map(covers).filter(|b| b.x0 < frame.field.x1) {
            let edge = (at.x0 * 10.0).round() as i64;
            columns.entry(edge).or_default().push(at);
        }
        for mut column in columns.into_values() {
            column.sort_by(|a, b| a.y0.total_cmp(&b.y0));
            let hangs = column[0].y0 < frame.field.y0 + 1.0;
            // Clear paper is kept below the last line of words under a table.
            let stands = column[column.len() - 1].y1 > frame.field.y1 - 5.0;
            let place = format!("{} {}: {column:?}", sheet.number, sheet.title);
            assert!(hangs || stands, "{place}");
            let gaps: Vec<f64> = column.windows(2).map(|w| w[1].y0 - w[0].y1).collect();
            if !(hangs && stands) {
                let even = |g: &f64| (g - gaps[0]).abs() < 5.0;
                assert!(gaps.iter().all(even), "{gaps:?} {place}");
            }
        }
    }
}

/// A table of one row or two would leave paper, and lettering of 2.5 mm is hard to read: sheets
/// of tables take the lettering that fills them.
#[test]
fn sheets_of_tables_fill_their_field() {
    // Both drawings have room for all tables.
    assert_eq!(sets()["quarry-flats"].sheets.len(), 2);
    for (name, sheets, least) in [("alder-court", 2, 4.0)] {
        let set = &sets()[name];
        assert_eq!(set.sheets.len(), sheets, "{name}: never more sheets");
        let tables = |s: &&Sheet| s.drawing == DrawingKind::Tables;
        for sheet in set.sheets.iter().filter(tables) {
            let panels = || sheet.items.iter().filter(|i| i.role == Role::Panel);
            let caps = panels().flat_map(|p| &p.texts).map(|t| t.em * assets::CAP);
            assert!(caps.fold(f64::INFINITY, f64::min) >= least - 1e-6, "{name}");
            let field = sheets::layout(sheet.paper).field;
            let covered: f64 = panels().map(|p| covers(p).area()).sum();
            assert!(covered > 0.55 * field.area(), "{name}: {covered}");
        }
    }
}

#[test]
fn every_sheet_with_a_match_mark_has_their_table() {
    let mut tables = 0;
    for sheet in drawings() {
        let marks = sheet.items.iter().filter(|i| said(i, "kind") == "match");
        let names: BTreeSet<&str> = marks.map(|i| said(i, "match")).collect();
        let Some(table) = panel(sheet, "match-marks") else {
            assert!(names.is_empty(), "{}: no table of {names:?}", sheet.number);
            continue;
        };
        let own: Vec<&str> = table.texts.iter().map(|t| t.text.as_str()).collect();
        assert!(names.iter().all(|n| own.contains(n)), "{own:?}");
        tables += 1;
    }
    assert!(tables >= 2);
    // Where the stack goes on, the invert of its base is not that of the cut.
    let up = &sets()["quarry-flats"].sheets[1];
    let labels = up.items.iter().filter(|i| i.role == Role::Label);
    let stack: Vec<String> = labels.map(words).filter(|w| w.contains("STACK")).collect();
    assert_eq!(stack, ["STACK S1 SEE P-901"]);
    let table = words(panel(up, "match-marks").expect("a table"));
    assert!(table.contains("BASE OF S1, ON main, IE -4′-3½″"), "{table}");
}

#[test]
fn general_notes_break_with_company_and_state_the_tests() {
    for (name, figures) in [
        (
            "garden-cottage",
            ["5′-0″", "5 psi", "15 MINUTES (P2503.5.1)"],
        ),
        ("quarry-flats", ["10′-0″", "5 psi", "15 MINUTES (312.2)"]),
        (
            "mill-house",
            ["1.524 m", "34.5 kPa", "15 MINUTES (P2503.5.1)"],
        ),
    ] {
        let all = sets()[name].sheets.iter().flat_map(|s| &s.items);
        let notes: Vec<&Item> = all
            .filter(|i| said(i, "panel") == "general-notes")
            .collect();
        let text: String = notes.iter().map(|n| words(n) + " ").collect();
        for figure in figures {
            assert!(text.contains(figure), "{name}: no {figure} in {text}");
        }
        for part in notes {
            let number = |t: &&Text| t.text.parse::<usize>().is_ok();
            let count = part.texts.iter().filter(number).count();
            assert!(count >= 3, "{name}: {count} notes by themselves");
        }
    }
}

#[test]
fn the_title_block_has_the_address_of_who_drew_it() {
    let text = OTHERS.replace(
        "title = \"Others\"",
        "title = \"Others\"\ndrawn_by = \"A. Drafter\"\ndrawn_by_address = \"12 Plumb Row, Otley\"",
    );
    let run = pipeline::run_text("others", "job.toml", &text, &Options::default());
    let run = run.unwrap_or_else(|f| panic!("{:?}", f.problems));
    for sheet in &run.sheets.sheets {
        let strip = sheet.items.iter().filter(|i| i.role == Role::None);
        let texts: Vec<&Text> = strip.flat_map(|i| &i.texts).collect();
        let found = texts.iter().find(|t| t.text == "12 PLUMB ROW, OTLEY");
        assert!(found.is_some_and(|t| t.weight == Weight::Regular));
    }
}

/// Whoever holds one sheet of several holds the figures of the pipes drawn on it; what has no room
/// there stands in the schedule of the set.
#[test]
fn each_of_several_drawings_lists_its_pipes() {
    let set = &sets()["quarry-flats"];
    let drawn = |s: &&Sheet| s.drawing == DrawingKind::Isometric;
    assert!(set.sheets.iter().filter(drawn).count() > 1, "several");
    let words = |sheet: &Sheet, name: &str| -> BTreeSet<String> {
        let is = |i: &&Item| i.data.iter().any(|(k, v)| *k == "panel" && v == name);
        let panels = sheet.items.iter().filter(|i| i.role == Role::Panel);
        let texts = panels.filter(is).flat_map(|p| &p.texts);
        texts
            .map(|t| t.text.trim_end_matches('*').to_owned())
            .collect()
    };
    let elsewhere: BTreeSet<String> = set.sheets.iter().flat_map(|s| words(s, "pipes")).collect();
    for sheet in set.sheets.iter().filter(drawn) {
        let here = words(sheet, "pipes-here");
        for pipe in sheet.items.iter().filter(|i| i.role == Role::Pipe) {
            let listed = match here.is_empty() {
                true => &elsewhere,
                false => &here,
            };
            let is = |w: &String| w.split_whitespace().next() == Some(pipe.id.as_str());
            assert!(listed.iter().any(is), "{}: {}", sheet.number, pipe.id);
        }
    }
    assert!(
        set.sheets
            .iter()
            .any(|s| !words(s, "pipes-here").is_empty())
    );
}
