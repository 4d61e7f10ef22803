//! Sheets of the samples on every paper: nothing overlaps, nothing is small, nothing is dropped.

mod common;

use std::collections::BTreeSet;
use std::path::Path;

use kurbo::{Rect, Shape as _};
use stackfall::assets;
use stackfall::captions;
use stackfall::codebook::Book;
use stackfall::findings::{self, Findings};
use stackfall::job::{self, Job};
use stackfall::linework;
use stackfall::network::{self, Network};
use stackfall::placement::{self, Figures};
use stackfall::proposals;
use stackfall::sheets::{
    self, DrawingKind, Inputs, Paper, Role, Scene, Sheet, SheetSet, Text, Weight,
};
use stackfall::solve::{self, Solution};

use common::{SAMPLES, sample_text};

/// Everything up to the sheets.
struct Made {
    job: Job,
    net: Network,
    book: std::sync::Arc<Book>,
    solution: Solution,
    findings: Findings,
}

impl Made {
    fn of(name: &str, text: &str) -> Made {
        let job = job::read(name, "job.toml", text).expect("the sample reads");
        let code = job.code.as_ref().map_or("irc-2021", |c| c.value.as_str());
        let book = Book::open(code, Path::new("."), &[]).expect("a built-in book");
        let stated = network::build(&job).expect("the sample's network stands");
        let (net, _) = proposals::complete(&job, stated, &book);
        let solution = solve::solve(&job, &net, &book);
        let findings = findings::run(&job, &net, &book, &solution);
        Made {
            job,
            net,
            book,
            solution,
            findings,
        }
    }
    fn sample(name: &str) -> Made {
        Made::of(name, &sample_text(name))
    }
    fn inputs(&self, paper: Paper) -> Inputs<'_> {
        Inputs {
            job: &self.job,
            net: &self.net,
            book: &self.book,
            solution: &self.solution,
            findings: &self.findings,
            paper,
            marks: &[],
            shows: &[],
            scale: None,
            typical: None,
            standing: None,
        }
    }
    fn scene(&self, paper: Paper) -> Scene {
        let field = sheets::layout(paper).field;
        let captions = captions::permit(
            &captions::Subject {
                job: &self.job,
                net: &self.net,
                solution: &self.solution,
                typical: None,
            },
            2.5,
            &[],
        );
        let figures = Figures::of(&self.job, &self.net);
        let plan = placement::plan(&self.job, &self.net, &captions, &figures, field);
        let style = linework::Style::default();
        linework::scene(
            &linework::Subject {
                job: &self.job,
                net: &self.net,
                solution: &self.solution,
                captions: &captions,
                figures: &figures,
            },
            &plan,
            field,
            &style,
        )
    }
    fn set(&self, paper: Paper) -> SheetSet {
        sheets::compose(&self.inputs(paper), vec![self.scene(paper)])
    }
}

fn paper(name: &str) -> Paper {
    sheets::paper(name).expect("a known paper")
}

#[test]
fn north_is_drawn_only_where_the_job_has_it() {
    let paper = paper("arch-d");
    let garden = Made::sample("garden-cottage");
    assert_eq!(garden.scene(paper).north, None);
    let said = words(&garden.set(paper));
    assert!(said.contains("PLAN NORTH IS NOT STATED"), "{said}");
    assert!(Made::sample("mill-house").scene(paper).north.is_some());
}

#[test]
fn the_backwater_note_gives_the_levels_that_decide() {
    // 34 in and 31 in of rim on a floor at -8′-10″, a manhole rim at -6′-1″.
    let paper = paper("arch-d");
    let said = words(&Made::sample("alder-court").set(paper));
    for part in [
        "FD-1 AT -8′-10″, 2′-9″ BELOW",
        "LT-1 AT -6′-0″, 0′-1″ ABOVE",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

/// An empty drawing: the whole field is free.
fn blank(paper: Paper, notes: usize) -> Scene {
    let field = sheets::layout(paper).field;
    Scene {
        items: Vec::new(),
        field,
        margins: sheets::Margins::whole(field),
        free: vec![field].into(),
        notes: (1..=notes)
            .map(|i| {
                (
                    i.to_string(),
                    format!("3″ @ ¼″/ft, keyed note number {i} of the drawing"),
                )
            })
            .collect(),
        north: Some((0.866, -0.5)),
        title: "Drain, waste and vent isometric".into(),
    }
}

fn ink(t: &Text) -> Rect {
    let w = assets::width(&t.text, t.weight) * t.em;
    let x = match t.anchor {
        sheets::Anchor::Start => t.at.x,
        sheets::Anchor::Middle => t.at.x - w / 2.0,
        sheets::Anchor::End => t.at.x - w,
    };
    // Capitals and descenders.
    Rect::new(x, t.at.y - t.em * assets::CAP, x + w, t.at.y + t.em * 0.2)
}

/// Texts of a sheet that compose set: panels, notes and the strip.
fn set_texts(sheet: &Sheet) -> Vec<&Text> {
    let own = |r: Role| matches!(r, Role::None | Role::Panel | Role::Note);
    sheet
        .items
        .iter()
        .filter(|i| own(i.role))
        .flat_map(|i| &i.texts)
        .collect()
}

fn check(sheet: &Sheet) {
    let frame = sheets::layout(sheet.paper);
    let texts = set_texts(sheet);
    let boxes: Vec<Rect> = texts.iter().map(|t| ink(t)).collect();
    for (i, t) in texts.iter().enumerate() {
        assert!(t.em * assets::CAP >= 2.38, "small: {}", t.text);
        assert!(
            assets::missing(&t.text).is_none(),
            "cannot be lettered: {}",
            t.text
        );
        let b = boxes[i];
        assert!(
            b.x0 >= frame.border.x0
                && b.x1 <= frame.border.x1 - 0.3
                && b.y0 >= frame.border.y0
                && b.y1 <= frame.border.y1,
            "{} {:?}: `{}` leaves the border at {b:?}",
            sheet.number,
            sheet.paper.name,
            t.text
        );
        let strip = b.x0 >= frame.title.x0;
        assert!(
            strip || b.x1 <= frame.field.x1 + 0.1 && b.y1 <= frame.field.y1 + 0.8,
            "{} {}: `{}` leaves the field at {b:?}",
            sheet.number,
            sheet.paper.name,
            t.text
        );
        for (j, o) in boxes.iter().enumerate().skip(i + 1) {
            let both = b.intersect(*o);
            assert!(
                both.width() <= 0.1 || both.height() <= 0.1,
                "{} {}: `{}` lies on `{}`",
                sheet.number,
                sheet.paper.name,
                t.text,
                texts[j].text
            );
        }
    }
}

/// Panels keep to free paper: no shape or text of the drawing lies in a panel's box.
fn check_panels(sheet: &Sheet) {
    let frame = sheets::layout(sheet.paper);
    let boxes = |role: fn(Role) -> bool| -> Vec<Rect> {
        let of = |i: &sheets::Item| {
            let shapes = i.shapes.iter().map(|s| s.path.bounding_box());
            shapes
                .chain(i.texts.iter().map(ink))
                .reduce(|a, b| a.union(b))
        };
        sheet
            .items
            .iter()
            .filter(|i| role(i.role))
            .filter_map(of)
            .collect()
    };
    let panels = boxes(|r| r == Role::Panel);
    for (i, a) in panels.iter().enumerate() {
        for b in &panels[i + 1..] {
            // Six millimetres of clear paper between any two.
            let both = a.inflate(3.0, 3.0).intersect(b.inflate(3.0, 3.0));
            assert!(
                both.width() < 0.1 || both.height() < 0.1,
                "{} {}: panels {a:?} {b:?}",
                sheet.number,
                sheet.paper.name
            );
        }
    }
    let parts = sheet.items.iter().filter(|i| {
        matches!(
            i.role,
            Role::Symbol | Role::Label | Role::Mark | Role::Leader | Role::Pipe
        )
    });
    for item in parts {
        let segments = item.shapes.iter().flat_map(|s| s.path.segments());
        let marks = segments
            .map(|s| s.bounding_box())
            .filter(|b| b.width() < 20.0);
        for b in marks.chain(
            item.texts
                .iter()
                .filter(|t| t.slant == sheets::Slant::Level)
                .map(ink),
        ) {
            for p in panels.iter().filter(|p| p.x0 < frame.field.x1) {
                let both = p.intersect(b);
                assert!(
                    both.width() < 0.1 || both.height() < 0.1,
                    "{} lies on a panel {p:?}",
                    item.id
                );
            }
        }
    }
}

fn words(set: &SheetSet) -> String {
    let mut words = String::new();
    for t in set.sheets.iter().flat_map(|s| set_texts(s)) {
        words.push_str(&t.text);
        words.push(' ');
    }
    words
}

#[test]
fn every_sample_fills_its_sheets_cleanly() {
    for name in SAMPLES {
        let made = Made::sample(name);
        for paper_name in ["arch-d", "a1"] {
            let set = made.set(paper(paper_name));
            for sheet in &set.sheets {
                check(sheet);
                check_panels(sheet);
            }
            let words = words(&set);
            assert!(!words.contains('`'), "{name}: a backtick");
            assert!(
                made.net.runs.iter().all(|r| words.contains(&r.id)),
                "{name}: a run's id is not as it was written"
            );
            let ids: Vec<&str> = set
                .sheets
                .iter()
                .flat_map(|s| &s.items)
                .filter(|i| i.role == Role::Panel)
                .map(|i| i.id.as_str())
                .collect();
            assert_eq!(
                ids.iter().collect::<BTreeSet<_>>().len(),
                ids.len(),
                "{ids:?}"
            );
        }
    }
}

#[test]
fn nothing_is_dropped_on_any_paper() {
    let made = Made::sample("garden-cottage");
    for p in sheets::PAPERS {
        let set = sheets::compose(&made.inputs(*p), vec![blank(*p, 3)]);
        let words = words(&set);
        for sheet in &set.sheets {
            check(sheet);
        }
        for f in &made.job.fixtures {
            assert!(
                words.contains(&f.name),
                "{}: {} is not scheduled",
                p.name,
                f.name
            );
        }
        // No legend: nothing is drawn.
        for part in [
            "APPROVAL STAMP",
            "SEAL",
            "GENERAL NOTES",
            "LOAD TOTALS",
            "FLOOR",
        ] {
            let small = p.height < 260.0 && part == "APPROVAL STAMP";
            assert!(small || words.contains(part), "{}: no {part}", p.name);
        }
        assert!(words.contains("CAUTION"), "{}: no caution", p.name);
        assert_eq!(set.sheets[0].number, "P-901");
        let keys = set.sheets[0]
            .items
            .iter()
            .filter(|i| i.role == Role::Note)
            .count();
        assert_eq!(keys, 3, "{}: keyed notes stand on their own sheet", p.name);
        for (i, s) in set.sheets.iter().enumerate() {
            let of = format!("{} OF {}", i + 1, set.sheets.len());
            assert!(
                set_texts(s).iter().any(|t| t.text == of),
                "{}: no {of}",
                s.number
            );
            assert_eq!(
                s.number.starts_with("P-6"),
                s.drawing == DrawingKind::Tables
            );
        }
    }
}

#[test]
fn a_full_drawing_sends_its_tables_to_further_sheets() {
    let made = Made::sample("alder-court");
    let p = paper("arch-b");
    let full = Scene {
        margins: sheets::Margins::none(sheets::layout(p).field),
        free: Vec::new().into(),
        ..blank(p, 0)
    };
    let set = sheets::compose(&made.inputs(p), vec![full]);
    assert!(set.sheets.len() > 2);
    for sheet in &set.sheets {
        check(sheet);
    }
    let words = words(&set);
    for f in &made.job.fixtures {
        assert!(words.contains(&f.name), "{} is not scheduled", f.name);
    }
    for piece in made.net.graph.edge_weights() {
        assert!(
            words.contains(piece.id.as_str()),
            "{} is not scheduled",
            piece.id
        );
    }
}

#[test]
fn hostile_words_stay_within_their_boxes() {
    let mut made = Made::sample("garden-cottage");
    let long = "Wonderfullylongnamewithoutanyspaceatall".repeat(30);
    let t = &mut made.job.title;
    t.title.clone_from(&long);
    t.address = Some(format!("△ {long}\n{long}"));
    t.client = Some(long.clone());
    t.revision = Some(long.clone());
    t.date = Some(long.clone());
    t.scope = Some(long.clone());
    made.job.fixtures[0].room = Some(long.clone());
    made.job.practice.material_below = long;
    for name in ["a4", "ansi-a", "arch-b", "arch-d"] {
        let p = paper(name);
        for sheet in &sheets::compose(&made.inputs(p), vec![blank(p, 1)]).sheets {
            check(sheet);
        }
    }
}

#[test]
fn tables_are_as_wide_as_their_heads() {
    for name in SAMPLES {
        let made = Made::sample(name);
        let tables = sheets::tables(&made.inputs(paper("arch-d")));
        let names: BTreeSet<&str> = tables.iter().map(|t| t.name).collect();
        assert_eq!(names.len(), tables.len());
        for t in &tables {
            assert!(t.rows.iter().all(|r| r.len() == t.head.len()), "{}", t.name);
        }
        let of = |n: &str| tables.iter().find(|t| t.name == n).expect("a table");
        assert_eq!(of("pipes").rows.len(), made.net.graph.edge_count());
        assert_eq!(of("fixtures").rows.len(), made.job.fixtures.len());
        // The totals are those of the sizing: the rows of a place add up to its sum.
        let loads = of("loads");
        for total in &made.solution.sizing.totals {
            let sum: f64 = total.rows.iter().map(|r| r.2.dfu()).sum();
            assert!(sum + 1e-6 >= total.load.dfu(), "{}", total.name);
        }
        assert!(loads.rows.iter().any(|r| r[1].starts_with("total")));
    }
}

#[test]
fn the_same_job_gives_the_same_sheets() {
    let made = Made::sample("garden-cottage");
    let draw = || format!("{:?}", made.set(paper("arch-d")));
    assert_eq!(draw(), draw());
}

#[test]
fn the_strip_names_the_job_on_every_sheet() {
    let made = Made::sample("alder-court");
    let set = made.set(paper("arch-d"));
    for sheet in &set.sheets {
        let words: String = set_texts(sheet)
            .iter()
            .map(|t| t.text.clone() + " ")
            .collect();
        for part in [
            "ALDER COURT",
            "7 ALDER COURT, FERNWICK",
            "NOT TO SCALE",
            "INTERNATIONAL RESIDENTIAL",
        ] {
            assert!(words.contains(part), "{}: no {part}", sheet.number);
        }
        let bold = set_texts(sheet)
            .iter()
            .filter(|t| t.weight == Weight::Bold)
            .count();
        assert!(bold > 5);
    }
}
