//! Houses worked by hand, one for each way of joining: every invert on the way up from the exit,
//! in inches, with the arithmetic beside it. All pipe is PVC of Schedule 40 (ASTM D1785 and D2665):
//! bores 4.026 in for 4, 3.068 for 3, 2.067 for 2, 1.610 for 1 1/2.
//!
//! The ways of joining are geometry: `D` the bore of the drain, `d` that of the branch.

use stackfall::levels::PieceLevels;
use stackfall::units::Length;

use crate::common::{Worked, worked};

/// Falls of all four: 1/4 in per ft up to 3 in, 1/8 in at 4 in. The slab hinders none of them.
const HEAD: &str = r#"
[job]
code = "irc-2021"
JOIN
fall = { "1.5" = "1/4", "2" = "1/4", "3" = "1/4", "4" = "1/8" }
[floors]
basement = { level = "0", slab = "4in" }
"#;

/// A place on the way: `X up` and `X down` are the two ends of a piece, `F foot` is where a
/// fixture's own way leaves its drain, `F weir` the upper end of its arm.
fn invert(of: &Worked, place: &str) -> f64 {
    let (name, end) = place.split_once(' ').expect("a place");
    let piece = |id: &str| {
        let piece = of.net.piece_by_id(id)?;
        of.solution.levels.pieces.get(&piece)
    };
    let found = match end {
        "weir" => piece(&format!("{name}.arm")),
        "foot" => piece(&format!("{name}.drop")).or(piece(&format!("{name}.arm"))),
        _ => piece(name),
    };
    let read: fn(&PieceLevels) -> Option<Length> = match end {
        "up" | "weir" => |p| p.invert_up,
        _ => |p| p.invert_down,
    };
    let found = found.and_then(read);
    found
        .unwrap_or_else(|| panic!("no invert of {place}"))
        .inches()
}

fn house(join: &str, drains: &str, by_hand: &[(&str, f64)]) {
    let join = format!("join = \"{join}\"");
    let text = HEAD.replace("JOIN", &join) + drains;
    let of = worked("house", &text);
    let wrong: Vec<String> = by_hand
        .iter()
        .map(|(place, inches)| (place, inches, invert(&of, place)))
        .filter(|(_, by_hand, found)| (*by_hand - found).abs() > 0.01)
        .map(|(place, by_hand, found)| format!("{place}: {by_hand} by hand, {found:.4} found"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // A house that is meant to be built: nothing stands against it.
    assert!(of.findings.open.is_empty(), "{:#?}", of.findings.open);
}

/// Flat wyes: centres matched, (D - d) / 2.
#[test]
fn flat_wyes() {
    let drains = r#"
[exit]
heading = "south"
invert = "-2' 4"
[drains]
main = { into = "exit", run = ["lies under slab", "size 4", "north 30'"] }
bath = { into = "main", station = "16'", size = 3, run = ["east 12'"] }
lau = { into = "main", station = "24'", size = 2, run = ["west 10'"] }
[fixtures]
WC = { kind = "water closet", floor = "basement", into = "bath", station = "6'", arm = "2'", side = "north" }
LAV = { kind = "lavatory", floor = "basement", into = "bath", station = "12'", run = ["up 2'"], arm = "2'", side = "north" }
LT = { kind = "laundry tub", floor = "basement", into = "lau", station = "10'", run = ["up 2'"], arm = "2'", side = "north" }
FD = { kind = "floor drain", floor = "basement", into = "main", station = "30'", arm = "3'", side = "west", primed_by = "LT" }
"#;
    let by_hand = [
        ("main.bath down", -28.0),
        // 16 ft x 1/8 = 2
        ("main.bath up", -26.0),
        // 3 on 4: (4.026 - 3.068) / 2 = 0.479
        ("bath.WC down", -25.521),
        // 6 ft x 1/4 = 1 1/2
        ("bath.WC up", -24.021),
        // 3 on 3: 0
        ("WC foot", -24.021),
        // 2 ft x 1/4 = 1/2
        ("WC weir", -23.521),
        // 6 ft x 1/4 = 1 1/2
        ("bath.LAV up", -22.521),
        // 1 1/2 on 3: (3.068 - 1.610) / 2 = 0.729
        ("LAV foot", -21.792),
        // up 24, and 2 ft x 1/4 = 1/2
        ("LAV weir", 2.708),
        // 8 ft x 1/8 = 1
        ("main.lau up", -25.0),
        // 2 on 4: (4.026 - 2.067) / 2 = 0.9795
        ("lau.LT down", -24.0205),
        // 10 ft x 1/4 = 2 1/2
        ("lau.LT up", -21.5205),
        // 1 1/2 on 2: (2.067 - 1.610) / 2 = 0.2285
        ("LT foot", -21.292),
        // up 24, and 2 ft x 1/4 = 1/2
        ("LT weir", 3.208),
        // 6 ft x 1/8 = 3/4
        ("main.FD up", -24.25),
        // 2 on 4: 0.9795
        ("FD foot", -23.2705),
        // 3 ft x 1/4 = 3/4
        ("FD weir", -22.5205),
    ];
    house("centre", drains, &by_hand);
}

/// Wyes rolled 45°: centres matched, and D / 2 x 0.70711 on top.
#[test]
fn rolled_wyes() {
    let drains = r#"
[exit]
heading = "south"
invert = "-2' 2"
[drains]
main = { into = "exit", run = ["lies under slab", "size 4", "north 20'"] }
bath = { into = "main", station = "12'", wye = "rolled", size = 3, run = ["east 14'"] }
sh = { into = "bath", station = "8'", wye = "rolled", size = 2, run = ["north 5'"] }
[fixtures]
WC = { kind = "water closet", floor = "basement", into = "bath", station = "5'", arm = "2'", side = "south" }
BT = { kind = "bathtub", floor = "basement", into = "bath", station = "14'", arm = "3'", side = "south" }
SH = { kind = "shower", floor = "basement", into = "sh", station = "3'", arm = "4'", side = "east" }
LAV = { kind = "lavatory", floor = "basement", into = "sh", station = "5'", run = ["up 2'"], arm = "2'", side = "east" }
FD = { kind = "floor drain", floor = "basement", into = "main", station = "20'", arm = "3'", side = "west", primed_by = "LAV" }
"#;
    let by_hand = [
        ("main.bath down", -26.0),
        // 12 ft x 1/8 = 1 1/2
        ("main.bath up", -24.5),
        // 3 on 4, rolled: 0.479 + 2.013 x 0.70711 = 0.479 + 1.4234 = 1.9024
        ("bath.WC down", -22.5976),
        // 5 ft x 1/4 = 1 1/4
        ("bath.WC up", -21.3476),
        // 3 on 3, the arm's own wye flat: 0
        ("WC foot", -21.3476),
        // 2 ft x 1/4 = 1/2
        ("WC weir", -20.8476),
        // 3 ft x 1/4 = 3/4
        ("bath.sh up", -20.5976),
        // 2 on 3, rolled: 0.5005 + 1.534 x 0.70711 = 0.5005 + 1.0847 = 1.5852
        ("sh.SH down", -19.0124),
        // 3 ft x 1/4 = 3/4
        ("sh.SH up", -18.2624),
        // 1 1/2 on 2: 0.2285
        ("SH foot", -18.0339),
        // 4 ft x 1/4 = 1
        ("SH weir", -17.0339),
        // 2 ft x 1/4 = 1/2
        ("sh.LAV up", -17.7624),
        // 1 1/2 on 2: 0.2285
        ("LAV foot", -17.5339),
        // up 24, and 2 ft x 1/4 = 1/2
        ("LAV weir", 6.9661),
        // 6 ft x 1/4 = 1 1/2
        ("bath.BT up", -19.0976),
        // 1 1/2 on 3: 0.729
        ("BT foot", -18.3686),
        // 3 ft x 1/4 = 3/4
        ("BT weir", -17.6186),
        // 8 ft x 1/8 = 1
        ("main.FD up", -23.5),
        // 2 on 4: 0.9795
        ("FD foot", -22.5205),
        // 3 ft x 1/4 = 3/4
        ("FD weir", -21.7705),
    ];
    house("centre", drains, &by_hand);
}

/// Wyes on their backs: the branch lies on the crown of the drain's bore, D above its invert,
/// whatever its own size. The job matches crowns, which is not for them.
#[test]
fn wyes_on_their_backs() {
    let drains = r#"
[exit]
heading = "south"
invert = "-2' 8"
[drains]
main = { into = "exit", run = ["lies under slab", "size 4", "north 18'"] }
wing = { into = "main", station = "10'", wye = "on back", size = 3, run = ["west 12'"] }
lau = { into = "wing", station = "6'", wye = "on back", size = 2, run = ["south 6'"] }
[fixtures]
WC = { kind = "water closet", floor = "basement", into = "wing", station = "4'", arm = "2'", side = "north" }
LAV = { kind = "lavatory", floor = "basement", into = "wing", station = "12'", run = ["up 2'"], arm = "2'", side = "north" }
FD = { kind = "floor drain", floor = "basement", into = "lau", station = "3'", arm = "3'", side = "west", primed_by = "LT" }
LT = { kind = "laundry tub", floor = "basement", into = "lau", station = "6'", run = ["up 1' 6"], arm = "2'", side = "west" }
SH = { kind = "shower", floor = "basement", into = "main", station = "18'", run = ["up 6in"], arm = "4'", side = "east" }
"#;
    let by_hand = [
        ("main.wing down", -32.0),
        // 10 ft x 1/8 = 1 1/4
        ("main.wing up", -30.75),
        // on the back of a 4: 4.026
        ("wing.WC down", -26.724),
        // 4 ft x 1/4 = 1
        ("wing.WC up", -25.724),
        // 3 on 3: 0
        ("WC foot", -25.724),
        // 2 ft x 1/4 = 1/2
        ("WC weir", -25.224),
        // 2 ft x 1/4 = 1/2
        ("wing.lau up", -25.224),
        // on the back of a 3: 3.068
        ("lau.FD down", -22.156),
        // 3 ft x 1/4 = 3/4
        ("lau.FD up", -21.406),
        // 2 on 2: 0
        ("FD foot", -21.406),
        // 3 ft x 1/4 = 3/4
        ("FD weir", -20.656),
        // 3 ft x 1/4 = 3/4
        ("lau.LT up", -20.656),
        // the foot of an upright leg, 1 1/2 on 2: centres, 0.2285
        ("LT foot", -20.4275),
        // up 18, and 2 ft x 1/4 = 1/2
        ("LT weir", -1.9275),
        // 6 ft x 1/4 = 1 1/2
        ("wing.LAV up", -23.724),
        // the foot of an upright leg, 1 1/2 on 3: centres, 0.729
        ("LAV foot", -22.995),
        // up 24, and 2 ft x 1/4 = 1/2
        ("LAV weir", 1.505),
        // 8 ft x 1/8 = 1
        ("main.SH up", -29.75),
        // the foot of an upright leg, 1 1/2 on 4: centres, (4.026 - 1.610) / 2 = 1.208
        ("SH foot", -28.542),
        // up 6, and 4 ft x 1/4 = 1
        ("SH weir", -21.542),
    ];
    house("crown", drains, &by_hand);
}

/// A main that goes from 4 to 3 at 16 ft and from 3 to 2 at 28 ft.
const REDUCED: &str = r#"
[exit]
heading = "south"
invert = "-2' 2"
[drains]
main = { into = "exit", run = ["lies under slab", "size 4", "north 16'", "size 3", "north 12'", "size 2", "north 8'"] }
[fixtures]
FD = { kind = "floor drain", floor = "basement", into = "main", station = "10'", arm = "3'", side = "west", primed_by = "LAV" }
WC = { kind = "water closet", floor = "basement", into = "main", station = "20'", arm = "2'", side = "west" }
LAV = { kind = "lavatory", floor = "basement", into = "main", station = "32'", run = ["up 2'"], arm = "2'", side = "west" }
SH = { kind = "shower", floor = "basement", into = "main", station = "36'", arm = "4'", side = "west" }
"#;

/// Concentric reducers: centres matched, (D - d) / 2.
#[test]
fn concentric_reducers() {
    let by_hand = [
        ("main.FD down", -26.0),
        // 10 ft x 1/8 = 1 1/4
        ("main.FD up", -24.75),
        // 2 on 4: 0.9795
        ("FD foot", -23.7705),
        // 3 ft x 1/4 = 3/4
        ("FD weir", -23.0205),
        // 6 ft x 1/8 = 3/4
        ("main.to-3 up", -24.0),
        // 4 to 3: 0.479
        ("main.WC down", -23.521),
        // 4 ft x 1/4 = 1
        ("main.WC up", -22.521),
        // 3 on 3: 0, and 2 ft x 1/4 = 1/2
        ("WC weir", -22.021),
        // 8 ft x 1/4 = 2
        ("main.to-2 up", -20.521),
        // 3 to 2: (3.068 - 2.067) / 2 = 0.5005
        ("main.LAV down", -20.0205),
        // 4 ft x 1/4 = 1
        ("main.LAV up", -19.0205),
        // 1 1/2 on 2: 0.2285
        ("LAV foot", -18.792),
        // up 24, and 2 ft x 1/4 = 1/2
        ("LAV weir", 5.708),
        // 4 ft x 1/4 = 1
        ("main.SH up", -18.0205),
        // 1 1/2 on 2: 0.2285
        ("SH foot", -17.792),
        // 4 ft x 1/4 = 1
        ("SH weir", -16.792),
    ];
    house("centre", REDUCED, &by_hand);
}

/// Reducers with crowns matched: D - d; so are flat wyes, but for the foot of an upright leg.
#[test]
fn reducers_crown_to_crown() {
    let by_hand = [
        ("main.FD down", -26.0),
        ("main.FD up", -24.75),
        // 2 on 4: 4.026 - 2.067 = 1.959
        ("FD foot", -22.791),
        ("FD weir", -22.041),
        ("main.to-3 up", -24.0),
        // 4 to 3: 4.026 - 3.068 = 0.958
        ("main.WC down", -23.042),
        ("main.WC up", -22.042),
        ("WC weir", -21.542),
        ("main.to-2 up", -20.042),
        // 3 to 2: 3.068 - 2.067 = 1.001
        ("main.LAV down", -19.041),
        ("main.LAV up", -18.041),
        // upright: centres, 0.2285
        ("LAV foot", -17.8125),
        ("LAV weir", 6.6875),
        ("main.SH up", -17.041),
        // 1 1/2 on 2: 2.067 - 1.610 = 0.457
        ("SH foot", -16.584),
        ("SH weir", -15.584),
    ];
    house("crown", REDUCED, &by_hand);
}

/// Reducers with inverts matched: nothing; so are flat wyes, but for the foot of an upright leg.
#[test]
fn reducers_invert_to_invert() {
    let by_hand = [
        ("main.FD down", -26.0),
        ("main.FD up", -24.75),
        ("FD foot", -24.75),
        ("FD weir", -24.0),
        ("main.to-3 up", -24.0),
        ("main.WC down", -24.0),
        ("main.WC up", -23.0),
        ("WC weir", -22.5),
        ("main.to-2 up", -21.0),
        ("main.LAV down", -21.0),
        ("main.LAV up", -20.0),
        // upright: centres, 0.2285
        ("LAV foot", -19.7715),
        ("LAV weir", 4.7285),
        ("main.SH up", -19.0),
        ("SH foot", -19.0),
        ("SH weir", -18.0),
    ];
    house("invert", REDUCED, &by_hand);
}
