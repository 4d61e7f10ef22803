//! Room in a soffit and beside a hole, and the ways past a footing, against figures worked out by
//! hand from the job alone.

use super::common::worked;
use stackfall::levels::{FootingAt, NotKnown, Passes, bounds};
use stackfall::units::Length;

fn inches(l: Length) -> f64 {
    l.inches()
}

/// Room at the two ends of a piece in inches, and what bounds it.
fn rooms(job: &str, piece: &str) -> [(f64, String); 2] {
    let of = worked("job", job);
    let ix = of.net.piece_by_id(piece).expect("the piece");
    let rooms = of.solution.levels.rooms.get(&ix).expect("its rooms");
    [rooms.down, rooms.up].map(|r| {
        let r = r.expect("room at both ends");
        (inches(r.spare), bounds::words(&of.job, &of.net, r.bound))
    })
}

/// A house with one branch over one floor, its fixture too high to bound it.
fn house(floor: &str, branch: &str) -> String {
    format!(
        r#"
[job]
code = "irc-2021"
fall = {{ "2" = "1/4", "3" = "1/4" }}
[floors]
ground = {{ level = "0", slab = "4in" }}
up = {{ level = "10'", {floor} }}
roof = {{ level = "20'" }}
[exit]
heading = "south"
invert = "-3'"
[stacks]
S1 = {{}}
[drains]
b = {{ into = "S1", floor = "up", {branch} }}
[fixtures]
LAV-1 = {{ kind = "lavatory", floor = "up", into = "b", station = "6'", run = ["up 3'"], arm = "2'", side = "north", outlet = "5'" }}
"#
    )
}

fn near(got: f64, wanted: f64) {
    assert!((got - wanted).abs() < 0.001, "{got}, not {wanted}");
}

/// Joists from -1 1/2 to -13 3/8 in, a soffit to -19 3/8 in. 3 in pipe: bore 3.068, outside 3.500,
/// wall 0.216 in (ASTM D1785). At -19 in its bottom is 19.375 - 19 - 0.216 = 0.159 in above the
/// soffit's; 6 ft x 1/4 in up it has 1 1/2 in more, 1.659, and to the joists above
/// 17.5 - 13.375 - 3.068 - 0.216 = 0.841 in.
#[test]
fn a_soffit_bounds_what_lies_under_joists() {
    let floor = r#"deck = "1 1/2in", joists = "11 7/8in", soffit = "6in""#;
    let branch = r#"invert = "-19in", run = ["lies under joists", "size 3", "east 6'"]"#;
    let [down, up] = rooms(&house(floor, branch), "b.LAV-1");
    near(down.0, 0.159);
    assert_eq!(down.1, "soffit of up");
    near(up.0, 0.841);
    assert_eq!(up.1, "joists of up");
}

/// The same without `soffit`: nothing bounds it from below, so at its lower end too it is the
/// joists over its upper end.
#[test]
fn without_a_soffit_nothing_bounds_it_from_below() {
    let floor = r#"deck = "1 1/2in", joists = "11 7/8in""#;
    let branch = r#"invert = "-18 1/2in", run = ["lies under joists", "size 3", "east 6'"]"#;
    let [down, _] = rooms(&house(floor, branch), "b.LAV-1");
    near(down.0, 0.341);
    assert_eq!(down.1, "joists of up");
}

/// 2x12 joists from -3/4 to -12 in; 2 in stay over and under a hole. 2 in pipe: bore 2.067, outside
/// 2.375, wall 0.154 in. At -9 in: 12 - 2 - 9 - 0.154 = 0.846 in downward. 1 1/2 in up: at -7 1/2 in its
/// top is at -5.279, 2.529 in under the 2 3/4 in that stay, and 2.346 in are left downward.
#[test]
fn across_sawn_joists_two_inches_stay_over_and_under_a_hole() {
    let floor = r#"deck = "3/4in", joists = "11 1/4in", joists_run = "east", spacing = "16in""#;
    let branch = |way: &str| format!(r#"invert = "-9in", run = ["size 2", "{way} 6'"]"#);
    let [down, up] = rooms(&house(floor, &branch("north")), "b.LAV-1");
    near(down.0, 0.846);
    assert_eq!(down.1, "wood under a hole in the joists of up");
    near(up.0, 2.346);
    // Along the joists their bottom is the limit: 2 in more.
    let [down, _] = rooms(&house(floor, &branch("west")), "b.LAV-1");
    near(down.0, 2.846);
    assert_eq!(down.1, "bottom of the joists of up");
    // Half of the way across is more than the 16 in of a bay: 72 x 0.707 = 50.9 in.
    let [down, _] = rooms(&house(floor, &branch("northeast")), "b.LAV-1");
    near(down.0, 0.846);
}

/// A branch whose invert nobody states hangs below the wood that stays over its hole: its top at
/// -2 3/4 in at the upper end, so its invert there at -2.75 - 2.067 - 0.154 = -4.971, and 1 1/2 in lower
/// at the stack.
#[test]
fn a_branch_across_joists_hangs_below_the_wood_over_its_hole() {
    let floor = r#"deck = "3/4in", joists = "11 1/4in", joists_run = "east", spacing = "16in""#;
    let of = worked("job", &house(floor, r#"run = ["size 2", "south 6'"]"#));
    let ix = of.net.piece_by_id("b.LAV-1").expect("the piece");
    let level = &of.solution.levels.pieces[&ix];
    near(inches(level.invert_down.expect("hung")) - 120.0, -6.471);
    let [_, up] = rooms(&house(floor, r#"run = ["size 2", "south 6'"]"#), "b.LAV-1");
    assert_eq!(up.1, "wood over a hole in the joists of up");
}

/// Three legs of a foot each are one stretch of 3 ft: it leaves a bay of 16 in, whatever it is cut at.
#[test]
fn a_straight_stretch_is_one_however_it_is_cut() {
    let job = |run: &str| {
        let floor = r#"deck = "3/4in", joists = "9 1/4in", joists_run = "east", spacing = "16in""#;
        house(floor, run).replace("station = \"6'\"", "station = \"3'\"")
    };
    let crosses = |run: &str| {
        let found = worked("job", &job(run)).findings.open;
        found.iter().any(|d| d.code == "S102")
    };
    assert!(crosses(
        r#"size = 3, run = ["north 1'", "north 1'", "north 1'"]"#
    ));
    // Two steps to one side go as far across as one of both; a step back does not.
    assert!(crosses(
        r#"size = 3, run = ["north 1'", "east 1'", "north 1'"]"#
    ));
    assert!(!crosses(
        r#"size = 3, run = ["north 1'", "east 1'", "south 1'"]"#
    ));
}

/// The arithmetic stands in the job itself.
#[test]
fn each_footing_says_how_the_drain_passes_it() {
    let text = std::fs::read_to_string("tests/findings/L105-fails.toml").expect("the job");
    let of = worked("job", &text);
    let by_name = |name: &str| {
        let at = |at: FootingAt| match at {
            FootingAt::Exit(i) => of.job.exits[i].name == name,
            FootingAt::Footing(i) => of.job.footings[i].name == name,
        };
        let found = of.solution.levels.footings.iter().find(|f| at(f.at));
        found.expect("the footing").passes
    };
    let Passes::Through {
        above_bottom,
        below_top,
    } = by_name("exit")
    else {
        panic!("{:?}", by_name("exit"));
    };
    near(inches(above_bottom), 50.0 - 48.237);
    near(inches(below_top), 43.737 - 38.0);
    let Passes::CutsBottom { above_bottom } = by_name("F1") else {
        panic!("{:?}", by_name("F1"));
    };
    near(inches(above_bottom), 45.0 - 41.237);
    let Passes::CutsTop { below_top } = by_name("F2") else {
        panic!("{:?}", by_name("F2"));
    };
    near(inches(below_top), 44.487 - 42.0);
    let Passes::Over { clear } = by_name("F3") else {
        panic!("{:?}", by_name("F3"));
    };
    near(inches(clear), 48.0 - (48.0 - 1.25 + 0.237));
    assert_eq!(by_name("F4"), Passes::Unknown(NotKnown::Station));
}

/// What the finding says to do does it: moved so, the drain passes.
#[test]
fn both_ways_out_of_a_footing_lead_out() {
    let text = std::fs::read_to_string("tests/findings/L105-fails.toml").expect("the job");
    let of = worked("job", &text);
    let help = |d: &stackfall::diagnostics::Diagnostic| d.help.clone().unwrap_or_default();
    let found = of.findings.open.iter();
    let found = found.filter(|d| d.code == "L105" && d.at == "exit");
    let helps: Vec<String> = found.map(help).collect();
    // Up 48.237 - 38 = 10.237; down 50 - 43.737 = 6.263; each to the eighth above.
    let wanted = "lower it by 6⅜″ or more to pass under its bottom, or raise it by 10¼″ or \
                  more to pass over its top, through the wall in a 6″ sleeve or under an arch \
                  (P2603.4)";
    assert_eq!(helps, [wanted]);
    for invert in ["-54 3/8in", "-37 3/4in"] {
        let moved = text.replace("invert = \"-4'\"", &format!("invert = \"{invert}\""));
        let of = worked("job", &moved);
        let mut found = of.findings.open.iter();
        let exit = found.find(|d| d.code == "L105" && d.at == "exit");
        assert!(exit.is_none(), "{invert}: {exit:?}");
    }
}
