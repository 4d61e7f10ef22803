//! The lines of a section in another order give the same numbers, wherever the job leaves
//! nothing to their order: everything that enters a drain states its station, and everything that
//! enters a stack its floor and invert.

mod common;

use std::collections::BTreeMap;

use common::jobs::{Draft, Open, measured};
use common::{Dice, Worked, complete, sample_text};
use proptest::prelude::*;
use stackfall::units::Length;

/// What must be the same: by id, each drain's and vent's size, load, inverts and length; how each
/// fixture is vented; the codes of what was found, with the place of each.
fn numbers(of: &Worked) -> BTreeMap<String, String> {
    let mut all = BTreeMap::new();
    let mm = |l: Option<Length>| l.map(|l| (l.mm() * 1000.0).round() / 1000.0);
    for p in of.net.graph.edge_indices() {
        let size = of.solution.sizing.pieces.get(&p);
        let level = of.solution.levels.pieces.get(&p);
        let words = format!(
            "{:?} {:?} down {:?} up {:?} long {:?}",
            size.map(|s| s.size.inches()),
            size.map(|s| (s.load.dfu() * 1000.0).round() / 1000.0),
            mm(level.and_then(|l| l.invert_down)),
            mm(level.and_then(|l| l.invert_up)),
            mm(level.and_then(|l| l.length)),
        );
        all.insert(of.net.graph[p].id.clone(), words);
    }
    for c in &of.net.cleanouts {
        all.insert(
            format!("cleanout {}", c.id),
            of.net.graph[c.joint].id.clone(),
        );
    }
    let mut codes: Vec<String> = (of.findings.open.iter())
        .map(|d| format!("{} {}", d.code, d.at))
        .collect();
    codes.sort();
    all.insert("findings".to_owned(), codes.join(", "));
    all
}

/// What differs, or nothing.
fn differences(a: &Worked, b: &Worked) -> Vec<String> {
    let (a, b) = (numbers(a), numbers(b));
    let ids: std::collections::BTreeSet<&String> = a.keys().chain(b.keys()).collect();
    ids.into_iter()
        .filter(|id| a.get(*id) != b.get(*id))
        .map(|id| format!("{id}: {:?}, then {:?}", a.get(id), b.get(id)))
        .collect()
}

/// Every method that the job has to ask for.
const ALL_METHODS: &str = "methods = { allow = [\"single stack\"] }\n";

fn same(rolls: Vec<u32>, methods: &str) -> Result<bool, TestCaseError> {
    let dice = &mut Dice(rolls, 0);
    let job = measured(dice, Open::default());
    let other = job.shuffled(dice);
    for code in ["irc-2021", "ipc-2021"] {
        let under = |job: &Draft| {
            job.text()
                .replace("irc-2021", code)
                .replace("ipc-2021", code)
                .replacen("[job]\n", &format!("[job]\n{methods}"), 1)
        };
        let (one, two) = (under(&job), under(&other));
        let (Ok(a), Ok(b)) = (complete("one", &one), complete("two", &two)) else {
            return Ok(false);
        };
        let codes = |c: &common::Completed| {
            let mut codes: Vec<String> = (c.told.iter())
                .map(|d| format!("{} {}", d.code, d.at))
                .collect();
            codes.sort();
            codes
        };
        prop_assert_eq!(codes(&a), codes(&b));
        if a.is_faulty() {
            return Ok(false);
        }
        let found = differences(&a.worked(), &b.worked());
        prop_assert!(found.is_empty(), "{found:#?}\n{one}\n----\n{two}");
    }
    Ok(true)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn lines_in_another_order_give_the_same_numbers(rolls in prop::collection::vec(any::<u32>(), 8..64)) {
        same(rolls, "")?;
    }
    #[test]
    fn so_do_the_methods_that_a_job_allows(rolls in prop::collection::vec(any::<u32>(), 8..64)) {
        same(rolls, ALL_METHODS)?;
    }
}

#[test]
fn most_of_these_jobs_are_sound() {
    let mut sound = 0;
    for seed in 0..60u32 {
        let rolls = (0..40).map(|i| seed.wrapping_mul(97).wrapping_add(i * 7919));
        sound += usize::from(same(rolls.collect(), "").is_ok_and(|s| s));
    }
    // Else the property above would be about nothing.
    assert!(sound >= 45, "{sound} of 60");
}

/// Where two things enter at one place the first in the file gives it its name; the numbers are
/// the same under either.
#[test]
fn samples_give_the_same_numbers_in_any_order_of_their_lines() {
    let values = |w: &Worked| {
        let mut values: Vec<String> = numbers(w)
            .into_values()
            .filter(|v| v.contains("down"))
            .collect();
        values.sort();
        values
    };
    for sample in ["alder-court", "mill-house", "quarry-flats"] {
        let whole = sample_text(sample);
        let first = common::worked(sample, &whole);
        for seed in 1..6u32 {
            let dice = &mut Dice((0..50).map(|i| seed * 31 + i * 7919).collect(), 0);
            let mut text = String::new();
            for (i, section) in whole.split("\n[").enumerate() {
                let mut lines: Vec<&str> = section.lines().collect();
                let name = lines.remove(0);
                if name.ends_with(']') && !name.starts_with("job") && !name.starts_with("exit") {
                    dice.shuffle(&mut lines);
                }
                let open = if i == 0 { "" } else { "[" };
                text += &format!("{open}{name}\n{}\n", lines.join("\n"));
            }
            let second = common::worked(sample, &text);
            assert_eq!(values(&first), values(&second), "{sample}, {seed}");
            if sample == "mill-house" {
                assert_eq!(differences(&first, &second), Vec::<String>::new());
            }
        }
    }
}
