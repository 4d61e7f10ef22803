//! What the tool proposes by itself trips none of the findings about ways, vents and positions:
//! a job that states no run, no arm and no vent never hears of them.

use proptest::prelude::*;

use super::common::{Dice, complete, jobs::sketch};

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
}
