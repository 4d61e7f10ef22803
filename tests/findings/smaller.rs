//! Whatever pipe a job states one size smaller than its code's least is found as an error that names
//! it: drains, stacks, trap arms and fixture drains, traps and vents, under every book. 24 jobs in the
//! ordinary run; `STACKFALL_JOBS=300` takes so many.

use std::collections::{BTreeMap, BTreeSet};

use stackfall::findings::errors;
use stackfall::job::edit::{Edit, edited};
use stackfall::network::{PieceIx, RunIx, RunKind, TrapIx, VentMethod};
use stackfall::solve::solve;
use stackfall::units::PipeSize;

use super::common::jobs::{Open, measured, numbered};
use super::common::{Completed, Dice, Worked, complete};

/// Findings that a size is too small.
const OF_SIZE: [&str; 6] = ["D101", "D102", "D103", "D104", "D106", "V101"];
const BOOKS: [&str; 4] = ["ipc-2021", "upc-2021", "irc-2021", "en-12056-2"];

/// A size that a job may state, one smaller than some pipe of it may have by the code.
struct Smaller {
    /// `drain`, `stack`, `arm`, `trap`, `vent`: to count by.
    what: &'static str,
    edits: Vec<Edit>,
    /// What the finding may name: the pipe, or another that the same words size.
    names: BTreeSet<String>,
}

fn job(number: u64, book: &str) -> String {
    let mut state = number as u32;
    let seed = (0..64).map(|_| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        state
    });
    let mut dice = Dice(seed.collect(), 0);
    let text = match number % 3 {
        0 => {
            // The first building of few storeys from here on.
            let small = (number..).find(|n| numbered(*n, book).storeys <= 4);
            numbered(small.unwrap_or(number), book).draft.text()
        }
        _ => measured(&mut dice, Open::default()).text(),
    };
    // No size but the one that is tried.
    let mut text = text
        .replace("irc-2021", book)
        .replace("ipc-2021", book)
        .replace("upc-2021", book);
    for size in [2, 3, 4, 6] {
        text = text.replace(&format!("\"size {size}\", "), "");
    }
    text
}

fn read(text: &str) -> Option<Completed> {
    complete("a job", text).ok().filter(|c| !c.is_faulty())
}

/// The ids of what belongs to these pieces, and of their runs.
fn names(of: &Worked, pieces: &[PieceIx]) -> BTreeSet<String> {
    let pieces = pieces.iter().map(|p| &of.net.graph[*p]);
    let ids = pieces.flat_map(|p| [p.id.clone(), of.net.runs[p.run.0].id.clone()]);
    ids.collect()
}

fn size_edit(path: &[&str], size: PipeSize) -> Edit {
    Edit::write(path, format!("\"{}\"", size.trade_name()))
}

/// One size smaller than the code's least of some pieces, each such size once.
fn smaller(of: &Worked, pieces: &[PieceIx]) -> BTreeSet<PipeSize> {
    let sizes = pieces
        .iter()
        .filter_map(|p| of.solution.sizing.pieces.get(p));
    let codes = sizes.filter(|s| !s.stated).filter_map(|s| s.code_size);
    codes.filter_map(PipeSize::next_down).collect()
}

/// Everything that can be stated too small, one by one.
fn all(of: &Worked) -> Vec<Smaller> {
    let mut all = Vec::new();
    let net = &of.net;
    let section = |what: &'static str, section: &str, run: usize, out: &mut Vec<Smaller>| {
        let (id, pieces) = (&net.runs[run].id, &net.runs[run].pieces);
        for size in smaller(of, pieces) {
            out.push(Smaller {
                what,
                edits: vec![size_edit(&[section, id, "size"], size)],
                names: names(of, pieces),
            });
        }
    };
    let drains: BTreeSet<&str> = of.job.drains.iter().map(|d| d.name.as_str()).collect();
    let stacks: BTreeSet<&str> = of.job.stacks.iter().map(|s| s.name.as_str()).collect();
    let vents: BTreeSet<&str> = of.job.vents.iter().map(|v| v.name.as_str()).collect();
    for (i, run) in net.runs.iter().enumerate() {
        if drains.contains(run.id.as_str()) {
            section("drain", "drains", i, &mut all);
        } else if stacks.contains(run.id.as_str()) && run.kind == RunKind::Stack {
            section("stack", "stacks", i, &mut all);
        } else if vents.contains(run.id.as_str()) {
            section("vent", "vents", i, &mut all);
        }
    }
    for (t, trap) in net.traps.iter().enumerate() {
        let Some(fixture) = of
            .job
            .fixtures
            .get(trap.fixture)
            .filter(|_| trap.joint.is_some())
        else {
            continue;
        };
        let name = fixture.name.as_str();
        all.extend(of_fixture(of, TrapIx(t), name));
    }
    all
}

/// The drain of one fixture by itself, its arm, and its trap.
fn of_fixture(of: &Worked, trap: TrapIx, name: &str) -> Vec<Smaller> {
    let net = &of.net;
    let sized = of.solution.sizing.traps.get(&trap);
    // One that the book does not list has no size by the code until its load or trap is stated.
    if sized.is_none_or(|t| t.unknown.is_some()) {
        return Vec::new();
    }
    let own = |p: &PieceIx| {
        let run: RunIx = net.graph[*p].run;
        let kind = net.runs[run.0].kind;
        matches!(kind, RunKind::Arm | RunKind::FixtureDrain)
            && net.graph[*p].id.starts_with(&format!("{name}."))
    };
    let pieces: Vec<PieceIx> = net.graph.edge_indices().filter(own).collect();
    let mut all = Vec::new();
    let named = || {
        let mut names = names(of, &pieces);
        names.insert(name.to_owned());
        names
    };
    for size in smaller(of, &pieces) {
        all.push(Smaller {
            what: "arm",
            edits: vec![size_edit(&["fixtures", name, "size"], size)],
            names: named(),
        });
    }
    let code = sized.map(|t| t.code_size);
    if let Some(size) = code.and_then(PipeSize::next_down) {
        all.push(Smaller {
            what: "trap",
            edits: vec![size_edit(&["fixtures", name, "trap"], size)],
            names: named(),
        });
    }
    all
}

/// The job with a name for every vent that serves one fixture, so that its size can be stated.
fn with_vents_named(text: &str, of: &Completed) -> String {
    let mut edits = Vec::new();
    for trap in &of.net.traps {
        let fixture = &of.job.fixtures[trap.fixture];
        if trap.vent != VentMethod::Individual || fixture.vent.is_some() {
            continue;
        }
        let vent = format!("VENT-{}", fixture.name);
        edits.push(Edit::write(&["vents", &vent], "{}"));
        let path = ["fixtures", fixture.name.as_str(), "vent"];
        edits.push(Edit::write(&path, format!("\"{vent}\"")));
    }
    edited(text, &edits).unwrap_or_else(|| panic!("{edits:?} have no place\n{text}"))
}

/// What is wrong with not finding it; none: it is found.
fn missed(text: &str, smaller: &Smaller) -> Option<String> {
    let Some(mended) = edited(text, &smaller.edits) else {
        return Some(format!("no place for {:?}", smaller.edits));
    };
    let Some(done) = read(&mended) else {
        return Some(format!("does not read:\n{mended}"));
    };
    // Without the cures, which take longer than all else.
    let solution = solve(&done.job, &done.net, &done.book);
    let mut of_size = errors(&done.job, &done.net, &done.book, &solution);
    of_size.retain(|e| OF_SIZE.contains(&e.0));
    let named = of_size.iter().any(|e| smaller.names.contains(&e.1));
    (!named).then(|| {
        let places: Vec<_> = smaller
            .edits
            .iter()
            .map(|e| (e.place(), e.value.clone()))
            .collect();
        format!(
            "{places:?} is not found; {:?}\n{of_size:?}\n{mended}",
            smaller.names
        )
    })
}

#[test]
fn one_size_smaller_than_the_code_is_always_found() {
    let said = std::env::var("STACKFALL_JOBS").ok();
    let count = said.map_or(24, |n| n.parse().expect("STACKFALL_JOBS is a number"));
    let mut tried: BTreeMap<(&str, &str), u32> = BTreeMap::new();
    let mut wrong: BTreeMap<(&str, &str), (u32, String)> = BTreeMap::new();
    for number in 0..count {
        for book in BOOKS {
            let text = job(number, book);
            let Some(done) = read(&text) else { continue };
            let text = with_vents_named(&text, &done);
            let Some(done) = read(&text) else { continue };
            for smaller in all(&done.worked()) {
                let key = (book, smaller.what);
                *tried.entry(key).or_default() += 1;
                if let Some(why) = missed(&text, &smaller) {
                    let entry = wrong.entry(key).or_insert((0, why));
                    entry.0 += 1;
                }
            }
        }
    }
    println!("tried {tried:?}");
    let told: Vec<_> = wrong
        .iter()
        .map(|(k, (n, why))| format!("{k:?} {n} times: {why}"))
        .collect();
    assert!(told.is_empty(), "{}", told.join("\n\n"));
    for book in BOOKS {
        for what in ["drain", "stack", "arm", "trap", "vent"] {
            assert!(
                tried.get(&(book, what)).is_some_and(|n| *n >= 20),
                "{book} {what}: {tried:?}"
            );
        }
    }
}

/// A size that is large enough is not taken for found.
#[test]
fn a_size_that_will_do_is_not_found() {
    let text = job(1, "ipc-2021");
    let done = read(&text).expect("a job that reads").worked();
    let large = |mut s: Smaller| {
        let place = s.edits.pop().map(|e| e.path);
        let value = Some("15".to_owned());
        s.edits.extend(place.map(|path| Edit { path, value }));
        s
    };
    let all = all(&done).into_iter().filter(|s| s.what == "drain");
    let all: Vec<Smaller> = all.map(large).collect();
    assert!(!all.is_empty());
    assert!(all.iter().any(|s| missed(&text, s).is_some()));
}
