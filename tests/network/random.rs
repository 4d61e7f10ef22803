//! Any job that reads makes a network that keeps every promise, or tells its faults.

use super::*;
use crate::common::Dice;
use proptest::prelude::*;

const KINDS: [&str; 12] = [
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
    "orrery",
];
const FLOORS: [&str; 3] = ["basement", "first", "second"];
const WAYS: [&str; 8] = [
    "north",
    "east",
    "south",
    "west",
    "northeast",
    "northwest",
    "southeast",
    "southwest",
];

fn run(dice: &mut Dice, legs: u32) -> String {
    let mut said = Vec::new();
    for i in 0..legs {
        if dice.maybe(20) {
            said.push(format!("\"size {}\"", [2, 3, 4][dice.roll(3) as usize]));
        }
        if dice.maybe(10) {
            said.push(format!(
                "\"fall {}\"",
                ["1/4", "1/8"][dice.roll(2) as usize]
            ));
        }
        let way = if i > 0 && dice.maybe(10) {
            "up"
        } else {
            dice.one(&WAYS)
        };
        said.push(format!("\"{way} {}'\"", 1 + dice.roll(30)));
    }
    said.join(", ")
}

fn job(dice: &mut Dice) -> String {
    let (drains, stacks) = (dice.roll(5), dice.roll(4));
    let (fixtures, vents, basins) = (1 + dice.roll(14), dice.roll(4), dice.roll(2));
    let mut t = String::from(HEAD);
    if dice.maybe(20) {
        t.push_str("sewer = { length = \"30'\", size = 4 }\n");
    }
    let at = |d: &mut Dice| format!("[\"{}'\", \"{}'\"]", d.roll(20), d.roll(40));
    t.push_str("[drains]\n");
    for i in 0..drains {
        let mut keys = Vec::new();
        let mut into_drain = false;
        if dice.maybe(85) {
            let into = match dice.roll(4) {
                0 => "exit".to_owned(),
                1 if stacks > 0 => format!("S{}", dice.roll(stacks)),
                2 if i > 0 && dice.maybe(20) => format!("D{}", dice.roll(drains)),
                _ if i > 0 => format!("D{}", dice.roll(i)),
                _ => "exit".to_owned(),
            };
            into_drain = into.starts_with('D');
            keys.push(format!("into = \"{into}\""));
        }
        if into_drain && dice.maybe(60) {
            keys.push(format!("station = \"{}'\"", dice.roll(20)));
        }
        if dice.maybe(60) {
            keys.push(format!("floor = \"{}\"", dice.one(&FLOORS)));
        }
        if dice.maybe(70) {
            let legs = 1 + dice.roll(3);
            keys.push(format!("run = [{}]", run(dice, legs)));
        }
        if dice.maybe(20) {
            keys.push(format!("invert = \"-{}in\"", 6 + dice.roll(3)));
        }
        t.push_str(&format!("D{i} = {{ {} }}\n", keys.join(", ")));
    }
    t.push_str("[stacks]\n");
    for i in 0..stacks {
        let mut keys = Vec::new();
        if dice.maybe(40) && drains > 0 {
            keys.push(format!("into = \"D{}\"", dice.roll(drains)));
            if dice.maybe(70) {
                keys.push(format!("station = \"{}'\"", dice.roll(20)));
            }
        } else if dice.maybe(20) {
            keys.push("into = \"exit\"".to_owned());
        }
        if dice.maybe(20) {
            keys.push(format!("at = {}", at(dice)));
        }
        if dice.maybe(15) {
            keys.push(format!("run = [{}]", run(dice, 1)));
        }
        if dice.maybe(15) {
            keys.push(format!("up_to = \"{}\"", dice.one(&FLOORS)));
        }
        if dice.maybe(20) {
            let by = [45, 90][dice.roll(2) as usize];
            let (floor, go) = (dice.one(&FLOORS), dice.one(&WAYS));
            keys.push(format!(
                "offsets = [{{ floor = \"{floor}\", go = \"{go} {}'\", by = {by} }}]",
                1 + dice.roll(4)
            ));
        }
        t.push_str(&format!("S{i} = {{ {} }}\n", keys.join(", ")));
    }
    t.push_str("[fixtures]\n");
    for i in 0..fixtures {
        let mut keys = vec![format!("kind = \"{}\"", dice.one(&KINDS))];
        keys.push(format!("floor = \"{}\"", dice.one(&FLOORS)));
        let into = match dice.roll(6) {
            0 | 1 if drains > 0 => Some(format!("D{}", dice.roll(drains))),
            2 | 3 if stacks > 0 => Some(format!("S{}", dice.roll(stacks))),
            4 if basins > 0 => Some("B0".to_owned()),
            5 if i > 0 && dice.maybe(30) => Some(format!("F{}", dice.roll(i))),
            _ => None,
        };
        let on_drain = into.as_ref().is_some_and(|i| i.starts_with('D'));
        keys.extend(into.map(|i| format!("into = \"{i}\"")));
        if on_drain && dice.maybe(40) {
            keys.push(format!("station = \"{}'\"", dice.roll(20)));
        }
        if dice.maybe(20) {
            keys.push(format!("side = \"{}\"", dice.one(&WAYS[..4])));
        }
        if dice.maybe(20) {
            keys.push(format!("at = {}", at(dice)));
        }
        if dice.maybe(20) {
            let plan = if dice.maybe(50) {
                run(dice, 1) + ", "
            } else {
                String::new()
            };
            keys.push(format!("run = [{plan}\"up {}'\"]", 1 + dice.roll(3)));
        }
        if dice.maybe(30) {
            keys.push(format!("arm = \"{}'\"", 1 + dice.roll(4)));
        }
        if dice.maybe(30) && vents > 0 {
            keys.push(format!("vent = \"V{}\"", dice.roll(vents)));
        } else if dice.maybe(10) {
            keys.push(format!("vented_by = \"F{}\"", (i + 1) % fixtures));
        }
        match dice.roll(12) {
            0 => keys.push("future = true".to_owned()),
            1 => keys.push("existing = true".to_owned()),
            2 => keys.push("room = \"Bath\"".to_owned()),
            _ => {}
        }
        t.push_str(&format!("F{i} = {{ {} }}\n", keys.join(", ")));
    }
    t.push_str("[vents]\n");
    for i in 0..vents {
        let mut keys = Vec::new();
        match dice.roll(8) {
            0 => keys.push("kind = \"island\"".to_owned()),
            1 if drains > 0 => keys.push(format!(
                "kind = \"island\", foot = {{ into = \"D{}\", station = \"1'\" }}",
                dice.roll(drains)
            )),
            2 => keys.push("kind = \"air admittance valve\"".to_owned()),
            _ => {}
        }
        match dice.roll(5) {
            0 if stacks > 0 => keys.push(format!("into = \"S{}\"", dice.roll(stacks))),
            1 => keys.push("into = \"roof\"".to_owned()),
            2 if i > 0 => keys.push(format!("into = \"V{}\"", dice.roll(i))),
            _ => {}
        }
        if dice.maybe(20) {
            keys.push("run = [\"up 3'\", \"east 8'\"]".to_owned());
        }
        t.push_str(&format!("V{i} = {{ {} }}\n", keys.join(", ")));
    }
    if basins > 0 {
        t.push_str("[basins]\n");
        let into = match dice.roll(3) {
            0 if stacks > 0 => "into = \"S0\"".to_owned(),
            _ if drains > 0 => "into = \"D0\"".to_owned(),
            _ => String::new(),
        };
        let vent = if vents > 0 && dice.maybe(40) {
            ", vent = \"V0\""
        } else {
            ""
        };
        let comma = if into.is_empty() { "" } else { ", " };
        t.push_str(&format!(
            "B0 = {{ floor = \"basement\"{comma}{into}{vent} }}\n"
        ));
    }
    if drains > 0 && dice.maybe(40) {
        t.push_str("[cleanouts]\n");
        let station = format!(", station = \"{}'\"", dice.roll(12));
        let station = if dice.maybe(60) { station.as_str() } else { "" };
        t.push_str(&format!(
            "C0 = {{ on = \"D{}\"{station} }}\n",
            dice.roll(drains)
        ));
        t.push_str("[valves]\n");
        let on = dice.roll(drains);
        t.push_str(&format!(
            "W0 = {{ kind = \"backwater\", on = \"D{on}\"{station} }}\n"
        ));
    }
    t
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_job_keeps_the_promises(rolls in prop::collection::vec(any::<u32>(), 8..64)) {
        let text = job(&mut Dice(rolls, 0));
        if let Ok(done) = complete(&text)
            && !done.is_faulty()
        {
            let broken = network::check(&done.net);
            prop_assert!(broken.is_empty(), "{broken:#?}\n{text}\n{}", dump(&done.net));
        }
    }
}

#[test]
fn most_random_jobs_are_networks() {
    let mut made = 0;
    let mut why = std::collections::BTreeMap::<String, usize>::new();
    for seed in 0..400u32 {
        let rolls = (0..40)
            .map(|i| seed.wrapping_mul(97).wrapping_add(i * 7919))
            .collect();
        match complete(&job(&mut Dice(rolls, 0))) {
            Ok(done) => made += usize::from(!done.is_faulty()),
            Err(e) => {
                for d in e {
                    *why.entry(format!("{} {}", d.code, d.name)).or_default() += 1;
                }
            }
        }
    }
    // Else the property above would be about nothing.
    assert!(made >= 80, "{made} of 400: {why:#?}");
}
