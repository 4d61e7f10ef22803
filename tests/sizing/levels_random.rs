//! What holds of the levels of any job: water falls all the way, the room at every place and what
//! is used of it make up what there is, and what the exit gives or takes reaches every place that
//! hangs on it, to the inch.

use std::collections::BTreeMap;

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use stackfall::levels::{Bound, Room};
use stackfall::network::PieceIx;
use stackfall::units::Length;

use super::bounds::{End, Look};
use crate::common::jobs::{Open, measured};
use crate::common::{Dice, Worked, complete};

const OPEN: Open = Open {
    hung: 40,
    length: 15,
    rise: 20,
};
const ENDS: [End; 2] = [End::Down, End::Up];

/// A random job, solved; none where it is no network.
fn job(rolls: Vec<u32>) -> Option<(String, Worked)> {
    let text = measured(&mut Dice(rolls, 0), OPEN).text();
    let worked = solved(&text)?;
    Some((text, worked))
}

fn solved(text: &str) -> Option<Worked> {
    let done = complete("random", text).ok().filter(|d| !d.is_faulty())?;
    Some(done.worked())
}

fn invert(of: &Worked, (piece, end): (PieceIx, End)) -> Option<Length> {
    let levels = of.solution.levels.pieces.get(&piece)?;
    match end {
        End::Down => levels.invert_down,
        End::Up => levels.invert_up,
    }
}

fn room(of: &Worked, (piece, end): (PieceIx, End)) -> Option<Room> {
    let rooms = of.solution.levels.rooms.get(&piece)?;
    match end {
        End::Down => rooms.down,
        End::Up => rooms.up,
    }
}

fn close(a: Length, b: Length) -> bool {
    (a - b).abs().mm() < 1e-6
}

/// Whether a piece has its level from the exit: nothing upright of a stack in between, nothing
/// stated, nothing hung from fixtures, no length unknown.
fn hangs_on_the_exit(look: &Look<'_>, piece: PieceIx) -> bool {
    let net = &look.of.net;
    let mut at = piece;
    loop {
        let levels = &look.of.solution.levels.pieces[&at];
        if levels.hung || levels.invert_down.is_none() {
            return false;
        }
        if net.to(at).is_some_and(|j| net.exits.contains(&j)) {
            return true;
        }
        match look.below(at).filter(|_| levels.step.is_some()) {
            Some(below) => at = below,
            None => return false,
        }
    }
}

/// The same job with its exit so many inches lower.
fn lowered(text: &str, of: &Worked, inches: f64) -> Option<Worked> {
    let exit = of.job.exits.first()?.invert.as_ref()?.value.inches();
    let said = |inches: f64| format!("\ninvert = \"-{:.0}in\"", -inches);
    let other = text.replacen(&said(exit), &said(exit - inches), 1);
    assert_ne!(text, other, "no invert of the exit to change");
    solved(&other)
}

fn falls(of: &Worked) -> BTreeMap<&str, Option<i64>> {
    let fall = |p: &PieceIx| of.solution.levels.pieces.get(p).and_then(|l| l.fall);
    let all = of.net.graph.edge_indices();
    let all = all.map(|p| (of.net.graph[p].id.as_str(), fall(&p)));
    all.map(|(id, f)| (id, f.map(|f| (f.ratio() * 1e9).round() as i64)))
        .collect()
}

fn config(seed: u64) -> ProptestConfig {
    ProptestConfig {
        cases: 256,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(seed),
        ..ProptestConfig::default()
    }
}

fn rolls() -> impl Strategy<Value = Vec<u32>> {
    prop::collection::vec(any::<u32>(), 8..64)
}

proptest! {
    #![proptest_config(config(3))]

    #[test]
    fn no_invert_rises_downstream(rolls in rolls()) {
        let Some((text, of)) = job(rolls) else { return Ok(()) };
        let look = Look::at(&of);
        for piece in look.pieces() {
            let id = &of.net.graph[piece].id;
            let levels = &of.solution.levels.pieces[&piece];
            if let (Some(down), Some(up)) = (levels.invert_down, levels.invert_up) {
                prop_assert!(up.mm() + 1e-6 >= down.mm(), "{id} falls the wrong way\n{text}");
                let rise = look.rise(piece).expect("a known rise");
                prop_assert!(close(up - down, rise), "{id} rises {rise:?}\n{text}");
            }
            let Some(below) = look.below(piece).filter(|_| levels.step.is_some()) else { continue };
            let under = of.solution.levels.pieces[&below].invert_up;
            if let (Some(down), Some(under)) = (levels.invert_down, under) {
                prop_assert!(down.mm() + 1e-6 >= under.mm(), "{id} joins from below\n{text}");
            }
        }
    }

    #[test]
    fn room_and_what_is_used_make_up_what_there_is(rolls in rolls()) {
        let Some((text, of)) = job(rolls) else { return Ok(()) };
        let look = Look::at(&of);
        let (highest, open) = look.highest();
        for piece in look.pieces() {
            for end in ENDS {
                let at = (piece, end);
                let place = format!("{} {end:?}", of.net.graph[piece].id);
                let invert = invert(&of, at);
                let high = highest.get(&at).filter(|_| !open.contains(&piece));
                let above = invert.and_then(|i| Some(*high? - i));
                let below = invert.and_then(|i| Some(i - look.under(piece, end)?));
                let there_is = match (above, below) {
                    (Some(a), Some(b)) => Some(a.min(b)),
                    (a, b) => a.or(b),
                };
                let told = room(&of, at).map(|r| r.spare);
                let same = match (told, there_is) {
                    (Some(a), Some(b)) => close(a, b),
                    (a, b) => a == b,
                };
                let (told, there_is) = (told.map(Length::inches), there_is.map(Length::inches));
                prop_assert!(same, "{place}: {told:?} told, {there_is:?} there\n{text}");
            }
        }
    }

    #[test]
    fn a_lower_exit_gives_that_much_room_wherever_it_binds(
        rolls in rolls(), inches in prop::sample::select(vec![1.0, -1.0])
    ) {
        let Some((text, of)) = job(rolls) else { return Ok(()) };
        let other = lowered(&text, &of, inches);
        prop_assert!(other.is_some(), "no job with another exit\n{text}");
        let Some(other) = other else { return Ok(()) };
        let look = Look::at(&of);
        let same_falls = falls(&of) == falls(&other);
        let by = Length::from_inches(inches);
        for piece in look.pieces() {
            let id = &of.net.graph[piece].id;
            let twin = other.net.piece_by_id(id);
            prop_assert!(twin.is_some(), "no {id} with another exit\n{text}");
            let Some(twin) = twin else { continue };
            let from_exit = hangs_on_the_exit(&look, piece);
            for end in ENDS {
                let (a, b) = (room(&of, (piece, end)), room(&other, (twin, end)));
                prop_assert_eq!(a.is_some(), b.is_some(), "{} {:?}\n{}", id, end, &text);
                let Some((a, b)) = a.zip(b) else { continue };
                let said = format!("{id} {end:?}: {a:?}, then {b:?}\n{text}");
                if !same_falls {
                    // A fall that had to be flattened takes up what it is given, but for what is
                    // finer than anyone sets a pipe.
                    let fine = stackfall::catalogue::agreement().map_or(0.0, |a| a.value.mm());
                    let lower = if inches > 0.0 { (a, b) } else { (b, a) };
                    prop_assert!(
                        lower.0.spare < Length::ZERO || lower.1.spare.mm() > -fine - 1e-6,
                        "{said}"
                    );
                    continue;
                }
                let joists = [a.bound, b.bound].iter().any(|b| matches!(b, Bound::JoistBottom(_)));
                let gained = b.spare - a.spare;
                if !from_exit {
                    prop_assert!(close(gained, Length::ZERO), "{said}");
                } else if joists {
                    // The bottom of the joists comes nearer by as much as their top goes.
                    prop_assert!(gained.abs().mm() < by.abs().mm() + 1e-6, "{said}");
                } else {
                    prop_assert!(close(gained, by), "{said}");
                    let inverts = invert(&of, (piece, end)).zip(invert(&other, (twin, end)));
                    let shifted = inverts.is_some_and(|(a, b)| close(a - b, by));
                    prop_assert!(shifted, "{said}");
                }
            }
        }
    }
}

/// Else the properties above would be about nothing.
#[test]
fn these_jobs_have_every_bound_and_every_way_of_hanging() {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let mut count = |what: &str| *seen.entry(what.to_owned()).or_default() += 1;
    for seed in 0..120u32 {
        let rolls = (0..48).map(|i| seed.wrapping_mul(97).wrapping_add(i * 7919));
        let Some((_, of)) = job(rolls.collect()) else {
            continue;
        };
        count("jobs");
        let look = Look::at(&of);
        for piece in look.pieces() {
            let from_exit = hangs_on_the_exit(&look, piece);
            for room in ENDS.iter().filter_map(|end| room(&of, (piece, *end))) {
                let bound = format!("{:?}", room.bound);
                count(bound.split('(').next().unwrap_or(""));
                count(if from_exit { "from the exit" } else { "not" });
                if room.spare < Length::ZERO {
                    count("no room");
                }
            }
            if of.solution.levels.pieces[&piece].hung {
                count("hung");
            }
            if look.rise(piece).is_none() {
                count("unknown");
            }
        }
    }
    let wanted = [
        "jobs",
        "Outlet",
        "Slab",
        "Deck",
        "Joists",
        "JoistBottom",
        "from the exit",
        "not",
        "no room",
        "hung",
        "unknown",
    ];
    let few: Vec<&str> = wanted
        .into_iter()
        .filter(|w| seen.get(*w).is_none_or(|n| *n < 40))
        .collect();
    assert!(few.is_empty(), "too few of {few:?} in {seen:?}");
}
