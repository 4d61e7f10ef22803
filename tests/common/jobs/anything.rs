//! Anything that can be written: drains into each other and beyond their ends, things that no job
//! should say. Some are no network, and then their faults are told.

use super::{Draft, FLOORS, KINDS, Keys, WAYS};
use crate::common::Dice;

fn run(dice: &mut Dice, legs: u32) -> String {
    let mut said = Vec::new();
    for i in 0..legs {
        if dice.maybe(20) {
            said.push(format!("\"size {}\"", [2, 3, 4][dice.roll(3) as usize]));
        }
        if dice.maybe(10) {
            said.push(format!("\"fall {}\"", dice.one(&["1/4", "1/8"])));
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

fn at(dice: &mut Dice) -> String {
    format!("[\"{}'\", \"{}'\"]", dice.roll(20), dice.roll(40))
}

fn feet(dice: &mut Dice, most: u32) -> String {
    format!("{}'", dice.roll(most))
}

/// How many there are of what others may name.
struct Counts {
    drains: u32,
    stacks: u32,
    fixtures: u32,
    vents: u32,
    basins: u32,
}

/// A job of which only the words are right.
pub fn anything(dice: &mut Dice) -> Draft {
    let n = Counts {
        drains: dice.roll(5),
        stacks: dice.roll(4),
        fixtures: 1 + dice.roll(14),
        vents: dice.roll(4),
        basins: dice.roll(2),
    };
    let floors = "basement = { level = \"-8'\", slab = \"4in\" }\n\
                  first = { level = \"0\" }\nsecond = { level = \"10'\" }\n";
    let sewer = ["", "\nsewer = { length = \"30'\", size = 4 }"][usize::from(dice.maybe(20))];
    let mut methods = String::new();
    if dice.maybe(40) {
        let words = [
            "circuit",
            "combination",
            "waste stack",
            "single stack",
            "wet vent",
        ];
        let word = |dice: &mut Dice| dice.one(&words);
        methods = format!(
            "methods = {{ allow = [\"{}\", \"{}\"], prefer = [\"{}\"], forbid = [\"{}\"] }}\n",
            word(dice),
            word(dice),
            word(dice),
            word(dice)
        );
    }
    let code = ["irc-2021", "ipc-2021", "upc-2021"][dice.roll(3) as usize];
    let mut job = Draft::new(code, &methods, floors, &format!("invert = \"-12'\"{sewer}"));
    for i in 0..n.drains {
        job.line("drains", format!("D{i}"), &drain(dice, &n, i));
    }
    for i in 0..n.stacks {
        job.line("stacks", format!("S{i}"), &stack(dice, &n));
    }
    for i in 0..n.fixtures {
        job.line("fixtures", format!("F{i}"), &fixture(dice, &n, i));
    }
    for i in 0..n.vents {
        job.line("vents", format!("V{i}"), &vent(dice, &n, i));
    }
    if n.basins > 0 {
        job.line("basins", "B0", &basin(dice, &n));
    }
    if n.drains > 0 && dice.maybe(40) {
        let station = feet(dice, 12);
        let stated = dice.maybe(60);
        let on = |dice: &mut Dice| {
            let mut keys = Keys::new();
            keys.say("on", format!("D{}", dice.roll(n.drains)));
            if stated {
                keys.say("station", &station);
            }
            keys
        };
        job.line("cleanouts", "C0", &on(dice));
        job.line("valves", "W0", on(dice).say("kind", "backwater"));
    }
    job
}

fn drain(dice: &mut Dice, n: &Counts, i: u32) -> Keys {
    let mut keys = Keys::new();
    let mut into_drain = false;
    if dice.maybe(85) {
        let into = match dice.roll(4) {
            0 => "exit".to_owned(),
            1 if n.stacks > 0 => format!("S{}", dice.roll(n.stacks)),
            2 if i > 0 && dice.maybe(20) => format!("D{}", dice.roll(n.drains)),
            _ if i > 0 => format!("D{}", dice.roll(i)),
            _ => "exit".to_owned(),
        };
        into_drain = into.starts_with('D');
        keys.say("into", into);
    }
    if into_drain && dice.maybe(60) {
        keys.say("station", feet(dice, 20));
    }
    if dice.maybe(60) {
        keys.say("floor", dice.one(&FLOORS));
    }
    if dice.maybe(70) {
        let legs = 1 + dice.roll(3);
        keys.bare("run", format!("[{}]", run(dice, legs)));
    }
    if dice.maybe(20) {
        keys.say("invert", format!("-{}in", 6 + dice.roll(3)));
    }
    if dice.maybe(15) {
        keys.say("method", dice.one(&["circuit", "combination"]));
    }
    keys
}

fn stack(dice: &mut Dice, n: &Counts) -> Keys {
    let mut keys = Keys::new();
    if dice.maybe(40) && n.drains > 0 {
        keys.say("into", format!("D{}", dice.roll(n.drains)));
        if dice.maybe(70) {
            keys.say("station", feet(dice, 20));
        }
    } else if dice.maybe(20) {
        keys.say("into", "exit");
    }
    if dice.maybe(20) {
        keys.bare("at", at(dice));
    }
    if dice.maybe(15) {
        keys.bare("run", format!("[{}]", run(dice, 1)));
    }
    if dice.maybe(15) {
        keys.say("up_to", dice.one(&FLOORS));
    }
    if dice.maybe(15) {
        keys.say("method", dice.one(&["single stack", "waste stack"]));
    }
    if dice.maybe(20) {
        let by = [45, 90][dice.roll(2) as usize];
        let (floor, go) = (dice.one(&FLOORS), dice.one(&WAYS));
        let far = 1 + dice.roll(4);
        let offset = format!("{{ floor = \"{floor}\", go = \"{go} {far}'\", by = {by} }}");
        keys.bare("offsets", format!("[{offset}]"));
    }
    keys
}

fn fixture(dice: &mut Dice, n: &Counts, i: u32) -> Keys {
    let mut keys = Keys::new();
    let kind = match dice.maybe(8) {
        true => "orrery",
        false => dice.one(&KINDS),
    };
    keys.say("kind", kind).say("floor", dice.one(&FLOORS));
    let into = match dice.roll(6) {
        0 | 1 if n.drains > 0 => Some(format!("D{}", dice.roll(n.drains))),
        2 | 3 if n.stacks > 0 => Some(format!("S{}", dice.roll(n.stacks))),
        4 if n.basins > 0 => Some("B0".to_owned()),
        5 if i > 0 && dice.maybe(30) => Some(format!("F{}", dice.roll(i))),
        _ => None,
    };
    let on_drain = into.as_ref().is_some_and(|i| i.starts_with('D'));
    if let Some(into) = into {
        keys.say("into", into);
    }
    if on_drain && dice.maybe(40) {
        keys.say("station", feet(dice, 20));
    }
    if dice.maybe(20) {
        keys.say("side", dice.one(&WAYS[..4]));
    }
    if dice.maybe(20) {
        keys.bare("at", at(dice));
    }
    if dice.maybe(20) {
        let plan = match dice.maybe(50) {
            true => run(dice, 1) + ", ",
            false => String::new(),
        };
        keys.bare("run", format!("[{plan}\"up {}'\"]", 1 + dice.roll(3)));
    }
    if dice.maybe(30) {
        keys.say("arm", format!("{}'", 1 + dice.roll(4)));
    }
    if dice.maybe(30) && n.vents > 0 {
        keys.say("vent", format!("V{}", dice.roll(n.vents)));
    } else if dice.maybe(10) {
        keys.say("vented_by", format!("F{}", (i + 1) % n.fixtures));
    }
    match dice.roll(12) {
        0 => keys.bare("future", true),
        1 => keys.bare("existing", true),
        2 => keys.say("room", "Bath"),
        _ => &mut keys,
    };
    keys
}

fn vent(dice: &mut Dice, n: &Counts, i: u32) -> Keys {
    let mut keys = Keys::new();
    match dice.roll(8) {
        0 => {
            keys.say("kind", "island");
        }
        1 if n.drains > 0 => {
            let into = dice.roll(n.drains);
            keys.say("kind", "island");
            keys.bare(
                "foot",
                format!("{{ into = \"D{into}\", station = \"1'\" }}"),
            );
        }
        2 => {
            keys.say("kind", "air admittance valve");
        }
        _ => {}
    }
    match dice.roll(5) {
        0 if n.stacks > 0 => {
            keys.say("into", format!("S{}", dice.roll(n.stacks)));
        }
        1 => {
            keys.say("into", "roof");
        }
        2 if i > 0 => {
            keys.say("into", format!("V{}", dice.roll(i)));
        }
        _ => {}
    }
    if dice.maybe(20) {
        keys.bare("run", "[\"up 3'\", \"east 8'\"]");
    }
    keys
}

fn basin(dice: &mut Dice, n: &Counts) -> Keys {
    let mut keys = Keys::new();
    keys.say("floor", "basement");
    match dice.roll(3) {
        0 if n.stacks > 0 => {
            keys.say("into", "S0");
        }
        _ if n.drains > 0 => {
            keys.say("into", "D0");
        }
        _ => {}
    }
    if n.vents > 0 && dice.maybe(40) {
        keys.say("vent", "V0");
    }
    keys
}
