use stackfall::job::{Join, Said, Wye};
use stackfall::levels::{FallFrom, Flattened};
use stackfall::network::{JointKind, PieceIx, RunKind};
use stackfall::units::{Fall, Heading, Length};

use super::small::{Small, level, size, up};

const JOB: &str = r#"
[job]
code = "irc-2021"
fall = { "3" = "1/4", "4" = "1/8" }
[exit]
invert = "-10' 8"
[floors]
first = { level = "0" }
[fixtures]
WC = { kind = "water closet" }
LAV = { kind = "lavatory", outlet = "18in", floor = "first" }
"#;

fn inches(l: Option<Length>) -> f64 {
    l.expect("a known level").inches()
}

/// 32 ft of 4 in main, a 3 in branch of 15 ft at its end, and a stack beyond.
fn drains() -> (Small, PieceIx, PieceIx) {
    let mut s = Small::new(JOB);
    let main = s.run("main", RunKind::BuildingDrain);
    let legs = vec![level(Heading::North, 32.0)];
    let (a, low) = s.up_from(s.exit, main, "bb", JointKind::Junction, legs);
    s.state_size(low, 4.0);
    let bb = s.run("bb", RunKind::BuildingBranch);
    let legs = vec![level(Heading::Northwest, 3.0), level(Heading::West, 12.0)];
    let (end, branch) = s.up_from(a, bb, "WC", JointKind::Junction, legs);
    s.state_size(branch, 3.0);
    s.fixture("WC", end, Some(2.0));
    s.fixture("LAV", end, None);
    (s, low, branch)
}

#[test]
fn inverts_go_up_from_the_exit() {
    let (mut s, low, branch) = drains();
    let l = s.solve().levels;
    let (main, bb) = (&l.pieces[&low], &l.pieces[&branch]);
    assert!((inches(main.invert_down) + 128.0).abs() < 1e-6);
    // 32 ft at 1/8 in per ft: 4 in.
    assert_eq!(main.fall_from, FallFrom::Preferred);
    assert!((inches(main.invert_up) + 124.0).abs() < 1e-6);
    // Centres of 4.026 and 3.068 in bores.
    assert!((inches(bb.invert_down) + 124.0 - 0.479).abs() < 1e-6);
    // 15 ft at 1/4: 3 3/4 in.
    assert!((inches(bb.invert_up) + 124.0 - 0.479 - 3.75).abs() < 1e-6);
    s.job.practice.join = Join::Crown;
    let crown = s.solve().levels;
    assert!((inches(crown.pieces[&branch].step) - 0.958).abs() < 1e-6);
    s.job.practice.join = Join::Invert;
    let invert = s.solve().levels;
    assert!(inches(invert.pieces[&branch].step).abs() < 1e-9);
    s.job.practice.join = Join::Centre;
    let bb = s.net.run_by_id("bb").expect("bb").0;
    s.net.runs[bb].wye = Wye::Rolled;
    let rolled = s.solve().levels;
    assert!((inches(rolled.pieces[&branch].step) - 1.902_405).abs() < 1e-5);
}

#[test]
fn a_length_that_nobody_gave_is_told_and_ends_the_inverts() {
    let (mut s, low, branch) = drains();
    s.net.graph[low].legs[0].length = None;
    let l = s.solve().levels;
    assert_eq!(l.pieces[&low].invert_up, None);
    assert_eq!(l.pieces[&branch].invert_down, None);
    assert_eq!(l.missing, ["LAV.arm", "main.bb"]);
    let row = l
        .stations
        .iter()
        .find(|r| r.run == "bb")
        .expect("a row of bb");
    assert_eq!(
        row.missing.as_deref(),
        Some("the length of main.bb is not known")
    );
    // The lavatory's arm hangs from its outlet instead.
    let arm = s.net.piece_by_id("LAV.arm").expect("an arm");
    assert!((inches(l.pieces[&arm].invert_up) - 18.0).abs() < 1e-6);
}

#[test]
fn upright_legs_count_for_stations_and_not_for_fall() {
    let mut s = Small::new(JOB);
    let main = s.run("main", RunKind::BuildingDrain);
    let legs = vec![
        level(Heading::North, 24.0),
        up(Some(5.0)),
        level(Heading::North, 24.0),
    ];
    let (a, low) = s.up_from(s.exit, main, "WC", JointKind::Junction, legs);
    s.net.graph[low].fall = Some(Said {
        value: Fall::from_inches_per_foot(0.25),
        span: 0..1,
    });
    s.fixture("WC", a, Some(2.0));
    s.fixture("LAV", a, None);
    let l = s.solve().levels;
    let main = &l.pieces[&low];
    assert_eq!(main.fall_from, FallFrom::Stated);
    assert!(main.length.is_some_and(|l| l.same(Length::from_feet(53.0))));
    assert!((inches(main.invert_up) + 128.0 - 60.0 - 12.0).abs() < 1e-6);
}

#[test]
fn a_preferred_fall_that_does_not_fit_an_arm_is_flattened_and_a_stated_one_is_not() {
    let text = r#"
[job]
code = "irc-2021"
fall = { "3" = "1/2" }
[fixtures]
FD = { kind = "floor drain", trap = 3 }
"#;
    let mut s = Small::new(text);
    let main = s.run("main", RunKind::BuildingDrain);
    let legs = vec![level(Heading::North, 4.0)];
    let (a, _) = s.up_from(s.exit, main, "FD", JointKind::Junction, legs);
    let arm = s.fixture("FD", a, Some(8.0));
    let l = s.solve().levels;
    // 8 ft at 1/2 is 4 in, more than 3: the least, 1/8, instead.
    let why = FallFrom::Flattened(Flattened::Arm);
    assert_eq!(l.pieces[&arm].fall_from, why);
    assert!(
        l.pieces[&arm]
            .fall
            .is_some_and(|f| f.same(Fall::from_inches_per_foot(0.125)))
    );
    s.net.graph[arm].fall = Some(Said {
        value: Fall::from_inches_per_foot(0.5),
        span: 0..1,
    });
    let l = s.solve().levels;
    assert!(
        l.pieces[&arm]
            .fall
            .is_some_and(|f| f.same(Fall::from_inches_per_foot(0.5)))
    );
    assert_eq!(s.solve().sizing.pieces[&arm].size, size(3.0));
}
