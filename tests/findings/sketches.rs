//! What the tool proposes by itself trips none of the findings about ways, vents and positions:
//! a job that states no run, no arm and no vent never hears of them.

use proptest::prelude::*;

use super::common::{Dice, complete, jobs::sketch};

/// Findings of the venting methods.
const OF_METHODS: [&str; 9] = [
    "M101", "M102", "M103", "M104", "M105", "M106", "M107", "V102", "V106",
];
/// Every method that a job has to ask for.
const ASKED: [&str; 5] = [
    "single stack",
    "waste stack",
    "circuit",
    "combination",
    "air admittance valve",
];

/// Findings about what nobody but the tool has laid out in such a job.
const NEVER: [&str; 10] = [
    "A103", "A104", "D109", "D110", "D111", "L102", "L103", "V103", "V104", "V105",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, ..ProptestConfig::default() })]
    #[test]
    fn proposals_trip_no_finding_about_their_own_ways(
        seed in prop::collection::vec(any::<u32>(), 4..12)
    ) {
        let text = sketch(&mut Dice(seed, 0)).text();
        // A sketch that is no network tells its faults; that is another test's matter.
        let Ok(done) = complete("sketch", &text) else { return Ok(()) };
        if done.is_faulty() {
            return Ok(());
        }
        let findings = done.worked().findings;
        let wrong: Vec<_> = findings.open.iter().filter(|d| NEVER.contains(&d.code)).collect();
        prop_assert!(wrong.is_empty(), "{text}\n{wrong:#?}");
    }

    /// Whatever methods a job allows, prefers and forbids, and under whatever book.
    #[test]
    fn methods_are_proposed_only_where_they_hold(
        seed in prop::collection::vec(any::<u32>(), 4..12),
        allowed in 0u32..32,
        preferred in 0usize..6,
        forbidden in 0usize..12,
        code in 0usize..3,
    ) {
        let quoted = |words: Vec<&str>| -> String {
            let words: Vec<String> = words.iter().map(|w| format!("\"{w}\"")).collect();
            words.join(", ")
        };
        let allow = ASKED.iter().enumerate().filter(|(i, _)| allowed >> i & 1 == 1).map(|a| *a.1);
        let methods = format!(
            "methods = {{ allow = [{}], prefer = [{}], forbid = [{}] }}",
            quoted(allow.collect()),
            quoted(ASKED.get(preferred).copied().into_iter().collect()),
            quoted(ASKED.get(forbidden).copied().into_iter().collect()),
        );
        let text = sketch(&mut Dice(seed, 0)).text();
        let text = text.replacen("[job]\n", &format!("[job]\n{methods}\n"), 1);
        let book = ["irc-2021", "ipc-2021", "upc-2021"][code];
        let text = text.replace("irc-2021", book).replace("ipc-2021", book);
        let Ok(done) = complete("sketch", &text) else { return Ok(()) };
        if done.is_faulty() {
            return Ok(());
        }
        let findings = done.worked().findings;
        let wrong: Vec<_> = (findings.open.iter())
            .filter(|d| NEVER.contains(&d.code) || OF_METHODS.contains(&d.code))
            .collect();
        prop_assert!(wrong.is_empty(), "{text}\n{wrong:#?}");
    }
}

/// Else the property above would be about nothing.
#[test]
fn sketches_come_to_have_every_method() {
    let mut seen = std::collections::BTreeSet::new();
    for seed in 0..400u32 {
        let rolls = (0..10).map(|i| seed.wrapping_mul(97).wrapping_add(i * 7919));
        let text = sketch(&mut Dice(rolls.collect(), 0)).text();
        for method in &ASKED[..4] {
            let asked = format!("[job]\nmethods = {{ prefer = [\"{method}\"] }}\n");
            let text = text
                .replacen("[job]\n", &asked, 1)
                .replace("irc-2021", "ipc-2021");
            if let Ok(done) = complete("sketch", &text) {
                seen.extend(done.net.traps.iter().filter_map(|t| t.vent.word()));
            }
        }
    }
    let missing: Vec<_> = ASKED[..4].iter().filter(|m| !seen.contains(*m)).collect();
    assert!(missing.is_empty(), "{missing:?} of {seen:?}");
}
