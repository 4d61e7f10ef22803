//! What the tool proposes by itself trips none of the findings about ways, vents and positions:
//! a job that states no run, no arm and no vent never hears of them.

use proptest::prelude::*;

use super::common::{Dice, complete};

const KINDS: [&str; 11] = [
    "water closet",
    "lavatory",
    "bathtub",
    "shower",
    "bidet",
    "kitchen sink",
    "clothes washer",
    "floor drain",
    "laundry tub",
    "bar sink",
    "urinal",
];
const FLOORS: [&str; 3] = ["basement", "first", "second"];
/// Findings about what nobody but the tool has laid out in such a job.
const NEVER: [&str; 10] = [
    "A103", "A104", "D109", "D110", "D111", "L102", "L103", "V103", "V104", "V105",
];

/// A sketch: fixtures on floors, into a stack, a surveyed drain or nothing; some by position.
fn sketch(dice: &mut Dice) -> String {
    let book = dice.one(&["irc-2021", "ipc-2021"]).to_owned();
    let mut text = format!(
        "[job]\ncode = \"{book}\"\n[floors]\nbasement = {{ level = \"-8' 10\", slab = \"4in\" }}\n\
         first = {{ level = \"0\", joists = \"11 7/8in\" }}\nsecond = {{ level = \"10' 1\" }}\n\
         roof = {{ level = \"20'\" }}\n[exit]\ninvert = \"-12'\"\nheading = \"south\"\n"
    );
    let stacks = dice.roll(3);
    let main = dice.maybe(60);
    if main {
        text.push_str("[drains]\nmain = { into = \"exit\", run = [\"north 40'\"] }\n");
    }
    text.push_str("[stacks]\n");
    for i in 0..stacks {
        // Far enough apart that nothing else is near their bases.
        let keys = match main {
            true => format!("into = \"main\", station = \"{}'\"", 12 + 20 * i),
            false => String::new(),
        };
        text.push_str(&format!("S{i} = {{ {keys} }}\n"));
    }
    text.push_str("[fixtures]\n");
    for i in 0..1 + dice.roll(12) {
        let (kind, floor) = (dice.one(&KINDS), dice.one(&FLOORS));
        let mut keys = vec![format!("kind = \"{kind}\", floor = \"{floor}\"")];
        if dice.maybe(60) && stacks > 0 {
            keys.push(format!("into = \"S{}\"", dice.roll(stacks)));
        } else if main && dice.maybe(40) {
            // Off the drain, and upstream or well downstream of each stack.
            let north = [3, 4, 5, 22, 23, 24, 25][dice.roll(7) as usize];
            let east = 2 + dice.roll(9);
            keys.push(format!("into = \"main\", at = [\"{east}'\", \"{north}'\"]"));
        }
        text.push_str(&format!("F{i} = {{ {} }}\n", keys.join(", ")));
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, ..ProptestConfig::default() })]
    #[test]
    fn proposals_trip_no_finding_about_their_own_ways(
        seed in prop::collection::vec(any::<u32>(), 4..12)
    ) {
        let text = sketch(&mut Dice(seed, 0));
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
