//! Faults told in one run, hostile indices, sameness, size.

use super::*;
use stackfall::codebook::Book;
use stackfall::{job, proposals};

/// The codes that stage 2 gives for a job, after a change that no job file can make.
fn faults(rest: &str, change: impl FnOnce(&mut job::Job)) -> Vec<&'static str> {
    let mut job = job::read("test", "test.toml", &format!("{HEAD}{rest}")).expect("a job");
    change(&mut job);
    let told = network::build(&job).expect_err("faults");
    assert!(
        told.iter()
            .all(|d| !d.message.is_empty() && d.help.is_some())
    );
    told.iter().map(|d| d.code).collect()
}

const FAULTY: &str = r#"
[drains]
main = { into = "exit", run = ["north 20'"] }
a = { into = "main", station = "5'", floor = "first" }
b = { into = "a", floor = "first" }
[stacks]
S1 = { into = "main", station = "8'" }
S2 = { into = "main", station = "9'" }
[fixtures]
WC-1 = { kind = "water closet", floor = "second", into = "S1" }
LAV-1 = { kind = "lavatory", floor = "second", into = "S1" }
FD-1 = { kind = "floor drain", floor = "basement", into = "main", station = "18'" }
CD-1 = { kind = "condensate", floor = "basement", over = "FD-1" }
[vents]
V1 = { into = "S1" }
V2 = { into = "V1" }
[basins]
EJ-1 = { floor = "basement", into = "main", station = "19'" }
"#;

#[test]
fn every_fault_is_told_in_one_run() {
    use stackfall::job::{Said, Target};
    let said = |value: Target| Some(Said { value, span: 0..0 });
    let length = |feet: f64| {
        let value = stackfall::units::Length::from_feet(feet);
        Some(Said { value, span: 0..0 })
    };
    type Change = Box<dyn FnOnce(&mut job::Job)>;
    let cases: Vec<(&str, Change)> = vec![
        ("N002", Box::new(|j| j.fixtures[0].floor = None)),
        (
            "N003",
            Box::new(move |j| j.drains[1].into = said(Target::Drain(2))),
        ),
        (
            "N004",
            Box::new(move |j| j.stacks[0].station = length(21.0)),
        ),
        (
            "N005",
            Box::new(move |j| j.stacks[0].station = length(-1.0)),
        ),
        (
            "N005",
            Box::new(move |j| j.stacks[0].station = length(f64::NAN)),
        ),
        (
            "N005",
            Box::new(|j| j.drains[0].run[0].length = stackfall::units::Length::ZERO),
        ),
        (
            "N006",
            Box::new(move |j| j.stacks[0].into = said(Target::Stack(1))),
        ),
        (
            "N007",
            Box::new(move |j| {
                j.drains[1].station = None;
                j.drains[2].into = said(Target::Drain(0));
            }),
        ),
        ("N008", Box::new(move |j| j.stacks[1].station = length(8.0))),
        (
            "N009",
            Box::new(move |j| j.fixtures[0].into = said(Target::Vent(0))),
        ),
        (
            "N009",
            Box::new(move |j| j.drains[1].into = said(Target::Drain(99))),
        ),
        ("N010", Box::new(|j| j.basins[0].into = None)),
        (
            "N011",
            Box::new(move |j| j.vents[0].into = said(Target::Vent(1))),
        ),
        (
            "N011",
            Box::new(move |j| j.vents[0].into = said(Target::Drain(0))),
        ),
        (
            "N012",
            Box::new(|j| {
                j.fixtures[0].vented_by = Some(Said {
                    value: 2,
                    span: 0..0,
                });
            }),
        ),
        ("N013", Box::new(|j| j.fixtures[3].over = None)),
    ];
    for (code, change) in cases {
        let told = faults(FAULTY, change);
        assert!(told.contains(&code), "{code} in {told:?}");
    }
    // Not just the first.
    let told = faults(FAULTY, |j| {
        j.basins[0].into = None;
        j.vents[0].into = said(Target::Drain(0));
        j.stacks[0].station = length(50.0);
    });
    assert!(
        ["N004", "N010", "N011"].iter().all(|c| told.contains(c)),
        "{told:?}"
    );
}

#[test]
fn indices_out_of_range_are_no_panic() {
    use stackfall::job::{Said, Target};
    let text = format!("{HEAD}{FAULTY}");
    let base = job::read("test", "test.toml", &text).expect("a job");
    let book = Book::builtin("irc-2021").expect("a book");
    for target in [
        Target::Exit(9),
        Target::Drain(9),
        Target::Stack(9),
        Target::Vent(9),
        Target::Basin(9),
        Target::Fixture(9),
        Target::Roof,
    ] {
        for place in 0..5 {
            let mut j = base.clone();
            let said = Some(Said {
                value: target.clone(),
                span: 0..0,
            });
            match place {
                0 => j.drains[1].into = said,
                1 => j.stacks[0].into = said,
                2 => j.fixtures[0].into = said,
                3 => j.vents[0].into = said,
                _ => j.basins[0].into = said,
            }
            j.fixtures[1].vent = Some(Said {
                value: 9,
                span: 0..0,
            });
            j.fixtures[2].primed_by = Some(Said {
                value: 9,
                span: 0..0,
            });
            if let Ok(net) = network::build(&j) {
                let (_, _) = proposals::complete(&j, net, &book);
            }
        }
    }
    let mut j = base.clone();
    j.fixtures[0].vented_by = Some(Said {
        value: 99,
        span: 0..0,
    });
    if let Ok(net) = network::build(&j) {
        let (_, _) = proposals::complete(&j, net, &book);
    }
    for (f, floor) in j.fixtures.iter_mut().zip([7, 8, 9, 10]) {
        f.floor = Some(stackfall::job::FloorIx(floor));
    }
    j.exits.clear();
    if let Ok(net) = network::build(&j) {
        let (_, _) = proposals::complete(&j, net, &book);
    }
}

#[test]
fn the_same_job_gives_the_same_network() {
    let text = std::fs::read_to_string("samples/alder-court/job.toml").expect("a sample");
    assert_eq!(dump(&sound(&text)), dump(&sound(&text)));
}

#[test]
fn a_big_house_takes_no_time() {
    let mut text = format!("{HEAD}[stacks]\n");
    for s in 0..500 {
        text.push_str(&format!("S{s} = {{}}\n"));
    }
    text.push_str("[fixtures]\n");
    for s in 0..500 {
        for (floor, f) in [("first", 0), ("second", 1)] {
            for (k, kind) in ["water closet", "lavatory", "shower", "kitchen sink"]
                .iter()
                .enumerate()
            {
                text.push_str(&format!(
                    "F{s}-{f}-{k} = {{ kind = \"{kind}\", floor = \"{floor}\", into = \"S{s}\" }}\n"
                ));
            }
        }
    }
    let job = job::read("test", "test.toml", &text).expect("a job");
    let start = std::time::Instant::now();
    let stated = network::build(&job).expect("a network");
    let built = start.elapsed();
    let (net, _) = proposals::complete(&job, stated, &Book::builtin("irc-2021").expect("a book"));
    println!(
        "4000 fixtures: build {built:?}, complete {:?}",
        start.elapsed() - built
    );
    assert_eq!(net.traps.len(), 4000);
    assert!(network::check(&net).is_empty());
    // Far above what it takes even on a busy machine without optimisation; far below quadratic.
    assert!(start.elapsed().as_secs() < 20);
}
