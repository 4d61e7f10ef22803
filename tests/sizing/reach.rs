//! How far the end of a drain can be pushed: by hand, and by pushing it there.

use proptest::prelude::*;
use stackfall::reach::{Laid, Push, Reach, Stop, Work, of_drain, reach};

use super::common::{Dice, worked};

fn house(main: u32, invert: &str, branch: u32) -> String {
    format!(
        "[job]\ncode = \"irc-2021\"\nfall = {{ \"2\" = \"1/4\", \"3\" = \"1/4\" }}\n[floors]\n\
         ground = {{ level = \"0\", slab = \"4in\" }}\nroof = {{ level = \"10'\" }}\n\
         [exit]\nheading = \"south\"\ninvert = \"{invert}\"\n[drains]\n\
         main = {{ into = \"exit\", run = [\"lies under slab\", \"size 3\", \"north {main}'\"] }}\n\
         b = {{ into = \"main\", run = [\"lies under slab\", \"size 3\", \"east {branch}in\"] }}\n\
         [fixtures]\nWC-1 = {{ kind = \"water closet\", floor = \"ground\", into = \"b\", \
         station = \"{branch}in\", arm = \"2'\", side = \"north\" }}\n"
    )
}

fn reaches(text: &str) -> Vec<Reach> {
    let w = worked("reach", text);
    reach(&Work {
        job: &w.job,
        net: &w.net,
        book: &w.book,
        solution: &w.solution,
    })
}

fn of(all: &[Reach], run: &str, laid: Laid) -> Push {
    let found = all.iter().find(|r| r.run == run && r.laid == laid);
    found
        .unwrap_or_else(|| panic!("no reach of {run}: {all:?}"))
        .push
        .clone()
}

/// By hand. 20 ft of 3 in main and 10 ft of 3 in branch at 1/4 in per ft rise 5 + 2 1/2 in from the
/// exit at -20: -12 1/2 at the end. Under 4 in of slab and 2 in of cover a 3 in pipe's invert lies at
/// -9.284 or lower (PVC: outside 3.500, bore 3.068, wall 0.216): 3.216 in are left, and at 1/4 in
/// per ft they are used up in 3.216 × 48 = 154.4 in.
///
/// All at 1/8, the least of a 3 in drain: the end lies at -20 + 2 1/2 + 1 1/4 = -16 1/4; 6.966 in
/// left, 6.966 × 96 = 668.7 in.
#[test]
fn by_hand() {
    let all = reaches(&house(20, "-20in", 120));
    let Push::By(by, Stop::Depth(_)) = of(&all, "b", Laid::AsItIs) else {
        panic!("{all:?}");
    };
    assert!((by.inches() - 154.368).abs() < 1e-3, "{by:?}");
    let Push::By(by, Stop::Depth(_)) = of(&all, "b", Laid::AllAtLeast) else {
        panic!("{all:?}");
    };
    assert!((by.inches() - 668.736).abs() < 1e-3, "{by:?}");
}

/// With depth enough the cleanouts stop it: 100 ft apart (IRC P3005.2), the one that is proposed
/// near the exit 20 + 10 ft down the drains less its own station.
#[test]
fn cleanouts_stop_what_depth_does_not() {
    let all = reaches(&house(20, "-6'", 120));
    let Push::By(by, Stop::Cleanout(_)) = of(&all, "b", Laid::AsItIs) else {
        panic!("{all:?}");
    };
    assert!(
        by.inches() <= 1200.0 - 10.0 * 12.0 && by.inches() > 0.0,
        "{by:?}"
    );
}

/// A drain of the job at each size and fall: 3 in from its least, 1/8, in sixteenths to the
/// steepest, 1/2; nothing smaller than 3 in carries a closet, and none larger than the main it
/// flows into (3 in) is laid above it.
#[test]
fn each_legal_size_and_fall() {
    let w = worked("reach", &house(20, "-20in", 120));
    let work = Work {
        job: &w.job,
        net: &w.net,
        book: &w.book,
        solution: &w.solution,
    };
    let all = of_drain(&work, "b");
    let again: Vec<(f64, f64)> = all
        .iter()
        .filter(|r| r.laid == Laid::Again)
        .map(|r| {
            let (size, fall) = (r.size.expect("a size"), r.fall.expect("a fall"));
            (size.inches(), (fall.inches_per_foot() * 16.0).round())
        })
        .collect();
    assert_eq!(
        again,
        (2..=8).map(|n| (3.0, f64::from(n))).collect::<Vec<_>>()
    );
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48, failure_persistence: None, ..ProptestConfig::default()
    })]
    /// What it says is so: pushed to its reach it still fits, and a little farther it does not.
    #[test]
    fn pushed_to_its_reach_it_fits_and_no_farther(
        seed in prop::collection::vec(any::<u32>(), 4..8)
    ) {
        let mut dice = Dice(seed, 0);
        let (main, invert, branch) = (8 + dice.roll(20), 13 + dice.roll(8), 24 + dice.roll(100));
        let invert = format!("-{invert}in");
        let all = reaches(&house(main, &invert, branch));
        let Push::By(by, Stop::Depth(_)) = of(&all, "b", Laid::AsItIs) else {
            return Ok(());
        };
        // At less than the preferred fall it would be pushed with that, and not with what is left.
        let flat = all.iter().any(|r| r.fall.is_some_and(|f| f.inches_per_foot() < 0.24)
            && r.laid == Laid::AsItIs);
        prop_assume!(!flat);
        let fits = |inches: f64| {
            let text = house(main, &invert, (f64::from(branch) + inches).floor() as u32)
                // So that what does not fit at its fall is not laid flatter.
                .replace("\"size 3\",", "\"size 3\", \"fall 1/4\",");
            let found = worked("pushed", &text).findings;
            !found.open.iter().any(|d| d.code == "L104")
        };
        prop_assert!(fits(by.inches()), "not {by:?} of {branch}");
        // A quarter inch that nobody minds is a foot at this fall.
        prop_assert!(!fits(by.inches() + 14.0), "farther than {by:?} of {branch}");
    }
}

/// By hand. As it is laid, 1/4 in per ft, the main lies 18 x 1/4 = 4 1/2 in up at the footing, its
/// outside from -40 + 4 1/2 - 0.216 = -35.716 on: over a top at -36. At 1/8 it lies at -37.966,
/// 3 1/2 in up to -34.466: into the footing.
#[test]
fn a_footing_stops_what_would_be_laid_again() {
    let text = house(20, "-40in", 120)
        + "[footings]\nF1 = { on = \"main\", station = \"18'\", top = \"-36in\", bottom = \"-44in\" }\n";
    let all = reaches(&text);
    assert!(matches!(
        of(&all, "b", Laid::AsItIs),
        Push::By(_, Stop::Depth(_) | Stop::Cleanout(_))
    ));
    assert_eq!(
        of(&all, "b", Laid::AllAtLeast),
        Push::By(
            stackfall::units::Length::ZERO,
            Stop::Footing("F1".to_owned())
        )
    );
}
