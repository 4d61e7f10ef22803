//! The job file's reader, from outside.

mod common;
#[path = "job/fuzz.rs"]
mod fuzz;
#[path = "job/mistakes.rs"]
mod mistakes;
#[path = "job/repetition.rs"]
mod repetition;

use stackfall::catalogue;
use stackfall::codebook::{Book, FixtureQuery};
use stackfall::diagnostics::render;
use stackfall::job::{
    FloorIx, Job, Join, Lies, Source, Standing, Target, Wye, name_of, read, schema,
};
use stackfall::units::{Heading, Length, PipeSize};

fn sample(name: &str) -> (String, String) {
    load(&common::sample_path(name))
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

use common::SAMPLES;

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

/// The samples show sensible work: every kind is in the book, and every arm within its limit
/// there. That they fit is a matter of their levels, and of their findings.
#[test]
fn samples_are_sensible_plumbing() {
    for name in SAMPLES {
        let job = good(sample(name));
        let code = job.code.as_ref().map(|c| c.value.as_str()).expect("a code");
        let book = Book::builtin(code).expect(code);
        for f in &job.fixtures {
            let kind = catalogue::kind(&f.kind.value).expect(&f.kind.value);
            if kind.outlet == catalogue::Outlet::Indirect {
                continue;
            }
            let query = FixtureQuery {
                kind: kind.word,
                gpf: f.gpf,
                flow: f.flow,
                with: &f.with,
                public: f.public,
                emergency: f.emergency,
                heads: f.heads,
                trap: f.trap.as_ref().map(|t| t.value),
            };
            let row = book.fixture(&query).expect(&f.name);
            if let (Some(trap), Some(arm), false) = (row.value.trap, &f.arm, kind.closet) {
                let limit = book.trap_arm(trap).expect(&f.name).value.length;
                assert!(arm.value <= limit, "{name} {}", f.name);
            }
        }
    }
}

#[test]
fn every_key_reaches_the_model() {
    let job = good(load("tests/job/every-key.toml"));
    assert_eq!(job.title.date.as_deref(), Some("2026-03-02"));
    assert_eq!(job.title.checked_by.as_deref(), Some("B"));
    assert_eq!(job.title.drawn_by_address.as_deref(), Some("2 Test Street"));
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
    assert!(job.drawing.to_scale && job.drawing.in_full);
    assert!(job.practice.whole_risers);

    let floors: Vec<&str> = job.floors.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(
        floors,
        ["pit", "basement", "first", "second floor", "3", "4"]
    );
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
    let [roughed, changed] = job.progress.as_slice() else {
        panic!("two marks: {:?}", job.progress);
    };
    let on: Vec<&str> = roughed.on.iter().map(|o| o.value.as_str()).collect();
    assert_eq!(on, ["other", "S5", "S6"]);
    assert_eq!(roughed.is, Standing::RoughedIn);
    assert_eq!(roughed.by.as_deref(), Some("A"));
    let date = changed.date.as_ref().map(|d| d.value.as_str());
    assert_eq!(date, Some("2026-03-11"));
    assert_eq!(changed.why.as_deref(), Some("a beam in the way"));
    // Laid over: what stands there by hand says 18 ft and 1 ft.
    let stations = [&job.footings[0].station, &job.cleanouts[0].station];
    let stations = stations.map(|s| s.as_ref().map(|s| s.value));
    assert_eq!(stations, [Some(Length::from_feet(2.0)); 2]);
    assert!(changed.laid.iter().all(|l| l.key == "station" && !l.same));
    repetition::every_key(&job);
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
        let ranges = inner.get("patternProperties").and_then(|p| p.as_object());
        for record in ranges.into_iter().flat_map(|p| p.values()) {
            let tables = found.iter().filter_map(|v| v.as_table());
            let lines = tables.flat_map(|t| t.iter());
            let lines = lines.filter(|(name, _)| name.contains(".."));
            tried(
                record,
                &lines.map(|(_, v)| v).collect::<Vec<_>>(),
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
