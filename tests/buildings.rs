//! A building as the tool completes it has no finding under the book that it was completed with:
//! random buildings from a single bath to forty storeys, under each book that fits. A second test says
//! that they are not empty of what they are for.
//!
//! 300 of them in the ordinary run. `STACKFALL_BUILDINGS=10000` takes so many,
//! `STACKFALL_BUILDING=57` prints that one and what is found of it; `STACKFALL_WRITE=DIR` writes them
//! into a folder as job files, each under one of its books, for `.ci/proof-more`.

mod common;

use std::collections::BTreeMap;
use std::thread;

use common::complete;
use common::jobs::{Building, For, numbered};
use stackfall::diagnostics::Diagnostic;
use stackfall::network::{JointKind, RunKind, VentMethod, check};
use stackfall::sizing::intervals::intervals;

/// How many in the ordinary run.
const USUAL: u64 = 300;

/// Findings that a sketch has for what it leaves out, or that ask for nothing, each with why it does
/// not count here.
const PASSED_OVER: [(&str, &str); 2] = [
    (
        "L101",
        "a sketch gives no lengths: the finding only says so",
    ),
    (
        "D108",
        "a drain may be full; the code asks for no room to spare",
    ),
];

fn number_of(variable: &str) -> Option<u64> {
    let said = std::env::var(variable).ok()?;
    Some(
        said.parse()
            .unwrap_or_else(|_| panic!("{variable}={said}: no number")),
    )
}

/// What is wrong with a building under a book.
fn wrong(name: &str, text: &str) -> Vec<Diagnostic> {
    let done = match complete(name, text) {
        Ok(done) => done,
        Err(faults) => return faults,
    };
    let broken = check(&done.net);
    assert!(broken.is_empty(), "{name}: {broken:?}\n{text}");
    let mut found = done.told.clone();
    found.extend(done.worked().findings.open);
    found.retain(|d| PASSED_OVER.iter().all(|p| p.0 != d.code));
    found
}

/// Runs something for every number below a count, on all cores.
fn for_each<T: Send>(count: u64, run: impl Fn(u64) -> T + Sync) -> Vec<T> {
    let cores = thread::available_parallelism().map_or(1, |n| n.get() as u64);
    thread::scope(|scope| {
        let all = (0..cores).map(|core| {
            let run = &run;
            scope.spawn(move || {
                (core..count)
                    .step_by(cores as usize)
                    .map(run)
                    .collect::<Vec<T>>()
            })
        });
        let all: Vec<_> = all.collect();
        let all = all
            .into_iter()
            .map(|t| t.join().unwrap_or_else(|e| std::panic::resume_unwind(e)));
        all.flatten().collect()
    })
}

#[test]
fn what_is_proposed_has_no_finding() {
    if let Some(number) = number_of("STACKFALL_BUILDING") {
        for book in numbered(number, "").books() {
            let text = numbered(number, book).draft.text();
            println!("{text}\n{book}: {:#?}", wrong(book, &text));
        }
        return;
    }
    let count = number_of("STACKFALL_BUILDINGS").unwrap_or(USUAL);
    let found = for_each(count, |number| {
        let books = numbered(number, "").books();
        let run = |book: &&'static str| {
            let Building { draft, .. } = numbered(number, book);
            (*book, number, wrong(book, &draft.text()))
        };
        books.iter().map(run).collect::<Vec<_>>()
    });
    // By book and code: how many buildings, and one of them.
    let mut kinds: BTreeMap<(&str, &str), (u32, u64, String)> = BTreeMap::new();
    let mut runs = 0;
    for (book, number, found) in found.into_iter().flatten() {
        runs += 1;
        for d in found {
            let kind = kinds
                .entry((book, d.code))
                .or_insert((0, number, d.message));
            kind.0 += 1;
        }
    }
    println!("{count} buildings, {runs} runs");
    let told = kinds.iter().map(|((book, code), (n, number, message))| {
        format!("{book} {code}: {n}, such as in {number}: {message}")
    });
    let told: Vec<String> = told.collect();
    assert!(told.is_empty(), "{}", told.join("\n"));
}

#[test]
fn buildings_are_written_out_where_asked_for() {
    let Some(folder) = std::env::var_os("STACKFALL_WRITE").map(std::path::PathBuf::from) else {
        return;
    };
    let count = number_of("STACKFALL_BUILDINGS").unwrap_or(USUAL);
    std::fs::create_dir_all(&folder).expect("a folder to write into");
    for number in 0..count {
        let books = numbered(number, "").books();
        // Each book has its turn.
        let book = books[(number % books.len() as u64) as usize];
        let name = format!("{number:05}-{book}.toml");
        let text = numbered(number, book).draft.text();
        std::fs::write(folder.join(name), text).expect("a job file is written");
    }
}

/// What the ordinary run's buildings have of what they are for, under the first book of each.
#[test]
fn the_buildings_are_not_empty() {
    const LEAST: [(&str, usize); 18] = [
        ("houses", 100),
        ("flats", 60),
        ("offices", 40),
        ("closets", 4000),
        ("public fixtures", 4000),
        ("floor drains with primers", 300),
        ("washers", 300),
        ("groups counted as such", 1000),
        ("wet vented traps", 3000),
        ("traps with a common vent", 100),
        ("stacks of five intervals and more", 150),
        ("stacks of more than ten intervals", 60),
        ("stacks of more than thirty intervals", 4),
        ("vent headers", 1000),
        ("vent risers", 200),
        ("drains of more than 4 in", 100),
        ("vent stacks", 150),
        ("relief vents", 50),
    ];
    let seen = for_each(USUAL, |number| {
        let Building { draft, is_for, .. } = numbered(number, "ipc-2021");
        let name = format!("building {number}");
        let done = complete(&name, &draft.text()).unwrap_or_else(|d| panic!("{name}: {d:#?}"));
        let work = done.worked();
        let fixtures = || work.job.fixtures.iter();
        let kinds = |word: &str| fixtures().filter(|f| f.kind.value == word).count();
        let traps = |is: fn(&VentMethod) -> bool| {
            let all = work.net.traps.iter();
            all.filter(|t| is(&t.vent)).count()
        };
        let runs = |kind: RunKind| work.net.runs.iter().filter(|r| r.kind == kind).count();
        let stacks = intervals(&work.job, &work.net, &work.book);
        let tall = |over: u32| stacks.values().filter(|i| i.count > over).count();
        let joints = work.net.graph.node_weights();
        let reliefs = joints.filter(|j| matches!(j.kind, JointKind::Relief(_)));
        let sizes = work.solution.sizing.pieces.values();
        let whole = work.solution.sizing.totals.iter();
        let groups = whole
            .flat_map(|t| &t.rows)
            .filter(|r| r.0.contains("group"));
        [
            usize::from(is_for == For::House),
            usize::from(is_for == For::Flats),
            usize::from(is_for == For::Offices),
            kinds("water closet"),
            fixtures().filter(|f| f.public).count(),
            fixtures().filter(|f| f.primed_by.is_some()).count(),
            kinds("clothes washer"),
            groups.map(|r| r.1 as usize).sum(),
            traps(|v| matches!(v, VentMethod::Wet(_))),
            traps(|v| matches!(v, VentMethod::Common(_))),
            tall(4),
            tall(10),
            tall(30),
            runs(RunKind::Header),
            runs(RunKind::Riser),
            sizes.filter(|s| s.size.inches() > 4.0).count(),
            runs(RunKind::VentStack),
            reliefs.count(),
        ]
    });
    let mut lacks = Vec::new();
    for (i, (what, least)) in LEAST.iter().enumerate() {
        let count: usize = seen.iter().map(|s| s[i]).sum();
        println!("{what}: {count}");
        if count < *least {
            lacks.push(format!("{what}: {count}, not {least}"));
        }
    }
    assert!(lacks.is_empty(), "{}", lacks.join("\n"));
}
