//! A measured job: every run with its legs, and everything that enters a drain with its station.

use super::{CODES, Draft, KINDS, Keys};
use crate::common::Dice;

/// What a measured job may leave open, or add, in percent.
#[derive(Clone, Copy, Debug, Default)]
pub struct Open {
    /// A branch that does not state its invert at its stack.
    pub hung: u32,
    /// A drain that does not state its run.
    pub length: u32,
    /// A main that rises on its way. Where it does, the name of a vent's header over the rise
    /// depends on the order of the lines; its numbers do not.
    pub rise: u32,
}

/// Places along a drain, each once, in no order; none at its end, where drains go on in line.
fn stations(dice: &mut Dice, feet: u32) -> Vec<u32> {
    let mut all: Vec<u32> = (1..feet).collect();
    dice.shuffle(&mut all);
    all
}

fn head(dice: &mut Dice) -> Draft {
    let mut job = String::new();
    if dice.maybe(60) {
        let small = dice.one(&["1/4", "3/8", "1/2"]);
        job += &format!("fall = {{ \"2\" = \"{small}\", \"3\" = \"1/4\", \"4\" = \"1/8\" }}\n");
    }
    if dice.maybe(50) {
        job += &format!("join = \"{}\"\n", dice.one(&["centre", "crown", "invert"]));
    }
    if dice.maybe(40) {
        let below = dice.one(&["PVC DWV", "ABS DWV", "no-hub", "copper"]);
        let above = dice.one(&["PVC DWV", "ABS DWV", "no-hub", "copper"]);
        job += &format!("material = {{ below = \"{below}\", above = \"{above}\" }}\n");
    }
    if dice.maybe(20) {
        job += "spare = \"1in\"\n";
    }
    let floors = "basement = { level = \"-8'\", slab = \"4in\" }\n\
         first = { level = \"0\", deck = \"1 1/2in\", joists = \"11 7/8in\" }\n\
         second = { level = \"10'\", joists = \"9 1/4in\" }\n";
    let invert = 108 + dice.roll(60);
    let exit = format!(
        "invert = \"-{invert}in\"\nsewer = {{ length = \"30'\", size = 4, manhole_rim = \"-6'\" }}"
    );
    Draft::new(dice.one(&CODES), &job, floors, &exit)
}

/// What a run says before its first leg.
fn holds(dice: &mut Dice, lies: &[&str]) -> Vec<String> {
    let mut run = Vec::new();
    if dice.maybe(40) {
        run.push(format!("lies {}", dice.one(lies)));
    }
    if dice.maybe(25) {
        run.push(format!("size {}", [3, 4][dice.roll(2) as usize]));
    }
    if dice.maybe(25) {
        run.push(format!("fall {}", dice.one(&["1/8", "1/4", "3/8", "2%"])));
    }
    run
}

fn said(run: &[String]) -> String {
    let words: Vec<String> = run.iter().map(|w| format!("\"{w}\"")).collect();
    format!("[{}]", words.join(", "))
}

/// A drain with what is known of it, for the fixtures that enter it.
struct Laid {
    name: String,
    floor: &'static str,
    feet: u32,
    free: Vec<u32>,
}

/// A job whose numbers do not depend on the order of its lines: everything that enters a drain
/// states its station, and everything that enters a stack its floor and, but for what is left
/// open, its invert.
pub fn measured(dice: &mut Dice, open: Open) -> Draft {
    let mut job = head(dice);
    let mut laid: Vec<Laid> = Vec::new();
    let mut main = holds(dice, &["under slab"]);
    main.push("north 40'".to_owned());
    if dice.maybe(open.rise) {
        // A step in the ground, or on through the slab and into the crawl space.
        let step = [vec!["up 1'"], vec!["up 7'", "lies crawl space"]];
        main.extend(step[dice.roll(2) as usize].iter().map(|w| (*w).to_owned()));
    }
    if dice.maybe(30) {
        main.push("size 3".to_owned());
    }
    main.push(["north 20'", "northeast 20'"][dice.roll(2) as usize].to_owned());
    let mut keys = Keys::new();
    keys.say("into", "exit").bare("run", said(&main));
    job.line("drains", "main", &keys);
    let mut on_main = stations(dice, 60);
    for i in 0..dice.roll(4) {
        let (name, feet) = (format!("D{i}"), 8 + dice.roll(12));
        let mut run = holds(dice, &["under slab"]);
        let way = dice.one(&["east", "west"]);
        run.push(format!("{way} {feet}'"));
        let mut keys = Keys::new();
        keys.say("into", "main");
        keys.say("station", format!("{}'", on_main.pop().unwrap_or(1)));
        keys.say("floor", "basement");
        if dice.maybe(50) {
            keys.say("wye", dice.one(&["flat", "rolled", "on back"]));
        }
        if !dice.maybe(open.length) {
            keys.bare("run", said(&run));
        }
        job.line("drains", &name, &keys);
        let free = stations(dice, feet);
        laid.push(Laid {
            name,
            floor: "basement",
            feet,
            free,
        });
    }
    for i in 0..dice.roll(3) {
        let mut keys = Keys::new();
        keys.say("into", "main");
        keys.say("station", format!("{}'", on_main.pop().unwrap_or(1)));
        job.line("stacks", format!("S{i}"), &keys);
        for (n, floor) in ["first", "second"].into_iter().enumerate() {
            for k in 0..dice.roll(3) {
                let (name, feet) = (format!("B{i}-{n}-{k}"), 8 + dice.roll(8));
                let mut run = holds(dice, &["between joists", "under joists", "crawl space"]);
                run.push(format!("{} {feet}'", ["east", "west"][k as usize]));
                let mut keys = Keys::new();
                keys.say("into", format!("S{i}")).say("floor", floor);
                if !dice.maybe(open.hung) {
                    keys.say("invert", format!("-{}in", 10 + 3 * k));
                }
                keys.bare("run", said(&run));
                job.line("drains", &name, &keys);
                let free = stations(dice, feet);
                laid.push(Laid {
                    name,
                    floor,
                    feet,
                    free,
                });
            }
        }
    }
    laid.push(Laid {
        name: "main".to_owned(),
        floor: "basement",
        feet: 60,
        free: on_main,
    });
    for drain in laid {
        fixtures(dice, &mut job, drain);
    }
    if dice.maybe(50) {
        for (name, station) in [("C0", "30.5'"), ("C1", "3.5'")] {
            let mut keys = Keys::new();
            keys.say("on", "main").say("station", station);
            job.line("cleanouts", name, &keys);
        }
    }
    job
}

/// Up to five fixtures of a drain, each at a place of its own; where none come the far end stays
/// free.
fn fixtures(dice: &mut Dice, job: &mut Draft, mut drain: Laid) {
    if dice.maybe(10) {
        drain.free.push(drain.feet);
    }
    for _ in 0..dice.roll(6) {
        let (Some(at), n) = (drain.free.pop(), job.count("fixtures")) else {
            break;
        };
        let mut keys = Keys::new();
        keys.say("kind", dice.one(&KINDS)).say("floor", drain.floor);
        keys.say("into", &drain.name)
            .say("station", format!("{at}'"));
        if dice.maybe(25) {
            keys.bare("run", format!("[\"up {}in\"]", 4 + 4 * dice.roll(6)));
        }
        if dice.maybe(60) {
            keys.say("arm", format!("{}'", 1 + dice.roll(5)));
        }
        if dice.maybe(30) {
            keys.say("side", dice.one(&["north", "south"]));
        }
        if dice.maybe(15) {
            keys.say("vent", format!("V{n}"));
            job.line("vents", format!("V{n}"), &Keys::new());
        }
        job.line("fixtures", format!("F{n}"), &keys);
    }
}
