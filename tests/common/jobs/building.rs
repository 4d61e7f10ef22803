//! A whole building at the depth of a sketch: storeys, stacks and fixtures as somebody would have
//! them, from a single bath to forty storeys. Nothing is laid out in it, so everything that is found
//! of it the tool has proposed itself.

use super::{Draft, Keys};
use crate::common::Dice;

/// What a building is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum For {
    House,
    Flats,
    Offices,
}

/// A building, and what the tests ask of it before it is read.
pub struct Building {
    pub draft: Draft,
    pub is_for: For,
    /// Floors that have fixtures, or could.
    pub storeys: u32,
}

impl Building {
    /// The books under which it can be built: the residential one ends at three storeys.
    pub fn books(&self) -> &'static [&'static str] {
        match self.is_for == For::House && self.storeys <= 3 {
            true => &["ipc-2021", "upc-2021", "en-12056-2", "irc-2021"],
            false => &["ipc-2021", "upc-2021", "en-12056-2"],
        }
    }
}

/// The building of a number: the same one on every machine.
pub fn numbered(number: u64, code: &str) -> Building {
    let mut state = number;
    let mut next = || {
        // SplitMix64, so that neighbours have nothing in common.
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) as u32
    };
    let rolls = (0..1024).map(|_| next()).collect();
    building(&mut Dice(rolls, 0), code)
}

/// One with few storeys more often than one with many.
fn storeys(dice: &mut Dice, is_for: For) -> u32 {
    match (is_for, dice.roll(100)) {
        (For::House, n) => [1, 1, 2, 2, 3][n as usize % 5],
        (_, 0..40) => 1 + dice.roll(4),
        (_, 40..75) => 4 + dice.roll(7),
        (_, 75..93) => 10 + dice.roll(11),
        _ => 20 + dice.roll(21),
    }
}

/// What is being put together.
struct Site<'d> {
    dice: &'d mut Dice,
    job: Draft,
    count: u32,
}

/// A building under this code.
pub fn building(dice: &mut Dice, code: &str) -> Building {
    let is_for = match dice.roll(100) {
        0..45 => For::House,
        45..77 => For::Flats,
        _ => For::Offices,
    };
    let storeys = storeys(dice, is_for);
    let cellar = u32::from(storeys > 1 && dice.maybe(30));
    let mut site = Site {
        job: head(dice, code, storeys, cellar),
        dice,
        count: 0,
    };
    let stacks = match is_for {
        // A house on one floor may do without.
        For::House if storeys == 1 => site.dice.roll(3),
        For::House => 1 + site.dice.roll(3),
        For::Flats => 1 + site.dice.roll(6),
        For::Offices => 1 + site.dice.roll(3),
    };
    for s in 0..stacks {
        site.job.line("stacks", format!("S{s}"), &Keys::new());
    }
    match is_for {
        For::House => house(&mut site, storeys, stacks),
        For::Flats => flats(&mut site, storeys, cellar, stacks),
        For::Offices => offices(&mut site, storeys, cellar, stacks),
    }
    if site.count == 0 {
        site.bath(0, stacks, "Bath");
    }
    Building {
        draft: site.job,
        is_for,
        storeys,
    }
}

fn head(dice: &mut Dice, code: &str, storeys: u32, cellar: u32) -> Draft {
    let mut job = format!("[job]\ntitle = \"Test\"\ncode = \"{code}\"\n");
    if dice.maybe(15) {
        job += "least = { vent = 1.5, under_slab = 2 }\n";
    }
    if dice.maybe(10) {
        job += "methods = { prefer = [\"individual\"] }\n";
    }
    if dice.maybe(20) {
        job += "fall = { \"3\" = \"1/4\", \"4\" = \"1/4\", \"6\" = \"1/4\" }\n";
    }
    if dice.maybe(15) {
        job += "stock = [1.5, 2, 3, 4, 6, 8, 10]\n";
    }
    if code == "en-12056-2" {
        let system = dice.one(&["system I", "system II", "system IV"]);
        let used = dice.one(&["intermittent use", "frequent use"]);
        job += &format!("code_options = [\"{system}\", \"{used}\"]\n");
    }
    job += "[floors]\n";
    let each = 8 + dice.roll(7);
    let joists = dice.one(&["", ", joists = \"11 7/8in\"", ", joists = \"9 1/4in\""]);
    for s in 0..storeys {
        let level = i64::from(each) * (i64::from(s) - i64::from(cellar));
        let over = match s {
            0 => ", slab = \"4in\"",
            _ => joists,
        };
        job += &format!("f{s} = {{ level = \"{level}'\"{over} }}\n");
    }
    let roof = i64::from(each) * (i64::from(storeys) - i64::from(cellar));
    let exit = i64::from(each * cellar) + 5;
    let head = format!(
        "{job}roof = {{ level = \"{roof}'\" }}\n[exit]\nheading = \"south\"\ninvert = \"-{exit}'\"\n"
    );
    Draft {
        head,
        sections: Vec::new(),
    }
}

impl Site<'_> {
    /// A fixture on a floor, into this stack where there is one; its name.
    fn fixture(&mut self, kind: &str, floor: u32, stack: Option<u32>, more: &Keys) -> String {
        let name = format!("X{}", self.count);
        self.count += 1;
        let mut keys = Keys::new();
        keys.say("kind", kind).say("floor", format!("f{floor}"));
        if let Some(stack) = stack {
            keys.say("into", format!("S{stack}"));
        }
        keys.0.extend(more.0.iter().cloned());
        self.job.line("fixtures", &name, &keys);
        name
    }
    /// One that shares the drain of another: back to back, or side by side.
    fn beside(&mut self, kind: &str, floor: u32, other: &str, more: &Keys) -> String {
        let mut keys = Keys::new();
        keys.say("into", other);
        keys.0.extend(more.0.iter().cloned());
        self.fixture(kind, floor, None, &keys)
    }
    /// A bathroom in a room of its own name, or in none.
    fn bath(&mut self, floor: u32, stacks: u32, room: &str) {
        let stack = (stacks > 0).then(|| self.dice.roll(stacks));
        self.bath_into(floor, stack, room);
    }
    fn bath_into(&mut self, floor: u32, stack: Option<u32>, room: &str) {
        let mut keys = Keys::new();
        if self.dice.maybe(70) {
            keys.say("room", room);
        }
        let mut closet = keys.clone();
        match self.dice.roll(8) {
            0 => closet.bare("gpf", "1.28"),
            1 => closet.bare("gpf", "2.3"),
            _ => &mut closet,
        };
        self.fixture("water closet", floor, stack, &closet);
        let first = self.fixture("lavatory", floor, stack, &keys);
        match self.dice.roll(12) {
            0 => {
                self.fixture("lavatory", floor, stack, &keys);
            }
            1 => {
                self.beside("lavatory", floor, &first, &keys);
            }
            _ => {}
        }
        match self.dice.roll(5) {
            0 => {}
            1 | 2 => {
                self.fixture("bathtub", floor, stack, &keys);
            }
            3 => self.shower(floor, stack, &keys),
            _ => {
                self.fixture("bathtub", floor, stack, &keys);
                self.shower(floor, stack, &keys);
            }
        }
        if self.dice.maybe(6) {
            self.fixture("bidet", floor, stack, &keys);
        }
    }
    fn shower(&mut self, floor: u32, stack: Option<u32>, keys: &Keys) {
        let mut keys = keys.clone();
        if self.dice.maybe(15) {
            keys.say("flow", "9 gpm").bare("heads", 4);
        }
        self.fixture("shower", floor, stack, &keys);
    }
    fn kitchen(&mut self, floor: u32, stack: Option<u32>) -> String {
        let mut keys = Keys::new();
        match self.dice.roll(3) {
            0 => keys.bare("with", "[\"disposer\", \"dishwasher\"]"),
            1 => keys.bare("with", "[\"dishwasher\"]"),
            _ => &mut keys,
        };
        let name = self.fixture("kitchen sink", floor, stack, &keys);
        if self.dice.maybe(10) {
            self.fixture("bar sink", floor, stack, &Keys::new());
        }
        name
    }
    fn laundry(&mut self, floor: u32, stack: Option<u32>) {
        self.fixture("clothes washer", floor, stack, &Keys::new());
        if self.dice.maybe(40) {
            self.fixture("laundry tub", floor, stack, &Keys::new());
        }
    }
    fn floor_drain(&mut self, floor: u32, stack: Option<u32>, primed_by: &str) {
        let mut keys = Keys::new();
        keys.say("primed_by", primed_by);
        if self.dice.maybe(30) {
            // Where it is private no book has a row for every one of them.
            keys.bare("emergency", true).bare("public", true);
        }
        self.fixture("floor drain", floor, stack, &keys);
    }
    /// One of the stacks; on the lowest floor often none: the building drain.
    fn any_stack(&mut self, floor: u32, stacks: u32) -> Option<u32> {
        let beside = floor == 0 && self.dice.maybe(40);
        (stacks > 0 && !beside).then(|| self.dice.roll(stacks))
    }
}

fn house(site: &mut Site<'_>, storeys: u32, stacks: u32) {
    for floor in 0..storeys {
        for b in 0..site.dice.roll(3) {
            let stack = site.any_stack(floor, stacks);
            site.bath_into(floor, stack, &format!("Bath {floor} {b}"));
        }
        if site.dice.maybe(40) {
            let stack = site.any_stack(floor, stacks);
            let sink = site.kitchen(floor, stack);
            if floor == 0 && site.dice.maybe(50) {
                let stack = site.any_stack(floor, stacks);
                site.floor_drain(floor, stack, &sink);
            }
        }
        if site.dice.maybe(35) {
            let stack = site.any_stack(floor, stacks);
            site.laundry(floor, stack);
        }
    }
}

/// Each stack serves the same of every flat, more or less.
fn flats(site: &mut Site<'_>, storeys: u32, cellar: u32, stacks: u32) {
    for stack in 0..stacks {
        let (bath, kitchen, laundry) = match site.dice.roll(7) {
            0 => (1, false, false),
            1 => (2, false, false),
            2 => (1, true, false),
            3 => (1, true, true),
            4 => (0, true, false),
            5 => (0, false, false),
            _ => (0, true, true),
        };
        for floor in cellar..storeys {
            // One flat in a dozen is something else.
            if site.dice.maybe(8) {
                continue;
            }
            let into = match floor {
                0 => site.any_stack(0, stacks).map(|_| stack),
                _ => Some(stack),
            };
            for b in 0..bath {
                site.bath_into(floor, into, &format!("Bath {floor} {stack} {b}"));
            }
            if kitchen {
                site.kitchen(floor, into);
            }
            if laundry {
                site.laundry(floor, into);
            }
            if !kitchen && !laundry && bath == 0 {
                // A stack of basins, the smallest that a tall one can be.
                site.fixture("lavatory", floor, into, &Keys::new());
            }
        }
    }
    if cellar > 0 {
        let sink = site.fixture("laundry tub", 0, None, &Keys::new());
        for _ in 0..site.dice.roll(3) {
            site.laundry(0, None);
        }
        site.floor_drain(0, None, &sink);
    }
}

/// Two public rooms to each stack on every floor, with what else an office has.
fn offices(site: &mut Site<'_>, storeys: u32, cellar: u32, stacks: u32) {
    for stack in 0..stacks {
        // Nobody hangs so many storeys on one stack that the largest of a table does not carry them.
        let most = (48 / storeys).clamp(1, 5);
        let (closets, urinals) = (1 + site.dice.roll(most), site.dice.roll(4));
        let lavatories = 1 + site.dice.roll(4);
        let back_to_back = site.dice.maybe(40);
        for floor in cellar..storeys {
            if site.dice.maybe(5) {
                continue;
            }
            for (room, urinals) in [("Women", 0), ("Men", urinals)] {
                let mut keys = Keys::new();
                keys.say("room", format!("{room} {floor} {stack}"));
                keys.bare("public", true);
                for _ in 0..closets {
                    site.fixture("water closet", floor, Some(stack), &keys);
                }
                for _ in 0..urinals {
                    site.fixture("urinal", floor, Some(stack), &keys);
                }
                let mut primes = String::new();
                for l in 0..lavatories {
                    primes = match l % 2 == 1 && back_to_back {
                        true => site.beside("lavatory", floor, &primes, &keys),
                        false => site.fixture("lavatory", floor, Some(stack), &keys),
                    };
                }
                if site.dice.maybe(50) {
                    site.floor_drain(floor, Some(stack), &primes);
                }
            }
            if site.dice.maybe(30) {
                let kind = site.dice.one(&["service sink", "drinking fountain"]);
                let mut keys = Keys::new();
                keys.bare("public", true);
                site.fixture(kind, floor, Some(stack), &keys);
            }
        }
    }
    if cellar > 0 {
        let mut keys = Keys::new();
        keys.bare("public", true);
        let sink = site.fixture("service sink", 0, None, &keys);
        site.floor_drain(0, None, &sink);
    }
}
