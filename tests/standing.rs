//! How the work stands: what is changed on site against what was approved, worked by hand.

mod common;

use common::{HAND, SAMPLES, sample_text};
use serde_json::Value;
use stackfall::diagnostics::{Diagnostic, Severity, line_column};
use stackfall::job::{self, edit::edited};
use stackfall::pipeline::{Options, Run, Working, run_text, solve_text};
use stackfall::sheets::{Role, Table};

/// A bath on a stack: the branch falls 1/4 in to the foot from an invert that is stated.
const BATH: &str = r#"
[job]
title = "A bath over a beam"
code = "irc-2021"
fall = { "3" = "1/4" }
stock = [1.5, 2, 3, 4]

[floors]
ground = { level = "0", slab = "4in" }
second = { level = "10'" }
roof = { level = "20'" }

[exit]
invert = "-4'"

[drains]
main = { into = "exit", run = ["lies under slab", "north 22'"], size = 4 }
bath2 = { into = "S1", floor = "second", invert = "-12in", run = ["west 10'"], size = 3 }

[stacks]
S1 = { into = "main", station = "20'" }

[fixtures]
WC-1 = { kind = "water closet", floor = "second", into = "bath2", station = "3'", side = "north", arm = "2'" }
LAV-1 = { kind = "lavatory", floor = "second", into = "bath2", station = "8'", side = "north", run = ["up 2'"], arm = "2'" }
"#;

fn with(text: &str, marks: &str) -> String {
    format!("{text}\n[progress]\n{marks}\n")
}

fn run(text: &str) -> Run {
    run_text("test", "test.toml", text, &Options::default())
        .unwrap_or_else(|f| panic!("{:#?}", f.problems))
}

fn mistakes(text: &str) -> Vec<String> {
    let all = job::read("test", "test.toml", text).expect_err("mistakes");
    all.iter().map(|d| at(d, text)).collect()
}

/// `line:column name`, lines counted from that of `[progress]`.
fn at(d: &Diagnostic, text: &str) -> String {
    let line_of = |at: usize| line_column(text, at);
    let head = text.find("[progress]").expect("a section");
    let (line, column) = line_of(d.span.as_ref().expect("its place").start);
    format!("{}:{column} {}", line - line_of(head).0, d.name)
}

fn table<'t>(tables: &'t [Table], name: &str) -> &'t Table {
    tables.iter().find(|t| t.name == name).expect(name)
}

/// The rows of changes as data, without why.
fn changes(run: &Run) -> Vec<[String; 5]> {
    let tables = run.tables();
    let rows = table(&tables, "changes").rows.iter();
    rows.map(|r| [0, 1, 2, 3, 4].map(|i| r[i].clone()))
        .collect()
}

/// By hand, in feet above zero. The second floor is at 10 ft, the branch falls 1/4 in to the foot:
/// - approved: 10 - 12/12 = 9 at the stack; 3 ft up 9 + 0.75/12 = 9.0625 at WC-1; 8 ft up
///   9 + 2/12 = 9.1667 at LAV-1; its end 10 ft up 9 + 2.5/12 = 9.2083.
/// - on site: 10 - 14/12 = 8.8333; 8.8333 + 0.0625 = 8.8958; 8.8333 + 0.1667 = 9.0: each 2 in, or
///   0.1667 ft, lower. The branch ends at LAV-1: 10 - 8 = 2 ft of it are gone.
#[test]
fn a_drain_that_was_lowered_and_cut_by_hand() {
    let mark = r#"C1 = { on = "bath2", is = "changed", now = { invert = "-14in", run = ["west 8'"] }, why = "a beam" }"#;
    let run = run(&with(BATH, mark));
    let rows = changes(&run);
    let has = |row: [&str; 5]| {
        let found = rows.iter().any(|r| r.iter().eq(row));
        assert!(found, "{row:?} in {rows:#?}");
    };
    // −12 and −14 in, in feet.
    has(["bath2", "stated `invert`", "-1.000", "-1.167", "-0.167"]);
    has(["bath2", "stated `run`", "west 10'", "west 8'", ""]);
    has([
        "bath2.WC-1 to bath2.LAV-1",
        "inverts",
        "9.000 to 9.167",
        "8.833 to 9.000",
        "-0.167",
    ]);
    let lower = |r: &&[String; 5]| r[1].starts_with("invert");
    assert!(
        rows.iter().filter(lower).all(|r| !r[0].starts_with("main")),
        "{rows:#?}"
    );
    let tables = run.tables();
    let why: Vec<&str> = table(&tables, "changes")
        .rows
        .iter()
        .map(|r| r[5].as_str())
        .collect();
    assert!(
        why.contains(&"a beam (C1)") && why.contains(&"follows from C1"),
        "{why:?}"
    );
}

/// By hand: the exit goes from -4 ft to -4 ft 3 in, and all that is laid up from it with it: 3 in, or
/// 0.25 ft, lower; main is at -4 ft at the exit, 12/96 = 0.125 ft higher at WC-1, 20/96 = 0.2083 at
/// LAV-1 and 22/96 = 0.2292 at its end.
#[test]
fn an_exit_that_was_lowered_takes_everything_along() {
    let mark = r#"C1 = { on = "exit", is = "changed", now = { invert = "-4' 3" } }"#;
    let run = run(&with(HAND, mark));
    let rows = changes(&run);
    let main = rows
        .iter()
        .find(|r| r[1] == "inverts" && r[0].starts_with("main"));
    let main = main.unwrap_or_else(|| panic!("{rows:#?}"));
    assert_eq!(main[0], "main.WC-1 to main.end");
    assert_eq!(main[2], "-4.000 to -3.771");
    assert_eq!(main[3], "-4.250 to -4.021");
    assert_eq!(main[4], "-0.250");
}

/// Steeper by 1/8 in to the foot: 12 ft up 1.5 in higher, 20 ft up 2.5 in, 22 ft up 2.75 in; no two
/// places by the same, so each has its row.
#[test]
fn a_steeper_drain_by_hand() {
    let mark = r#"C1 = { on = "main", is = "changed", now = { fall = "1/4" } }"#;
    let rows = changes(&run(&with(HAND, mark)));
    let fall = rows
        .iter()
        .find(|r| r[1] == "fall" && r[0].starts_with("main"));
    let fall = fall.unwrap_or_else(|| panic!("{rows:#?}"));
    assert_eq!(
        fall.each_ref().map(String::as_str),
        ["main.WC-1 to main.end", "fall", "1/8", "1/4", "steeper"]
    );
    let of = |id: &str| {
        let row = rows
            .iter()
            .find(|r| r[0] == id && r[1] == "invert, upper end");
        row.unwrap_or_else(|| panic!("{id}: {rows:#?}"))[4].clone()
    };
    assert_eq!(of("main.WC-1"), "0.125");
    assert_eq!(of("main.LAV-1"), "0.208");
    assert_eq!(of("main.end"), "0.229");
}

/// A `now` that says what the record says leaves no difference, whatever the record.
#[test]
fn a_change_that_changes_nothing_leaves_no_difference() {
    let sections = [
        "exit",
        "drains",
        "stacks",
        "fixtures",
        "vents",
        "cleanouts",
        "valves",
    ];
    for name in SAMPLES {
        let text = sample_text(name);
        // One of them says how its work stands, at its end.
        let text = text
            .split("# How the work stands")
            .next()
            .unwrap_or_default()
            .to_owned();
        let file: toml::Table = text.parse().expect(name);
        let mut marks = String::new();
        let mut add = |on: &str, now: &toml::Value| {
            let empty = now.as_table().is_some_and(|t| t.is_empty());
            if !empty && !on.contains("..") {
                let n = marks.lines().count();
                marks += &format!("MARK{n} = {{ on = \"{on}\", is = \"changed\", now = {now} }}\n");
            }
        };
        for section in sections {
            let Some(all) = file.get(section) else {
                continue;
            };
            match section {
                "exit" => add("exit", all),
                _ => all
                    .as_table()
                    .into_iter()
                    .flatten()
                    .for_each(|(on, now)| add(on, now)),
            }
        }
        assert!(marks.lines().count() > 5, "{name}");
        let path = common::sample_path(name);
        let drawn = |text: &str| {
            let run = run_text("test", &path, text, &Options::default());
            run.unwrap_or_else(|f| panic!("{name}: {:#?}", f.problems))
        };
        let (plain, marked) = (drawn(&text), drawn(&with(&text, &marks)));
        let (before, after) = (plain.result(), marked.result());
        assert_eq!(
            after["progress"]["changes"],
            Value::Array(Vec::new()),
            "{name}"
        );
        for part in [
            "pipes",
            "fixtures",
            "stacks",
            "exit",
            "drawing",
            "proposals",
        ] {
            assert_eq!(before[part], after[part], "{name}: {part}");
        }
        let told = |run: &Run| {
            run.findings
                .iter()
                .map(|d| (d.code, d.at.clone()))
                .collect::<std::collections::BTreeSet<_>>()
        };
        assert_eq!(told(&plain), told(&marked), "{name}");
        // Only the table tells of them.
        let tables = marked.tables();
        let rows = &table(&tables, "changes").rows;
        assert!(
            rows.iter().all(|r| r[1] == "as approved"),
            "{name}: {rows:#?}"
        );
        assert!(words(&marked).iter().all(|w| !w.contains("(C)")), "{name}");
    }
}

/// All words of the drawings.
fn words(run: &Run) -> Vec<String> {
    let sheets = run.sheets.sheets.iter().flat_map(|s| &s.items);
    let labels = sheets.filter(|i| i.role == Role::Label);
    labels
        .flat_map(|i| i.texts.iter().map(|t| t.text.clone()))
        .collect()
}

/// Spelled otherwise, or in another order, it is still the same.
#[test]
fn another_spelling_is_no_change() {
    let mark = r#"C1 = { on = "bath2", is = "changed", now = { run = [ "west 120in" ], invert = "-1'", size = "3" } }"#;
    let run = run(&with(BATH, mark));
    let rows = changes(&run);
    assert_eq!(rows.len(), 1, "{rows:#?}");
    assert_eq!(rows[0][1], "as approved");
}

#[test]
fn mistakes_stand_at_their_places() {
    let text = with(
        HAND,
        r#"A1 = { on = "man", is = "roughed in" }
A2 = { on = "main", is = "changed" }
A3 = { on = "main", is = "tested", now = { size = 3 } }
A4 = { on = "main", is = "changed", now = {} }
A5 = { on = "WC-1", is = "changed", now = { arm = "2 yards", flor = "ground" } }
A6 = { on = "LAV-1", is = "changed", now = { arm = "1' 6", into = "mian" } }
A7 = { on = "LAV-1", is = "changed", now = { arm = "1' 9" } }
A8 = { on = "LAV-1.vent", is = "changed", now = { size = 2 } }
A9 = { on = "A1", is = "finished" }
B1 = { is = "changed", now = "lower" }
B2 = { on = "S3..S1", is = "tested" }"#,
    );
    assert_eq!(
        mistakes(&text),
        [
            "1:13 unknown-name",
            "2:26 changed-without-now",
            "3:36 now-without-changed",
            "4:37 changed-without-now",
            "5:51 unreadable-length",
            "5:62 unknown-key",
            "6:67 unknown-name",
            "7:52 changed-twice",
            "8:13 wrong-kind-of-thing",
            "9:13 wrong-kind-of-thing",
            "9:24 unknown-word",
            "10:1 missing-key",
            "10:30 wrong-type",
            "11:13 unreadable-range",
        ]
    );
}

/// Names of what was proposed are known once it is.
#[test]
fn proposed_parts_can_be_marked() {
    let marks = r#"T1 = { on = ["LAV-1.vent", "main"], is = "tested" }"#;
    let tables = run(&with(HAND, marks)).tables();
    let parts: Vec<&str> = table(&tables, "standing")
        .rows
        .iter()
        .map(|r| r[0].as_str())
        .collect();
    assert_eq!(parts, ["LAV-1.vent", "main"]);
    let text = with(HAND, r#"T1 = { on = "LAV-1.vnt", is = "tested" }"#);
    let Err(failure) = run_text("test", "test.toml", &text, &Options::default()) else {
        panic!("there is no such part");
    };
    let told: Vec<String> = failure.problems.iter().map(|d| at(d, &text)).collect();
    assert_eq!(told, ["1:13 unknown-name"]);
    assert_eq!(
        failure.problems[0].help.as_deref(),
        Some("did you mean `LAV-1.vent`?")
    );
}

/// What the approved job does not have stands where it comes from, and is told as new.
#[test]
fn a_finding_stands_at_the_change_that_brings_it() {
    let errors = |run: &Run| {
        let all = run
            .findings
            .iter()
            .filter(|d| d.severity == Severity::Error);
        all.cloned().collect::<Vec<_>>()
    };
    assert!(errors(&run(BATH)).is_empty());
    // Nothing of a water closet goes into less than 3 in; and S1 below it is not in the mark.
    let text = with(
        BATH,
        r#"C1 = { on = "bath2", is = "changed", now = { size = 2 } }"#,
    );
    let run = run(&text);
    let found = errors(&run);
    assert!(found.iter().any(|d| d.code == "D103"), "{found:#?}");
    for d in &found {
        assert!(at(d, &text).starts_with("1:"), "{d:#?}");
        let note = d.note.as_deref().unwrap_or_default();
        assert!(note.contains("came with C1"), "{d:#?}");
    }
    let rows = changes(&run);
    let came = rows.iter().find(|r| r[1].starts_with("D103"));
    assert_eq!(came.map(|r| r[4].as_str()), Some("came"), "{rows:#?}");
}

/// A cure of something changed on site is typed into the mark, and works.
#[test]
fn cures_are_written_where_the_change_is() {
    let mark = r#"C1 = { on = "exit", is = "changed", now = { invert = "-6in" } }"#;
    let text = with(HAND, mark);
    let run = run(&text);
    let cures: Vec<_> = run.findings.iter().flat_map(|d| &d.cures).collect();
    assert!(!cures.is_empty(), "{:#?}", run.findings);
    let places: Vec<String> = cures
        .iter()
        .flat_map(|c| c.edits.iter().map(|e| e.place()))
        .collect();
    assert!(
        places.contains(&"progress.C1.now.invert".to_owned()),
        "{places:?}"
    );
    for cure in cures {
        assert!(edited(&text, &cure.edits).is_some(), "{cure:?}");
    }
}

/// Sheets: what is changed says so in its label, and the legend and the tables explain it.
#[test]
fn sheets_show_how_the_work_stands() {
    let marks = r#"R1 = { on = ["main", "S1"], is = "roughed in", date = "2026-03-09", by = "R. Alder" }
T1 = { on = "main", is = "tested", date = 2026-03-10 }
C1 = { on = ["bath2", "LAV-1"], is = "changed", now = { size = 3 }, date = "2026-03-11", why = "left over" }"#;
    let run = run(&with(BATH, marks));
    let said = words(&run);
    // bath2 is stated as 3 in already: it is as approved.
    assert!(said.iter().any(|w| w == "LAV-1 (C)"), "{said:?}");
    assert!(said.iter().all(|w| !w.contains("(C) bath2")), "{said:?}");
    let panels = |name: &str| {
        let items = run.sheets.sheets.iter().flat_map(|s| &s.items);
        let panels = items.filter(|i| {
            i.data
                .iter()
                .any(|(k, v)| *k == "panel" && v.starts_with(name))
        });
        let words = panels.flat_map(|i| i.texts.iter().map(|t| t.text.clone()));
        words.collect::<Vec<_>>()
    };
    let has = |panel: &str, word: &str| {
        let all = panels(panel);
        assert!(
            all.iter().any(|w| w.contains(word)),
            "{panel}: {word} in {all:?}"
        );
    };
    has("legend", "(C)");
    has("standing", "STANDING OF THE WORK");
    has("standing", "R. ALDER");
    has("standing", "2026-03-10");
    has("changes", "CHANGED SINCE APPROVAL");
    has("changes", "LEFT OVER");
    let plain = self::run(BATH);
    assert!(
        plain
            .tables()
            .iter()
            .all(|t| t.name != "standing" && t.name != "changes")
    );
    assert_eq!(plain.result()["progress"], Value::Null);
}

/// A copy of a group can be changed by itself: it is not built like the others any more.
#[test]
fn a_copy_is_changed_by_itself() {
    let text = r#"
[job]
title = "Three baths"
code = "irc-2021"
[floors]
"1..5" = { from = "0", each = "10'" }
roof = { level = "50'" }
[exit]
[stacks]
S1 = {}
[groups.bath.drains]
b = { run = ["west 8'"] }
[groups.bath.fixtures]
WC = { kind = "water closet", into = "b", station = "3'" }
LAV = { kind = "lavatory", into = "b", station = "8'" }
[repeat]
baths = { group = "bath", into = "S1", floors = "1..5" }
"#;
    let marked = with(
        text,
        r#"C1 = { on = "LAV@S1-3", is = "changed", now = { station = "6'" } }"#,
    );
    let run = run(&marked);
    let fixture = run
        .job
        .fixtures
        .iter()
        .find(|f| f.name == "LAV@S1-3")
        .expect("the copy");
    assert_eq!(
        fixture.station.as_ref().map(|s| s.value.feet().round()),
        Some(6.0)
    );
    assert!(
        words(&run).iter().any(|w| w == "LAV@S1-3 (C)"),
        "{:?}",
        words(&run)
    );
    let rows = changes(&run);
    let other = rows
        .iter()
        .find(|r| !r[0].contains("@S1-3") && !r[0].starts_with("S1"));
    assert!(other.is_none(), "{other:?}");
}

/// The inspector's list has what is roughed in and tested in its walk, and the table of changes.
#[test]
fn the_inspector_sees_how_the_work_stands() {
    let marks = r#"R1 = { on = ["main", "bath2"], is = "roughed in", date = "2026-03-09" }
T1 = { on = "main", is = "tested", date = 2026-03-10 }
C1 = { on = "bath2", is = "changed", now = { invert = "-14in" } }"#;
    let list = |text: &str| {
        let solved = solve_text("test", "test.toml", text);
        let solved = solved.unwrap_or_else(|f| panic!("{:#?}", f.problems));
        let paper = solved.working(Working::Inspector, None);
        paper.expect("any job has one").tables
    };
    let tables = list(&with(BATH, marks));
    let walk = table(&tables, "walk");
    let at = walk.head.iter().position(|h| h == "On site");
    let at = at.expect("a column");
    for row in &walk.rows {
        let wanted = match row[1].as_str() {
            "main" => "tested 2026-03-10",
            "bath2" => "roughed in 2026-03-09, changed",
            _ => "",
        };
        assert_eq!(row[at], wanted, "{row:?}");
    }
    assert!(!table(&tables, "changes").rows.is_empty());
    assert_eq!(table(&tables, "standing").rows.len(), 4);
    let plain = list(BATH);
    assert!(!table(&plain, "walk").head.contains(&"On site".to_owned()));
    assert!(plain.iter().all(|t| t.name != "changes"));
}
