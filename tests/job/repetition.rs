//! Groups, repeats, typical floors and ranges of stacks: what they make, and what is wrong with them.

use stackfall::job::{FloorIx, Job, Target, read};
use stackfall::units::Length;

use super::mistakes::{mistakes, names};

/// A tower of five storeys on two stacks, with a bath that is placed as `repeat` says.
fn tower(repeat: &str) -> String {
    with("", repeat)
}

fn with(more: &str, repeat: &str) -> String {
    format!(
        "[floors]\n\"1..5\" = {{ from = \"2'\", each = \"10' 4\" }}\npit = {{ level = \"-4'\", part_of = \"1\" }}\n\
         mezzanine = {{ level = \"16'\" }}\n[drains]\nmain = {{ into = \"exit\" }}\n[stacks]\n\"S1..S3\" = {{}}\n\
         [groups.bath.drains]\nb = {{}}\n[groups.bath.fixtures]\nWC-1 = {{ kind = \"water closet\", into = \"b\" }}\n\
         LAV-1 = {{ kind = \"lavatory\" }}\n{more}[repeat]\n{repeat}\n"
    )
}

fn good(text: &str) -> Job {
    read("test", "", text).unwrap_or_else(|d| panic!("{text}\n{d:#?}"))
}

/// The names of the mistakes, without their places.
fn wrong(text: &str) -> Vec<String> {
    let all = names(text).into_iter();
    all.map(|n| n.split(' ').nth(1).unwrap_or("").to_owned())
        .collect()
}

fn fixtures(job: &Job) -> Vec<&str> {
    job.fixtures.iter().map(|f| f.name.as_str()).collect()
}

#[test]
fn one_copy_on_every_floor_of_every_stack() {
    let job = good(&tower(
        "baths = { group = \"bath\", into = [\"S1\", \"S3\"], floors = [\"1\", \"4..5\"] }",
    ));
    assert_eq!(
        fixtures(&job),
        [
            "WC-1@S1-1",
            "LAV-1@S1-1",
            "WC-1@S1-4",
            "LAV-1@S1-4",
            "WC-1@S1-5",
            "LAV-1@S1-5",
            "WC-1@S3-1",
            "LAV-1@S3-1",
            "WC-1@S3-4",
            "LAV-1@S3-4",
            "WC-1@S3-5",
            "LAV-1@S3-5",
        ]
    );
    let drains: Vec<_> = job.drains.iter().map(|d| d.name.as_str()).collect();
    assert_eq!(drains[..3], ["main", "b@S1-1", "b@S1-4"]);
    let into = |t: &Option<stackfall::job::Said<Target>>| t.as_ref().map(|t| t.value.clone());
    // Names are looked up in the copy first; what names nothing goes into the stack of the copy.
    assert_eq!(into(&job.fixtures[2].into), Some(Target::Drain(2)));
    assert_eq!(into(&job.fixtures[3].into), Some(Target::Stack(0)));
    assert_eq!(into(&job.drains[2].into), Some(Target::Stack(0)));
    assert_eq!(into(&job.drains[6].into), Some(Target::Stack(2)));
    let four = job.floors.iter().position(|f| f.name == "4").map(FloorIx);
    assert_eq!(job.fixtures[2].floor, four);
    assert_eq!(job.drains[2].floor, four);
    // All copies stand where the group is written.
    let text = &job.source.text;
    for f in job.fixtures.iter().filter(|f| f.name.starts_with("WC")) {
        assert_eq!(text.get(f.span.clone()), Some("WC-1"), "{}", f.name);
    }
}

/// A range of floors runs by level, over what lies between, but for pits; one of stacks by name.
#[test]
fn ranges_of_floors_run_by_level() {
    let job = good(&tower(
        "baths = { group = \"bath\", into = \"S1..S3\", floors = \"1..3\" }",
    ));
    let on_first: Vec<_> = fixtures(&job).into_iter().take(8).collect();
    assert_eq!(
        on_first,
        [
            "WC-1@S1-1",
            "LAV-1@S1-1",
            "WC-1@S1-2",
            "LAV-1@S1-2",
            "WC-1@S1-mezzanine",
            "LAV-1@S1-mezzanine",
            "WC-1@S1-3",
            "LAV-1@S1-3",
        ]
    );
    assert_eq!(job.fixtures.len(), 3 * 4 * 2);
    let from_pit = good(&tower(
        "baths = { group = \"bath\", into = \"S1\", floors = \"pit..2\" }",
    ));
    assert_eq!(from_pit.fixtures[0].name, "WC-1@S1-pit");
}

#[test]
fn typical_floors_lie_storey_by_storey() {
    let job = good(&with(
        "[fixtures]\nFD-1 = { kind = \"floor drain\", floor = \"4\", into = \"S2\" }\n",
        "baths = { group = \"bath\", into = \"S1\", floors = \"1\" }",
    ));
    let levels: Vec<_> = job.floors.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(levels, ["pit", "1", "2", "mezzanine", "3", "4", "5"]);
    for (i, storey) in [(1, 0.0), (2, 1.0), (4, 2.0), (5, 3.0), (6, 4.0)] {
        let level = Length::from_inches(24.0 + storey * 124.0);
        assert!(job.floors[i].level.same(level), "{}", job.floors[i].name);
    }
    assert_eq!(job.fixtures[0].floor, Some(FloorIx(5)));
    let cellars = "[floors]\n\"B1..B3\" = { from = \"-9'\", each = \"-9'\", slab = \"4in\" }\n1 = { level = \"0\" }\n\
                   [fixtures]\nFD-1 = { kind = \"floor drain\", floor = \"B2\" }\n";
    let names: Vec<_> = good(cellars).floors.into_iter().map(|f| f.name).collect();
    assert_eq!(names, ["B3", "B2", "B1", "1"]);
    for (line, mistake) in [
        ("\"1..5\" = { each = \"9'\" }", "missing-key"),
        ("\"1..5\" = { from = \"0\" }", "missing-key"),
        ("\"1..5\" = { from = \"0\", each = \"0\" }", "out-of-range"),
        (
            "\"5..1\" = { from = \"0\", each = \"9'\" }",
            "unreadable-range",
        ),
        (
            "\"1..\" = { from = \"0\", each = \"9'\" }",
            "unreadable-range",
        ),
        (
            "\"low..high\" = { from = \"0\", each = \"9'\" }",
            "unreadable-range",
        ),
        (
            "\"1..2000\" = { from = \"0\", each = \"9'\" }",
            "too-many-made",
        ),
        (
            "\"1..5\" = { from = \"0\", each = \"9'\" }\n3 = { level = \"1\" }",
            "name-used-twice",
        ),
        (
            "\"1..5\" = { level = \"0\", from = \"0\", each = \"9'\" }",
            "unknown-key",
        ),
        ("\"1..5\" = 3", "wrong-type"),
    ] {
        let text =
            format!("[floors]\n{line}\n[fixtures]\nA = {{ kind = \"sink\", floor = \"3\" }}\n");
        assert!(
            wrong(&text).contains(&mistake.to_owned()),
            "{line}: {:?}",
            names_of(&text)
        );
    }
}

fn names_of(text: &str) -> Vec<String> {
    names(text)
}

#[test]
fn a_bank_of_stacks_stands_in_a_row() {
    let job = |line: &str| {
        format!(
            "[drains]\nm = {{ into = \"exit\" }}\n[stacks]\n{line}\n[fixtures]\nA = {{ kind = \"sink\", into = \"S1\" }}\n"
        )
    };
    let bank = good(&job(
        "\"S1..S4\" = { into = \"m\", station = \"10'\", each = \"6' 6\" }",
    ));
    let stations: Vec<_> = (bank.stacks.iter())
        .map(|s| {
            (
                s.name.as_str(),
                s.station.as_ref().map(|l| l.value.inches().round()),
            )
        })
        .collect();
    assert_eq!(
        stations,
        [
            ("S1", Some(120.0)),
            ("S2", Some(198.0)),
            ("S3", Some(276.0)),
            ("S4", Some(354.0))
        ]
    );
    assert_eq!(bank.made.banks[0].stacks, [0, 1, 2, 3]);
    for (line, mistake) in [
        (
            "\"S1..S4\" = { into = \"m\", station = \"10'\" }",
            "two-stacks-in-one-place",
        ),
        (
            "\"S1..S4\" = { into = \"m\", each = \"10'\" }",
            "missing-key",
        ),
        ("\"S1..S4\" = { at = [1, 2] }", "unknown-key"),
        ("\"S1..T4\" = {}", "unreadable-range"),
        ("\"S1..S4\" = {}\nS2 = {}", "name-used-twice"),
        ("\"S1..S4\" = { into = \"n\" }", "unknown-name"),
    ] {
        // Told once, not once a stack.
        let found = wrong(&job(line));
        let same = found.iter().filter(|n| *n == mistake).count();
        assert_eq!(same, 1, "{line}: {found:?}");
    }
}

#[test]
fn a_group_on_a_drain_has_one_floor() {
    let job = good(&tower(
        "low = { group = \"bath\", into = \"main\", floors = \"1\" }",
    ));
    assert_eq!(job.fixtures[0].name, "WC-1@main-1");
    let over = tower("low = { group = \"bath\", into = \"main\", floors = \"1..2\" }");
    assert_eq!(names(&over), ["15:32 repeated-on-a-drain"]);
}

#[test]
fn spaces_of_a_floor_are_underlines_in_a_name() {
    let job = |floors: &str, on: &str| {
        format!(
            "[floors]\n{floors}\n[stacks]\nS1 = {{}}\n[groups.g.fixtures]\nA = {{ kind = \"sink\" }}\n[repeat]\n\
             r = {{ group = \"g\", into = \"S1\", floors = {on} }}\n"
        )
    };
    let spaced = good(&job(
        "\"second floor\" = { level = \"0\" }",
        "\"second floor\"",
    ));
    assert_eq!(spaced.fixtures[0].name, "A@S1-second_floor");
    let both = "\"second floor\" = { level = \"0\" }\nsecond_floor = { level = \"9'\" }";
    let two = job(both, "[\"second floor\", \"second_floor\"]");
    assert_eq!(names(&two), ["9:1 two-copies-in-one-place"]);
}

/// Every mistake of a repeat at its place, with what puts it right.
#[test]
fn mistakes_of_repeats() {
    for (line, place, help) in [
        (
            "r = { group = \"bth\", into = \"S1\", floors = \"1\" }",
            "15:15 unknown-name",
            "did you mean `bath`?",
        ),
        (
            "r = { group = \"main\", into = \"S1\", floors = \"1\" }",
            "15:15 wrong-kind-of-thing",
            "expected a group",
        ),
        (
            "r = { group = \"bath\", into = \"S9\", floors = \"1\" }",
            "15:30 unknown-name",
            "did you mean `S1`?",
        ),
        (
            "r = { group = \"bath\", into = \"S1..S9\", floors = \"1\" }",
            "15:30 unknown-name",
            "did you mean",
        ),
        (
            "r = { group = \"bath\", into = [], floors = \"1\" }",
            "15:30 missing-key",
            "expected one name at least",
        ),
        (
            "r = { group = \"bath\", into = \"S1\", floors = [] }",
            "15:45 missing-key",
            "expected one name at least",
        ),
        (
            "r = { group = \"bath\", into = \"S1\" }",
            "15:1 missing-key",
            "floors, by name or by a range",
        ),
        (
            "r = { group = \"bath\", into = \"S1\", floors = \"mezanine\" }",
            "15:45 unknown-name",
            "did you mean `mezzanine`?",
        ),
        (
            "r = { group = \"bath\", into = \"S1\", floors = \"4..2\" }",
            "15:45 unreadable-range",
            "write the lower floor first: `2..4`",
        ),
        (
            "r = { group = \"bath\", into = \"S1\", floors = \"2..\" }",
            "15:45 unreadable-range",
            "expected a range like",
        ),
        (
            "r = { group = \"bath\", into = \"S1\", floors = [\"2\", \"1..3\"] }",
            "15:51 two-copies-in-one-place",
            "expected each floor and each stack once",
        ),
        (
            "r = { group = \"bath\", into = [\"S1\", \"S1\"], floors = \"1\" }",
            "15:37 two-copies-in-one-place",
            "expected each floor and each stack once",
        ),
        (
            "r = { group = \"bath\", into = \"S1\", floor = \"1\" }",
            "15:36 unknown-key",
            "did you mean `floors`?",
        ),
        (
            "r = { group = \"bath\", into = \"S1\", floors = 1 }",
            "15:45 wrong-type",
            "expected a name, a range like",
        ),
        (
            "r = { group = \"bath\", into = \"S1\", floors = \"1\" }\nq = { group = \"bath\", into = \"S1\", floors = \"1\" }",
            "16:1 two-copies-in-one-place",
            "things of one stack and floor need names of their own",
        ),
    ] {
        let text = tower(line);
        let found = mistakes(&text);
        let first = found.iter().find(|f| f.0 == place);
        let first = first.unwrap_or_else(|| panic!("{line}: {found:?}"));
        assert!(first.1.starts_with(help), "{line}: {found:?}");
    }
}

/// What is wrong in a group is told once, however often it is placed, with its place and a count.
#[test]
fn mistakes_of_a_group_are_told_once() {
    for (more, place, help) in [
        (
            "A = { kind = \"sink\", floor = \"1\" }\n",
            "14:22 unknown-key",
            "",
        ),
        (
            "A = { kind = \"sink\", into = \"S1\" }\n",
            "14:29 leads-out-of-its-group",
            "without `into` it goes where",
        ),
        (
            "A = { kind = \"sink\", into = \"exit\" }\n",
            "14:29 leads-out-of-its-group",
            "without `into` it goes where",
        ),
        (
            "A = { kind = \"sink\", into = \"bb\" }\n",
            "14:29 unknown-name",
            "did you mean `b`?",
        ),
        (
            "A = { kind = \"sink\", vented_by = \"b\" }\n",
            "14:34 wrong-kind-of-thing",
            "expected a fixture",
        ),
        (
            "A = { kind = \"sink\", vent = \"V\" }\n",
            "14:29 unknown-name",
            "expected the name of a vent",
        ),
        (
            "A = { kind = \"sink\", into = \"A\" }\n",
            "14:29 refers-to-itself",
            "",
        ),
        (
            "A = { kind = \"sink\", into = \"A2\" }\nA2 = { kind = \"sink\", into = \"A\" }\n",
            "14:29 goes-in-a-circle",
            "",
        ),
        (
            "A = { kind = \"sink\", station = \"3'\" }\n",
            "14:32 station-without-drain",
            "",
        ),
        (
            "A = { kind = \"sink\", at = [1, 2] }\n",
            "14:27 two-copies-in-one-place",
            "leave `at` out",
        ),
        ("b = { kind = \"sink\" }\n", "14:1 name-used-twice", ""),
        ("a@b = { kind = \"sink\" }\n", "14:2 not-toml", ""),
        (
            "\"a@b\" = { kind = \"sink\" }\n",
            "14:1 unreadable-name",
            "names with `@` are those of copies",
        ),
        (
            "a-very-long-name-of-a-single-sink = { kind = \"sink\" }\n",
            "14:1 unreadable-name",
            "",
        ),
        (
            "[groups.bath.cleanouts]\nCO = { on = \"main\" }\n",
            "15:13 leads-out-of-its-group",
            "expected a thing of its own group",
        ),
        (
            "[groups.bath.vents]\nV = { into = \"S1\", foot = { into = \"main\" } }\n",
            "15:36 leads-out-of-its-group",
            "expected a thing of its own group",
        ),
        (
            "[groups.bath.drains.c]\ninto = \"b\"\n[groups.bath.drains.d]\ninto = \"b\"\n",
            "17:8 two-drains-in-line",
            "",
        ),
        (
            "[groups.flat]\n",
            "14:9 nothing-to-drain",
            "expected `[groups.flat.fixtures]`",
        ),
        (
            "[groups.flat.stacks]\nS = {}\n",
            "14:14 unknown-key",
            "expected `drains`",
        ),
    ] {
        let text = with(
            more,
            "r = { group = \"bath\", into = \"S1..S3\", floors = \"1..5\" }",
        );
        let found = mistakes(&text);
        let of_place: Vec<_> = found.iter().filter(|f| f.0 == place).collect();
        assert_eq!(of_place.len(), 1, "{more}: {found:?}");
        assert!(of_place[0].1.starts_with(help), "{more}: {found:?}");
    }
    let text = with(
        "A = { kind = \"sink\", station = \"3'\" }\n",
        "r = { group = \"bath\", into = \"S1..S3\", floors = \"2..5\" }",
    );
    let list = read("test", "", &text).expect_err("a station on stacks");
    assert_eq!(list.len(), 1);
    let note = list[0].note.as_deref();
    assert_eq!(note, Some("the same holds for 14 more made from this line"));
}

#[test]
fn a_made_name_has_an_end() {
    let job = |name: &str, stack: &str| {
        format!(
            "[floors]\n\"1..9\" = {{ from = \"0\", each = \"9'\" }}\n[stacks]\n{stack} = {{}}\n[groups.g.fixtures]\n\
             {name} = {{ kind = \"sink\" }}\n[repeat]\nr = {{ group = \"g\", into = \"{stack}\", floors = \"1..9\" }}\n"
        )
    };
    let name = |n| "N".repeat(n);
    assert!(read("test", "", &job(&name(32), &name(13))).is_ok());
    let list = read("test", "", &job(&name(32), &name(14))).expect_err("49 characters");
    assert_eq!(list.len(), 1);
    assert_eq!(list[0].name, "made-name-too-long");
    assert!(
        list[0].message.contains("49 characters"),
        "{}",
        list[0].message
    );
}

/// Things outside name copies, and things of a group name what serves all of them.
#[test]
fn names_lead_into_copies_and_out_of_them() {
    let job = good(&with(
        "FD-1 = { kind = \"floor drain\", primed_by = \"SS-1\" }\nWC-2 = { kind = \"water closet\", vented_by = \"LAV-1\" }\n\
         [groups.bath.vents]\nV = { into = \"V-9\" }\n[vents]\nV-9 = { into = \"roof\" }\n\
         [fixtures]\nLAV-1 = { kind = \"lavatory\", floor = \"1\", into = \"S3\" }\n\
         SS-1 = { kind = \"service sink\", floor = \"1\", into = \"b@S1-1\", primed_by = \"LAV-1@S1-2\" }\n\
         [waivers]\nW = { code = \"A101\", on = \"LAV-1@S1-2\", reason = \"as agreed\" }\n",
        "baths = { group = \"bath\", into = \"S1\", floors = \"1..2\" }",
    ));
    let at = |name: &str| {
        job.fixtures
            .iter()
            .position(|f| f.name == name)
            .expect(name)
    };
    let ss = &job.fixtures[at("SS-1")];
    assert_eq!(
        ss.primed_by.as_ref().map(|s| s.value),
        Some(at("LAV-1@S1-2"))
    );
    assert_eq!(
        ss.into.as_ref().map(|t| t.value.clone()),
        Some(Target::Drain(1))
    );
    let fd = &job.fixtures[at("FD-1@S1-2")];
    assert_eq!(fd.primed_by.as_ref().map(|s| s.value), Some(at("SS-1")));
    // The lavatory of the copy, not the one outside of the same name.
    let wc = &job.fixtures[at("WC-2@S1-2")];
    assert_eq!(
        wc.vented_by.as_ref().map(|s| s.value),
        Some(at("LAV-1@S1-2"))
    );
    assert!(job.vents.iter().all(|v| v.into.is_some()));
    let mistyped = with(
        "[fixtures]\nA = { kind = \"sink\", floor = \"1\", into = \"b@S1-8\" }\n",
        "baths = { group = \"bath\", into = \"S1\", floors = \"1..2\" }",
    );
    assert_eq!(mistakes(&mistyped)[0].1, "did you mean `b@S1-1`?");
}

#[test]
fn the_job_knows_what_was_made() {
    let job = good(&tower(
        "up = { group = \"bath\", into = \"S1..S2\", floors = \"2..5\" }\nlow = { group = \"bath\", into = \"main\", floors = \"1\" }",
    ));
    let made = &job.made;
    assert_eq!(made.groups.len(), 1);
    assert_eq!(
        (made.groups[0].name.as_str(), made.groups[0].copies),
        ("bath", 11)
    );
    let repeats: Vec<_> = made
        .repeats
        .iter()
        .map(|r| (r.name.as_str(), r.into.len(), r.floors.len()))
        .collect();
    assert_eq!(repeats, [("up", 2, 5), ("low", 1, 1)]);
    assert_eq!(made.things.len(), 33);
    let wc = made.of("WC-1@S2-3.arm").expect("a copy");
    assert_eq!(
        (wc.section, wc.written.as_str(), wc.group, wc.repeat),
        ("fixtures", "WC-1", 0, 0)
    );
    assert_eq!(wc.into, Target::Stack(1));
    assert_eq!(job.floors[wc.floor.0].name, "3");
    // Of one copy, all things have one number.
    assert_eq!(wc.copy, made.of("b@S2-3").map_or(0, |t| t.copy));
    assert_ne!(wc.copy, made.of("WC-1@S2-4").map_or(0, |t| t.copy));
    assert_eq!(made.of("S1"), None);
    assert_eq!(made.typical[0].floors.len(), 5);
    assert_eq!(made.banks[0].name, "S1..S3");
}

/// Without fixtures of its own a job may have those of a group, and no others.
#[test]
fn fixtures_may_all_be_of_groups() {
    assert!(
        read(
            "test",
            "",
            &tower("r = { group = \"bath\", into = \"S1\", floors = \"1\" }")
        )
        .is_ok()
    );
    let unused = tower("");
    assert_eq!(wrong(&unused), ["nothing-to-drain"]);
    let drains = "[floors]\n1 = { level = \"0\" }\n[stacks]\nS1 = {}\n[groups.g.drains]\nb = {}\n[repeat]\nr = { group = \"g\", into = \"S1\", floors = \"1\" }\n";
    assert_eq!(wrong(drains), ["nothing-to-drain"]);
}

/// What `every-key.toml` makes.
pub fn every_key(job: &Job) {
    let f = |name: &str| job.fixtures.iter().find(|f| f.name == name).expect(name);
    for floor in ["second_floor", "3", "4"] {
        let shower = f(&format!("GS@S1-{floor}"));
        assert!(shower.public && shower.existing && shower.heads == Some(2));
    }
    // What stands over a receptor drains into that, and not into the stack.
    assert_eq!(f("GC@S1-3").into, None);
    let stations: Vec<_> = job
        .stacks
        .iter()
        .filter_map(|s| s.station.as_ref())
        .collect();
    assert_eq!(stations.len(), 4);
    assert!(stations[3].value.same(Length::from_feet(46.0)));
    let valve = job
        .valves
        .iter()
        .find(|v| v.name == "gbw@S1-4")
        .expect("a valve");
    let drain = job
        .drains
        .iter()
        .position(|d| d.name == "ge@S1-4")
        .expect("its drain");
    assert_eq!(valve.on.value, Target::Drain(drain));
    let vent = job
        .vents
        .iter()
        .find(|v| v.name == "gv@S1-4")
        .expect("a vent");
    assert_eq!(vent.into.as_ref().map(|t| &t.value), Some(&Target::Roof));
    assert!(vent.foot.is_some());
}
