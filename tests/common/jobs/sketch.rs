//! A sketch: fixtures on floors, into a stack, a surveyed drain or nothing; some by position.

use super::{CODES, Draft, FLOORS, KINDS, Keys};
use crate::common::Dice;

/// A job that states no run of a branch, no arm and no vent.
pub fn sketch(dice: &mut Dice) -> Draft {
    let floors = "basement = { level = \"-8' 10\", slab = \"4in\" }\n\
                  first = { level = \"0\", joists = \"11 7/8in\" }\nsecond = { level = \"10' 1\" }\n";
    let mut job = Draft::new(dice.one(&CODES), "", floors, "invert = \"-12'\"");
    let stacks = dice.roll(3);
    let main = dice.maybe(60);
    if main {
        let mut keys = Keys::new();
        keys.say("into", "exit").bare("run", "[\"north 40'\"]");
        job.line("drains", "main", &keys);
    }
    for i in 0..stacks {
        let mut keys = Keys::new();
        if main {
            // Far enough apart that nothing else is near their bases.
            keys.say("into", "main");
            keys.say("station", format!("{}'", 12 + 20 * i));
        }
        job.line("stacks", format!("S{i}"), &keys);
    }
    for i in 0..1 + dice.roll(12) {
        let mut keys = Keys::new();
        keys.say("kind", dice.one(&KINDS));
        keys.say("floor", dice.one(&FLOORS));
        if dice.maybe(60) && stacks > 0 {
            keys.say("into", format!("S{}", dice.roll(stacks)));
        } else if main && dice.maybe(40) {
            // Off the drain, and upstream or well downstream of each stack.
            let north = [3, 4, 5, 22, 23, 24, 25][dice.roll(7) as usize];
            let east = 2 + dice.roll(9);
            keys.say("into", "main");
            keys.bare("at", format!("[\"{east}'\", \"{north}'\"]"));
        }
        job.line("fixtures", format!("F{i}"), &keys);
    }
    job
}
