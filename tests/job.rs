//! The job file's reader, from outside.

use proptest::prelude::*;
use stackfall::diagnostics::{Diagnostic, line_column, render, to_json};
use stackfall::job::{FloorIx, Job, Join, Lies, Source, Target, Wye, name_of, read, schema};
use stackfall::units::{Heading, Length, PipeSize};

fn sample(name: &str) -> (String, String) {
    load(&format!("samples/{name}/job.toml"))
}

fn load(path: &str) -> (String, String) {
    let full = format!("{}/{path}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&full).expect(path);
    (path.to_owned(), text)
}

fn good((path, text): (String, String)) -> Job {
    match read(&name_of(path.as_ref()), &path, &text) {
        Ok(job) => job,
        Err(list) => panic!("{}", render(&list, &Source { path, text }, false)),
    }
}

/// `line:column name` of every mistake, and its help.
fn mistakes(text: &str) -> Vec<(String, String)> {
    let list = read("test", "test.toml", text).expect_err("a job full of mistakes");
    list.iter()
        .map(|d| (place(d, text), d.help.clone().unwrap_or_default()))
        .collect()
}

fn place(d: &Diagnostic, text: &str) -> String {
    let span = d
        .span
        .clone()
        .expect("every mistake of the job file has its place");
    let (line, column) = line_column(text, span.start);
    format!("{line}:{column} {}", d.name)
}

const SAMPLES: [&str; 4] = [
    "alder-court",
    "garden-cottage",
    "mill-house",
    "quarry-flats",
];

fn size(inches: f64) -> PipeSize {
    PipeSize::from_inches(inches).expect("a size of the trade")
}

#[test]
fn every_sample_reads() {
    for name in SAMPLES {
        let (path, text) = sample(name);
        assert!(
            text.starts_with("# "),
            "{name} says at its top what it shows"
        );
        let job = good((path, text));
        assert_eq!(job.name, name);
        assert_eq!(job.exits.len(), 1);
        assert!(job.fixtures.iter().all(|f| f.floor.is_some()));
    }
}

#[test]
fn samples_hold_what_they_say() {
    let cottage = good(sample("garden-cottage"));
    assert_eq!(cottage.fixtures.len(), 6);
    assert_eq!(cottage.floors.len(), 1);
    assert!(cottage.drains.is_empty() && cottage.stacks.is_empty() && cottage.roof.is_none());
    assert!(cottage.exits[0].invert.is_none());

    let mill = good(sample("mill-house"));
    let kinds = |job: &Job| {
        let mut kinds: Vec<String> = job.fixtures.iter().map(|f| f.kind.value.clone()).collect();
        kinds.sort();
        kinds
    };
    assert_eq!(kinds(&mill), kinds(&cottage));

    let court = good(sample("alder-court"));
    assert_eq!(court.fixtures.len(), 25);
    assert_eq!(
        court.stacks.iter().map(|s| s.offsets.len()).sum::<usize>(),
        1
    );
    assert_eq!(court.stacks.len(), 2);

    let flats = good(sample("quarry-flats"));
    assert_eq!(flats.fixtures.len(), 24);
    assert!(flats.fixtures.iter().all(|f| f.at.is_some()));
    assert_eq!(flats.code.map(|c| c.value).as_deref(), Some("ipc-2021"));
}

#[test]
fn every_key_reaches_the_model() {
    let job = good(load("tests/job/every-key.toml"));
    assert_eq!(job.title.date.as_deref(), Some("2026-03-02"));
    assert_eq!(job.title.checked_by.as_deref(), Some("B"));
    assert_eq!(job.title.revision.as_deref(), Some("B"));
    let zero = job.zero.as_ref().expect("zero");
    assert!(
        zero.survey
            .is_some_and(|s| s.same(Length::from_feet(624.5)))
    );
    assert!(
        zero.level
            .is_some_and(|l| l.same(Length::from_inches(-29.0)))
    );
    let p = &job.practice;
    assert_eq!(p.stock, [size(1.5), size(2.0), size(3.0), size(4.0)]);
    let falls: Vec<f64> = p.falls.iter().map(|(_, f)| f.value.percent()).collect();
    assert_eq!(
        p.falls.iter().map(|f| f.0).collect::<Vec<_>>(),
        [size(1.5), size(2.0), size(4.0)]
    );
    assert!((falls[0] - 2.5).abs() < 1e-9 && (falls[2] - 100.0 / 96.0).abs() < 1e-9);
    assert_eq!(
        (p.join, p.frost, p.least_vent),
        (Join::Crown, Some(size(3.0)), Some(size(1.5)))
    );
    assert_eq!(p.material_above, "ABS DWV");
    assert_eq!(p.allow[0].value, "air admittance valve");
    assert_eq!(
        job.drawing.from.as_ref().map(|f| f.value),
        Some(Heading::Southwest)
    );
    assert!(job.drawing.to_scale);

    let floors: Vec<&str> = job.floors.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(floors, ["pit", "basement", "first", "second floor"]);
    assert_eq!(job.floors[0].part_of, Some(FloorIx(1)));
    assert!(
        job.roof
            .as_ref()
            .is_some_and(|r| r.value.same(Length::from_inches(246.0)))
    );

    assert_eq!(
        job.exits
            .iter()
            .map(|e| e.name.as_str())
            .collect::<Vec<_>>(),
        ["north", "south"]
    );
    assert!(
        job.exits[0]
            .sewer
            .as_ref()
            .is_some_and(|s| s.existing && s.size == Some(size(4.0)))
    );

    let main = &job.drains[0];
    assert_eq!(main.into.as_ref().map(|t| &t.value), Some(&Target::Exit(0)));
    let legs: Vec<_> = main.run.iter().map(|l| (l.heading, l.lies)).collect();
    let under = Some(Lies::UnderSlab);
    assert_eq!(
        legs,
        [
            (Heading::North, under),
            (Heading::East, under),
            (Heading::Up, under),
            (Heading::East, Some(Lies::CrawlSpace)),
        ]
    );
    let sizes: Vec<_> = main
        .run
        .iter()
        .filter_map(|l| l.size.as_ref())
        .map(|s| s.value)
        .collect();
    assert_eq!(sizes, [size(4.0), size(3.0), size(3.0), size(3.0)]);
    assert!(
        job.drains[1]
            .invert
            .as_ref()
            .is_some_and(|i| i.value.same(Length::from_inches(-9.0)))
    );
    assert_eq!(job.drains[2].wye, Some(Wye::Rolled));

    let s1 = &job.stacks[0];
    // Lowest first, whatever the order of the file.
    assert_eq!(
        s1.offsets.iter().map(|o| o.by_degrees).collect::<Vec<_>>(),
        [45, 90]
    );
    assert_eq!((s1.up_to, job.stacks[1].up_to), (None, Some(FloorIx(3))));

    let f = |name: &str| job.fixtures.iter().find(|f| f.name == name).expect(name);
    assert_eq!(f("LAV-1").vent.as_ref().map(|v| v.value), Some(0));
    assert_eq!(f("SH-1").vented_by.as_ref().map(|v| v.value), Some(1));
    assert_eq!(
        f("SH-1").into.as_ref().map(|t| &t.value),
        Some(&Target::Fixture(1))
    );
    assert_eq!(f("KS-1").with, ["disposer", "dishwasher"]);
    assert_eq!(f("KS-1").into, None);
    assert_eq!(
        f("FD-1").into.as_ref().map(|t| &t.value),
        Some(&Target::Basin(0))
    );
    assert!(f("FD-1").emergency && f("KS-1").public && f("WC-1").existing && f("CD-1").future);
    assert_eq!(f("CD-1").trap.as_ref().map(|t| t.value), Some(size(2.0)));
    let foot = job.vents[1].foot.as_ref().expect("the island's foot");
    assert_eq!(foot.0.value, Target::Drain(2));
    assert_eq!(
        job.vents[2].into.as_ref().map(|t| &t.value),
        Some(&Target::Roof)
    );
    assert_eq!(job.basins[0].vent.as_ref().map(|v| v.value), Some(2));
    assert_eq!(job.waivers[0].by.as_deref(), Some("the inspector"));
}

/// Each key that the schema names is read in `every-key.toml`, so none is a dead letter.
#[test]
fn every_key_of_the_schema_is_tried() {
    let (_, text) = load("tests/job/every-key.toml");
    let table: toml::Table = text.parse().expect("TOML");
    // With an `[exit]` there can be no `[exits]`: the same record under another name.
    let mut untried = Vec::new();
    tried(&schema(), &[&toml::Value::Table(table)], "", &mut untried);
    assert_eq!(untried, ["/exit"]);
}

fn tried(schema: &serde_json::Value, values: &[&toml::Value], at: &str, untried: &mut Vec<String>) {
    let Some(properties) = schema.get("properties").and_then(|p| p.as_object()) else {
        return;
    };
    for (key, inner) in properties {
        let found: Vec<&toml::Value> = values.iter().filter_map(|v| v.get(key)).collect();
        let at = format!("{at}/{key}");
        if found.is_empty() {
            untried.push(at);
            continue;
        }
        tried(inner, &found, &at, untried);
        let named = inner
            .get("additionalProperties")
            .filter(|a| a.get("properties").is_some());
        if let Some(record) = named {
            let tables = found.iter().filter_map(|v| v.as_table());
            let things = tables
                .flat_map(|t| t.iter())
                .filter(|(name, _)| *name != "roof");
            tried(
                record,
                &things.map(|(_, v)| v).collect::<Vec<_>>(),
                &at,
                untried,
            );
        }
        if let Some(record) = inner.get("items") {
            let lists = found.iter().filter_map(|v| v.as_array());
            tried(record, &lists.flatten().collect::<Vec<_>>(), &at, untried);
        }
    }
}

/// Each mistake at its place, with the beginning of what was expected.
#[test]
fn all_mistakes_of_a_file_in_one_run() {
    let expected = [
        ("3:9 unknown-word", "did you mean `feet`?"),
        (
            "4:1 unknown-key",
            "expected `title`, `number`, `address`, `client`, `drawn_by`,",
        ),
        (
            "7:31 unreadable-length",
            "expected a length like `12' 4 1/2`, `9 1/2in`, `-8' 10` or `3.2 m`",
        ),
        ("8:1 missing-key", "level of the finished floor above zero"),
        (
            "9:18 roof-below-floor",
            "expected a level above every floor",
        ),
        ("12:11 unknown-word", "did you mean `south`?"),
        (
            "13:10 wrong-type",
            "expected a length like `\"12' 4 1/2\"`, `\"3.2 m\"` or a number",
        ),
        ("16:32 unreadable-leg", "did you mean `north`?"),
        (
            "16:45 out-of-range",
            "expected a length above nil; turn the heading round instead ",
        ),
        (
            "16:58 unreadable-size",
            "expected one of 1 1/4, 1 1/2, 2, 2 1/2, 3, 4, 5, 6, 8, 10, 12, 15, 18",
        ),
        (
            "16:79 unreadable-leg",
            "it holds from where it stands: put it before the legs it is for",
        ),
        (
            "16:99 unreadable-fall",
            "expected a fall like `1/4` (inch per foot), `2%` or `1:50`",
        ),
        (
            "17:16 two-drains-in-line",
            "let one of them lead into the other, or state a second exit ",
        ),
        (
            "17:31 unreadable-size",
            "expected one of 1 1/4, 1 1/2, 2, 2 1/2, 3, 4, 5, 6, 8, 10, 12, 15, 18",
        ),
        (
            "18:17 refers-to-itself",
            "expected the name of another thing",
        ),
        (
            "19:1 unreadable-name",
            "expected 1 to 32 letters, digits, `-` and `_`",
        ),
        ("19:41 out-of-range", "expected nil or more"),
        ("22:15 unknown-name", "did you mean `main`?"),
        (
            "23:15 stack-into-stack",
            "a stack stands on a drain or an exit; one that steps aside i",
        ),
        (
            "24:15 stack-into-stack",
            "a stack stands on a drain or an exit; one that steps aside i",
        ),
        ("25:1 reserved-name", "expected another name"),
        (
            "28:1 missing-key",
            "what it is, in the trade's words: `water closet`, `lavatory`",
        ),
        (
            "28:34 wrong-kind-of-thing",
            "expected a drain, a stack, a basin, a fixture or an exit",
        ),
        ("29:38 unknown-name", "did you mean `first`?"),
        (
            "29:70 station-without-drain",
            "a station is a length up a drain: leave it out here",
        ),
        ("30:30 unknown-key", "did you mean `floor`?"),
        ("30:66 wrong-kind-of-thing", "expected a vent"),
        ("31:58 unknown-word", "did you mean `disposer`?"),
        (
            "31:78 unreadable-flow",
            "expected a flow like `9 gpm` or `0.6 L/s`",
        ),
        (
            "31:95 out-of-range",
            "expected a whole number from 1 to 100",
        ),
        (
            "31:104 unreadable-flow",
            "expected US gallons like `1.28`, or litres like `\"4.8 L\"`",
        ),
        (
            "32:1 name-used-twice",
            "expected a name of its own: names are used once in the whole file",
        ),
        (
            "33:1 name-used-twice",
            "names and keys are used once; the first is the one that was read",
        ),
        ("34:8 wrong-type", "expected `FD-1 = { … }`"),
        ("37:15 unknown-name", "did you mean `S1`?"),
        ("37:28 unknown-word", "did you mean `island`?"),
        ("40:15 wrong-kind-of-thing", "expected a drain or a stack"),
        ("41:1 missing-key", "the drain or stack it opens"),
    ];
    let (_, text) = load("tests/job/mistakes.toml");
    let found = mistakes(&text);
    for (found, expected) in found.iter().zip(expected) {
        assert_eq!(found.0, expected.0);
        assert!(found.1.starts_with(expected.1), "{found:?}");
    }
    assert_eq!(found.len(), expected.len());
}

/// Names of the mistakes of a small job, with the places of its lines.
fn names(text: &str) -> Vec<String> {
    mistakes(text).into_iter().map(|(place, _)| place).collect()
}

const WC: &str = "[fixtures]\nWC-1 = { kind = \"water closet\" }\n";

#[test]
fn circles_are_named_in_plain_words() {
    let text = format!(
        "[drains]\na = {{ into = \"b\" }}\nb = {{ into = \"c\", station = 1 }}\nc = {{ into = \"a\", station = 1 }}\nd = {{ into = \"a\" }}\n{WC}"
    );
    let list = read("test", "", &text).expect_err("a circle");
    let messages: Vec<&str> = list.iter().map(|d| d.message.as_str()).collect();
    assert_eq!(
        messages,
        ["`a` drains into `b`, which drains into `c`, which drains into `a` again"]
    );
    assert_eq!(place(&list[0], &text), "2:14 goes-in-a-circle");

    let stacks =
        format!("[drains]\na = {{ into = \"S\" }}\n[stacks]\nS = {{ into = \"a\" }}\n{WC}");
    assert_eq!(names(&stacks), ["2:14 goes-in-a-circle"]);
    let vents = format!("[vents]\nV = {{ into = \"W\" }}\nW = {{ into = \"V\" }}\n{WC}");
    assert_eq!(names(&vents), ["2:14 goes-in-a-circle"]);
    let basin = format!("[drains]\na = {{ into = \"E\" }}\n[basins]\nE = {{ into = \"a\" }}\n{WC}");
    assert_eq!(names(&basin), ["2:14 goes-in-a-circle"]);
    let wet = "[fixtures]\nA = { kind = \"lavatory\", vented_by = \"B\" }\nB = { kind = \"lavatory\", vented_by = \"A\" }\nC = { kind = \"lavatory\", into = \"C\" }\n";
    assert_eq!(
        names(wet),
        ["2:38 goes-in-a-circle", "4:33 refers-to-itself"]
    );
}

#[test]
fn two_things_in_one_place() {
    let job = |stacks: &str| {
        format!(
            "[drains]\nm = {{ into = \"exit\", run = [\"north 9'\"] }}\n[stacks]\n{stacks}\n{WC}"
        )
    };
    let at = job("S1 = { at = [1, 2] }\nS2 = { at = [\"1'\", \"24in\"] }");
    assert_eq!(names(&at), ["5:1 two-stacks-in-one-place"]);
    let station =
        job("S1 = { into = \"m\", station = 3 }\nS2 = { into = \"m\", station = \"3'\" }");
    assert_eq!(names(&station), ["5:1 two-stacks-in-one-place"]);
    let apart = job(
        "S1 = { into = \"m\", station = 3, run = [\"west 2'\"] }\nS2 = { into = \"m\", station = 3, run = [\"east 2'\"] }",
    );
    assert!(read("test", "", &apart).is_ok());
    let line = format!(
        "[drains]\nm = {{ into = \"exit\" }}\na = {{ into = \"m\" }}\nb = {{ into = \"m\" }}\nc = {{ into = \"m\", station = 2 }}\n{WC}"
    );
    assert_eq!(names(&line), ["4:14 two-drains-in-line"]);
}

#[test]
fn exits_by_name() {
    let job =
        |exits: &str, into: &str| format!("{exits}\n[drains]\nm = {{ into = \"{into}\" }}\n{WC}");
    let into =
        |text: &str| read("test", "", text).map(|j| j.drains[0].into.clone().map(|t| t.value));
    assert_eq!(into(&job("", "exit")), Ok(Some(Target::Exit(0))));
    assert_eq!(
        into(&job("[exits]\na = {}", "exit")),
        Ok(Some(Target::Exit(0)))
    );
    assert_eq!(
        into(&job("[exits]\na = {}\nb = {}", "b")),
        Ok(Some(Target::Exit(1)))
    );
    assert_eq!(
        names(&job("[exits]\na = {}\nb = {}", "exit")),
        ["5:14 unknown-name"]
    );
    assert_eq!(
        names(&job("[exit]\n[exits]\na = {}", "a")),
        ["3:1 name-used-twice"]
    );
}

#[test]
fn what_is_not_toml_does_not_hide_the_rest() {
    let text = "[job]\ntitel = \"x\"\n[floors]\nfirst = { level = \"4 yards\" }\n[stacks]\nS1 = { into = \"nowhere\" }\n[fixtures\nWC = { kind = \"wc\" }\n";
    assert_eq!(
        names(text),
        ["2:1 unknown-key", "4:19 unreadable-length", "7:10 not-toml"]
    );
    let many = "a = = 1\nb = = 2\nc = = 3\nd = = 4\n";
    assert_eq!(names(many).len(), 3);
}

#[test]
fn nothing_to_drain() {
    assert_eq!(names(""), ["1:1 missing-key"]);
    assert_eq!(names("[fixtures]\n"), ["1:2 nothing-to-drain"]);
}

#[test]
fn metric_and_feet_read_alike() {
    let job = |units: &str, length: &str, pipe: &str| {
        let text = format!(
            "[job]\nunits = \"{units}\"\n[drains]\nm = {{ into = \"exit\", station = {length}, size = {pipe} }}\n{WC}"
        );
        let text = text.replace("into = \"exit\", ", "");
        let job = read("test", "", &text).expect(&text);
        let drain = job.drains[0].clone();
        (
            drain.station.map(|s| s.value.mm()),
            drain.size.map(|s| s.value),
        )
    };
    assert_eq!(job("metric", "3.2", "110"), (Some(3200.0), Some(size(4.0))));
    assert_eq!(
        job("metric", "\"320 cm\"", "\"DN 100\""),
        (Some(3200.0), Some(size(4.0)))
    );
    assert_eq!(job("feet", "10", "4"), (Some(3048.0), Some(size(4.0))));
    assert_eq!(
        job("feet", "\"120in\"", "\"4\""),
        (Some(3048.0), Some(size(4.0)))
    );
}

#[test]
fn a_mistake_reads_well() {
    let text = format!("[stacks]\nS1 = {{ staton = \"3'\" }}\n{WC}");
    let source = Source {
        path: "job.toml".to_owned(),
        text,
    };
    let list = read("test", "job.toml", &source.text).expect_err("a mistyped key");
    let expected = "\
error[J002 unknown-key]: S1: a stack has no key `staton`
 --> job.toml:2:8
  |
2 | S1 = { staton = \"3'\" }
  |        ^^^^^^
  |
  = help: did you mean `station`?
";
    assert_eq!(render(&list, &source, false), expected);
    let json = to_json(&list, &source);
    assert_eq!(json[0]["line"], 2);
    assert_eq!(json[0]["column"], 8);
    assert_eq!(json[0]["name"], "unknown-key");
    assert_eq!(json[0]["severity"], "error");
    assert_eq!(json[0]["help"], "did you mean `station`?");
}

#[test]
fn a_large_hostile_file_ends_soon() {
    let mut text = String::from("[fixtures]\n");
    for i in 0..20_000 {
        text.push_str(&format!(
            "F{i} = {{ kind = \"sink\", into = \"nobody-{i}\", flor = 1 }}\n"
        ));
    }
    let start = std::time::Instant::now();
    let list = read("test", "", &text).expect_err("forty thousand mistakes");
    assert_eq!(list.len(), 40_000);
    assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
    let deep = format!("a = {}", "[".repeat(100_000));
    assert!(read("test", "", &deep).is_err());
}

/// Reads anything, prints whatever comes of it, and checks what the stage promises.
fn survives(text: &str) {
    let source = Source {
        path: "x.toml".to_owned(),
        text: text.to_owned(),
    };
    match read("x", "x.toml", text) {
        Ok(job) => promises(&job),
        Err(list) => {
            assert!(!list.is_empty());
            for d in &list {
                let span = d.span.clone().expect("a place");
                assert!(span.start <= span.end && span.end <= text.len(), "{d:?}");
                assert!(
                    text.is_char_boundary(span.start) && text.is_char_boundary(span.end),
                    "{d:?}"
                );
            }
            let head = list.get(..list.len().min(20)).expect("its head");
            assert!(!render(head, &source, true).is_empty());
            assert_eq!(
                to_json(&list, &source).as_array().map(Vec::len),
                Some(list.len())
            );
        }
    }
}

fn promises(job: &Job) {
    assert!(!job.exits.is_empty() && !job.fixtures.is_empty());
    let floor = |f: Option<FloorIx>| assert!(f.is_none_or(|f| f.0 < job.floors.len()));
    let target = |t: &Target| match *t {
        Target::Exit(i) => assert!(i < job.exits.len()),
        Target::Drain(i) => assert!(i < job.drains.len()),
        Target::Stack(i) => assert!(i < job.stacks.len()),
        Target::Vent(i) => assert!(i < job.vents.len()),
        Target::Basin(i) => assert!(i < job.basins.len()),
        Target::Fixture(i) => assert!(i < job.fixtures.len()),
        Target::Roof => {}
    };
    assert!(job.floors.is_sorted_by(|a, b| a.level <= b.level));
    for f in &job.fixtures {
        floor(f.floor);
        assert!(job.floors.is_empty() || f.floor.is_some());
        f.into.iter().for_each(|t| target(&t.value));
        let others = [&f.vented_by, &f.primed_by, &f.over];
        assert!(
            others
                .into_iter()
                .flatten()
                .all(|i| i.value < job.fixtures.len())
        );
        assert!(f.vent.iter().all(|i| i.value < job.vents.len()));
        assert!(
            f.run
                .iter()
                .all(|l| l.length.mm() > 0.0 && l.length.mm().is_finite())
        );
    }
    for d in &job.drains {
        floor(d.floor);
        d.into.iter().for_each(|t| target(&t.value));
        assert!(d.station.iter().all(|s| s.value.mm() >= 0.0));
    }
    for s in &job.stacks {
        floor(s.up_to);
        s.offsets.iter().for_each(|o| floor(Some(o.floor)));
        assert!(
            s.into
                .iter()
                .all(|t| matches!(t.value, Target::Drain(_) | Target::Exit(_)))
        );
    }
}

/// Bits of job files, and things that are not.
const BITS: [&str; 40] = [
    "[",
    "]",
    "{",
    "}",
    "=",
    ",",
    "\"",
    "'",
    "\n",
    ".",
    "#",
    "\\",
    "-",
    "\u{0}",
    "é",
    "\"\"\"",
    "[exit]\n",
    "[drains]\n",
    "[stacks]\n",
    "[floors]\n",
    "into = \"S1\"",
    "into = \"main\"",
    "station = -1",
    "1e999",
    "nan",
    "inf",
    "0x10",
    "99999999999999999999",
    "2026-01-01",
    "true",
    "run = [\"north 3'\"]",
    "\"roof\"",
    "\"exit\"",
    "level = \"0\"",
    "floor = \"first\"",
    "S1 = {}",
    "size = 3",
    "[[drains]]\n",
    "\"1/0\"",
    "-8' 10",
];

/// Words of a job file, for swapping one for another.
fn words(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut all = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices().chain([(text.len(), ' ')]) {
        match (c.is_alphanumeric() || c == '-' || c == '_', start) {
            (true, None) => start = Some(i),
            (false, Some(s)) => {
                all.push(s..i);
                start = None;
            }
            _ => {}
        }
    }
    all
}

fn cut(text: &str, at: usize) -> usize {
    let mut at = at % (text.len() + 1);
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn arbitrary_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        survives(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn bits_of_job_files_never_panic(bits in proptest::collection::vec(0..BITS.len(), 0..60)) {
        let text: String = bits.iter().map(|b| BITS[*b]).collect();
        survives(&text);
    }

    #[test]
    fn mutated_samples_never_panic(
        sample_index in 0..SAMPLES.len() + 1,
        edits in proptest::collection::vec((0..4usize, any::<usize>(), any::<usize>()), 1..12),
    ) {
        let (_, mut text) = match SAMPLES.get(sample_index) {
            Some(name) => sample(name),
            None => load("tests/job/every-key.toml"),
        };
        for (edit, a, b) in edits {
            match edit {
                0 => {
                    let from = cut(&text, a);
                    let to = cut(&text, from + b % 12).max(from);
                    text.replace_range(from..to, "");
                }
                1 => text.insert_str(cut(&text, a), BITS[b % BITS.len()]),
                // One word for another: stays TOML most of the time, and goes deep.
                2 | 3 => {
                    let all = words(&text);
                    if !all.is_empty() {
                        let word = text[all[b % all.len()].clone()].to_owned();
                        text.replace_range(all[a % all.len()].clone(), &word);
                    }
                }
                _ => {}
            }
        }
        survives(&text);
    }
}
