//! What a job's words become: branches, stations, vents, states, positions, cleanouts.

use stackfall::units::Heading;

use super::*;

#[test]
fn a_sketch_gets_branches_in_the_order_of_a_wet_vent() {
    let net = job_of(
        r#"
[stacks]
S1 = {}
[fixtures]
LAV-1 = { kind = "lavatory", floor = "second", into = "S1" }
WC-1 = { kind = "water closet", floor = "second", into = "S1" }
BT-1 = { kind = "bathtub", floor = "second" }
CW-1 = { kind = "clothes washer", floor = "second", into = "S1" }
KS-1 = { kind = "kitchen sink", floor = "first", into = "S1" }
"#,
    );
    assert_eq!(ids(&net, "exit.drain"), ["exit.drain.S1"]);
    assert_eq!(ids(&net, "S1"), ["S1.S1.first", "S1.S1.second"]);
    // What is no bathroom fixture joins nearest the stack, the lavatory farthest from it.
    let branch = [
        "S1.second.CW-1",
        "S1.second.WC-1",
        "S1.second.BT-1",
        "S1.second.LAV-1",
    ];
    assert_eq!(ids(&net, "S1.second"), branch);
    assert_eq!(
        method(&net, "WC-1"),
        network::VentMethod::Wet(network::TrapIx(0))
    );
    assert_eq!(
        method(&net, "BT-1"),
        network::VentMethod::Wet(network::TrapIx(0))
    );
    assert_eq!(method(&net, "CW-1"), network::VentMethod::Individual);
    // The lower floor's vent goes out and up beside the stack, and joins above the upper rims.
    assert_eq!(ends(&net, "S1.first.header.KS-1").1, "S1.riser.second");
    assert_eq!(ends(&net, "S1.riser.second").1, "S1.second.header.riser");
    assert_eq!(
        ends(&net, "S1.second.header.riser").1,
        "S1.second.header.LAV-1"
    );
    assert_eq!(
        ends(&net, "S1.second.header.LAV-1").1,
        "S1.second.header.CW-1"
    );
    assert_eq!(ends(&net, "S1.second.header.CW-1").1, "S1.vent.roof");
    assert_eq!(ends(&net, "S1.vent.roof").1, "S1.vtr");
}

#[test]
fn stations_cut_legs_and_sizes_change_where_stated() {
    let net = job_of(
        r#"
[drains]
main = { into = "exit", run = ["size 4", "north 32'", "size 3", "east 11'"] }
ext = { into = "main", floor = "basement", run = ["east 3'"] }
[fixtures]
FD-1 = { kind = "floor drain", floor = "basement", into = "main", station = "40'" }
FD-2 = { kind = "floor drain", floor = "basement", into = "ext", station = "2'" }
SK-1 = { kind = "sink", floor = "basement", into = "main", station = "12'" }
"#,
    );
    // A cleanout is proposed at the turn, for another drain goes straight on from the end.
    let pieces = ["main.SK-1", "main.co-2", "main.FD-1", "main.ext"];
    assert_eq!(ids(&net, "main"), pieces);
    let length = |id: &str| {
        let p = net.piece_by_id(id).expect("a piece");
        net.graph[p]
            .legs
            .iter()
            .map(|l| l.length.expect("known").feet())
            .sum::<f64>()
    };
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-6, "{a} {b}");
    close(length("main.SK-1"), 12.0);
    close(length("main.co-2"), 20.0);
    close(length("main.FD-1"), 8.0);
    close(length("main.ext"), 3.0);
    // It goes on in line, has a fixture a foot before its end, and then a dead end.
    assert_eq!(ids(&net, "ext"), ["ext.FD-2", "ext.end"]);
    let size = |id: &str| {
        let p = net.piece_by_id(id).expect("a piece");
        net.graph[p].size.as_ref().map(|s| s.value.inches())
    };
    assert_eq!(size("main.co-2"), Some(4.0));
    assert_eq!(size("main.FD-1"), Some(3.0));
}

#[test]
fn a_rise_is_a_piece_of_its_own() {
    // Its words, its length and the inverts at its foot and head are its own.
    let net = job_of(
        r#"
[drains]
main = { into = "exit", run = ["north 9'", "up 3'", "north 4'"] }
[fixtures]
SK-1 = { kind = "sink", floor = "basement", into = "main", station = "16'" }
"#,
    );
    assert_eq!(ids(&net, "main"), ["main.foot", "main.head", "main.SK-1"]);
    for run in net.runs.iter().filter(|r| r.id == "main") {
        let legs = run.pieces.iter().map(|p| net.graph[*p].legs.len());
        assert!(legs.eq([1, 1, 1]));
    }
}

#[test]
fn a_cleanout_is_proposed_where_one_drain_turns_into_another() {
    // IPC 708.1.4 and IRC P3005.2 as the books have them: over 45 degrees, one within 40 ft.
    let cleanouts = |text: &str| -> Vec<String> {
        let net = job_of(text);
        net.cleanouts.iter().map(|c| c.id.clone()).collect()
    };
    let fixture = "[fixtures]\nSK-1 = { kind = \"sink\", floor = \"basement\", into = \"b\" }\n";
    let drains = |way: &str| {
        format!(
            "[drains]\nmain = {{ into = \"exit\", run = [\"north 9'\"] }}\n\
             b = {{ into = \"main\", floor = \"basement\", run = [\"{way} 30'\"] }}\n"
        )
    };
    let foot = "main.co".to_owned();
    let turned = cleanouts(&format!("{}{fixture}", drains("east")));
    assert_eq!(turned, [foot.clone(), "main.co-2".to_owned()]);
    for way in ["north", "northeast"] {
        let straight = cleanouts(&format!("{}{fixture}", drains(way)));
        assert_eq!(straight, std::slice::from_ref(&foot), "{way}");
    }
    // One at the end of the branch reaches the turn, if it is near enough.
    let own = "[cleanouts]\nCO-1 = { on = \"b\" }\n";
    let near = cleanouts(&format!("{}{fixture}{own}", drains("east")));
    assert_eq!(near, ["CO-1".to_owned(), foot]);
}

#[test]
fn what_is_of_no_bathroom_is_not_wet_vented() {
    // IRC P3108.1, from memory: a wet vent is for the fixtures of one or two bathrooms.
    let text = |room: &str| {
        format!(
            r#"
[stacks]
S1 = {{}}
[drains]
b = {{ into = "S1", floor = "second", run = ["west 10'"] }}
[fixtures]
WC-1 = {{ kind = "water closet", room = "Bath", floor = "second", into = "b", station = "3'" }}
LAV-1 = {{ kind = "lavatory", room = "{room}", floor = "second", into = "b", station = "10'" }}
"#
        )
    };
    let net = job_of(&text("Bath"));
    assert_eq!(
        method(&net, "WC-1"),
        network::VentMethod::Wet(network::TrapIx(1))
    );
    let net = job_of(&text("Dressing room"));
    assert_eq!(method(&net, "WC-1"), network::VentMethod::Individual);
    assert_eq!(method(&net, "LAV-1"), network::VentMethod::Individual);
}

#[test]
fn what_states_no_station_leaves_lengths_unknown() {
    let net = job_of(
        r#"
[drains]
main = { into = "exit", run = ["north 30'"] }
[fixtures]
FD-1 = { kind = "floor drain", floor = "basement", into = "main", station = "10'" }
FD-2 = { kind = "floor drain", floor = "basement", into = "main" }
FD-3 = { kind = "floor drain", floor = "basement", into = "main" }
"#,
    );
    assert_eq!(ids(&net, "main"), ["main.FD-1", "main.FD-2", "main.FD-3"]);
    for (id, known) in [
        ("main.FD-1", true),
        ("main.FD-2", false),
        ("main.FD-3", false),
    ] {
        let p = net.piece_by_id(id).expect("a piece");
        assert!(
            net.graph[p]
                .legs
                .iter()
                .all(|l| l.length.is_some() == known),
            "{id}"
        );
    }
}

#[test]
fn fixtures_that_name_one_vent_share_its_fitting() {
    let net = job_of(
        r#"
[stacks]
S1 = {}
[drains]
b = { into = "S1", floor = "second", run = ["west 8'"] }
[fixtures]
LAV-1 = { kind = "lavatory", floor = "second", into = "b", vent = "V1" }
LAV-2 = { kind = "lavatory", floor = "second", into = "b", vent = "V1" }
KS-1 = { kind = "kitchen sink", floor = "first", into = "S1", side = "west", vent = "V2" }
[vents]
V1 = { into = "S1" }
V2 = { into = "V1" }
"#,
    );
    use network::{TrapIx, VentMethod};
    assert_eq!(method(&net, "LAV-1"), VentMethod::Common(vec![TrapIx(1)]));
    assert_eq!(ids(&net, "b"), ["b.LAV-1"]);
    assert_eq!(ends(&net, "LAV-2.arm").1, "LAV-1.drop");
    // The vent from the floor below goes up beyond the branches and meets it above its rims.
    assert_eq!(ends(&net, "V2.KS-1").0, "KS-1.drop");
    assert_eq!(ends(&net, "S1.riser.second").1, "b.header.riser");
    assert_eq!(ends(&net, "b.header.riser").1, "b.header.LAV-1");
}

#[test]
fn an_island_loops_down_to_its_foot() {
    let net = job_of(
        r#"
[stacks]
S1 = {}
[fixtures]
KS-1 = { kind = "kitchen sink", floor = "first", into = "S1", vent = "V4" }
WC-1 = { kind = "water closet", floor = "second", into = "S1" }
[vents]
V4 = { kind = "island" }
"#,
    );
    assert_eq!(ids(&net, "S1.first"), ["S1.first.V4", "S1.first.KS-1"]);
    assert_eq!(
        ids(&net, "V4"),
        ["V4.KS-1", "V4.loop", "V4.low", "V4.foot", "V4.rise"]
    );
    assert_eq!(
        ends(&net, "V4.foot"),
        ("S1.first.V4".into(), "V4.rise".into())
    );
    assert_eq!(method(&net, "KS-1"), network::VentMethod::Island);
    let arm = net.traps[0].vent_piece.expect("a vent");
    assert_eq!(net.graph[arm].id, "V4.KS-1");
}

#[test]
fn a_basin_is_vented_and_pumps_on() {
    let net = job_of(
        r#"
[drains]
main = { into = "exit", run = ["north 30'"] }
[fixtures]
FD-1 = { kind = "floor drain", floor = "basement", into = "EJ-1" }
SK-1 = { kind = "sink", floor = "basement", into = "EJ-1" }
WC-1 = { kind = "water closet", floor = "basement", into = "main", station = "20'" }
[basins]
EJ-1 = { floor = "basement", pump = "21 gpm", into = "main", station = "25'", size = 2, vent = "V9" }
[vents]
V9 = { into = "roof" }
"#,
    );
    assert_eq!(
        ends(&net, "EJ-1.discharge"),
        ("EJ-1".into(), "main.EJ-1".into())
    );
    assert_eq!(ends(&net, "FD-1.arm").1, "EJ-1");
    assert_eq!(ends(&net, "V9.FD-1"), ("EJ-1".into(), "V9.vtr".into()));
    assert_eq!(ends(&net, "SK-1.vent").0, "SK-1.drop");
    assert_eq!(ids(&net, "main"), ["main.WC-1", "main.EJ-1", "main.end"]);
}

#[test]
fn a_vent_may_lead_to_another_stack() {
    let net = job_of(
        r#"
[drains]
main = { into = "exit", run = ["north 30'"] }
k = { into = "main", station = "20'", floor = "first", run = ["west 5'"] }
[stacks]
S1 = { into = "main", station = "10'" }
[fixtures]
KS-1 = { kind = "kitchen sink", floor = "first", into = "k", vent = "V1" }
WC-1 = { kind = "water closet", floor = "second", into = "S1" }
[vents]
V1 = { into = "S1", size = 1.5 }
"#,
    );
    let p = net.piece_by_id("V1.KS-1").expect("a rise");
    let network::JointKind::VentJoint(at) = net.graph[net.to(p).expect("an end")].kind else {
        panic!("{}", dump(&net))
    };
    assert_eq!(
        at.level,
        network::VentLevel::AboveRim(stackfall::job::FloorIx(2))
    );
    assert_eq!(ends(&net, "V1.across").1, "S1.vent.roof");
    let across = net.piece_by_id("V1.across").expect("a line");
    // Over the branch, then over the main: as they are stated.
    let legs: Vec<_> = (net.graph[across].legs.iter())
        .map(|l| (l.heading, l.length.map(|l| l.feet().round())))
        .collect();
    assert_eq!(
        legs,
        [
            (Some(Heading::East), Some(5.0)),
            (Some(Heading::South), Some(10.0))
        ]
    );
    assert_eq!(
        net.graph[across].size.as_ref().map(|s| s.value.inches()),
        Some(1.5)
    );
}

#[test]
fn a_stated_branch_takes_its_wet_vent_where_the_book_lets_it() {
    // The closet is farthest: one drain may lie upstream of the dry vent.
    let net = job_of(
        r#"
[stacks]
S1 = {}
[drains]
b = { into = "S1", floor = "second", run = ["west 12'"] }
[fixtures]
KS-1 = { kind = "kitchen sink", floor = "second", into = "b", station = "2'" }
SH-1 = { kind = "shower", floor = "second", into = "b", station = "4'" }
LAV-1 = { kind = "lavatory", floor = "second", into = "b", station = "7'" }
WC-1 = { kind = "water closet", floor = "second", into = "b", station = "12'" }
"#,
    );
    use network::{TrapIx, VentMethod};
    assert_eq!(method(&net, "LAV-1"), VentMethod::Individual);
    assert_eq!(method(&net, "WC-1"), VentMethod::Wet(TrapIx(2)));
    assert_eq!(method(&net, "SH-1"), VentMethod::Wet(TrapIx(2)));
    assert_eq!(method(&net, "KS-1"), VentMethod::Individual);
    // A kitchen sink at the end leaves nothing to be wet vented.
    let net = job_of(
        r#"
[stacks]
S1 = {}
[drains]
b = { into = "S1", floor = "second", run = ["west 12'"] }
[fixtures]
LAV-1 = { kind = "lavatory", floor = "second", into = "b", station = "7'" }
WC-1 = { kind = "water closet", floor = "second", into = "b", station = "9'" }
KS-1 = { kind = "kitchen sink", floor = "second", into = "b", station = "12'" }
"#,
    );
    assert_eq!(method(&net, "WC-1"), VentMethod::Individual);
    assert_eq!(method(&net, "LAV-1"), VentMethod::Individual);
}

#[test]
fn three_bathrooms_on_one_stack_make_two_branches() {
    let net = job_of(
        r#"
[stacks]
S1 = {}
[fixtures]
WC-1 = { kind = "water closet", floor = "second", into = "S1" }
LAV-1 = { kind = "lavatory", floor = "second", into = "S1" }
WC-2 = { kind = "water closet", floor = "second", into = "S1" }
LAV-2 = { kind = "lavatory", floor = "second", into = "S1" }
WC-3 = { kind = "water closet", floor = "second", into = "S1" }
LAV-3 = { kind = "lavatory", floor = "second", into = "S1" }
"#,
    );
    assert_eq!(ids(&net, "S1"), ["S1.S1.second", "S1.S1.second-2"]);
    assert_eq!(
        ids(&net, "S1.second-2"),
        ["S1.second-2.WC-3", "S1.second-2.LAV-3"]
    );
    let dry = net
        .runs
        .iter()
        .filter(|r| r.kind == network::RunKind::FixtureVent)
        .count();
    // One for each lavatory: its arm comes out of the wall and turns down, and a wet vent below
    // that would be no vent.
    assert_eq!(dry, 3, "{}", dump(&net));
}

#[test]
fn existing_and_future_states_are_carried() {
    let net = job_of(
        r#"
[stacks]
S1 = { existing = true }
[fixtures]
WC-1 = { kind = "water closet", floor = "second", into = "S1", future = true }
LAV-1 = { kind = "lavatory", floor = "first", into = "S1", existing = true }
"#,
    );
    let state = |id: &str| {
        net.graph[net.piece_by_id(id).expect("a piece")]
            .state
            .word()
    };
    assert_eq!(state("S1.S1.second"), "existing");
    assert_eq!(state("S1.vent.roof"), "existing");
    assert_eq!(state("S1.second.WC-1"), "future");
    assert_eq!(state("WC-1.arm"), "future");
    assert_eq!(state("WC-1.vent"), "future");
    assert_eq!(state("LAV-1.arm"), "existing");
    assert_eq!(state("exit.drain.S1"), "proposed");
}

#[test]
fn plan_positions_give_stations_and_the_way_off() {
    let net = job_of(
        r#"
[stacks]
S1 = { at = ["5'", "20'"] }
[fixtures]
WC-1 = { kind = "water closet", floor = "second", into = "S1", at = ["8'", "22'"] }
LAV-1 = { kind = "lavatory", floor = "second", into = "S1", at = ["13'", "20'"] }
KS-1 = { kind = "kitchen sink", floor = "second", into = "S1", at = ["1'", "20'"] }
"#,
    );
    // The drain goes straight in, the stack stands square off it.
    let legs = |id: &str| {
        let p = net
            .piece_by_id(id)
            .unwrap_or_else(|| panic!("{id}\n{}", dump(&net)));
        (net.graph[p].legs.iter())
            .map(|l| {
                (
                    l.heading.map_or("?", |h| h.word()),
                    l.length.map(|l| l.feet().round()),
                )
            })
            .collect::<Vec<_>>()
    };
    assert_eq!(legs("exit.drain.S1"), [("north", Some(20.0))]);
    assert_eq!(legs("S1.lateral.S1"), [("east", Some(5.0))]);
    assert_eq!(legs("S1.second-east.WC-1"), [("east", Some(3.0))]);
    assert_eq!(legs("S1.second-east.LAV-1"), [("east", Some(5.0))]);
    assert_eq!(legs("WC-1.arm"), [("north", Some(2.0))]);
    assert_eq!(legs("S1.second-west.KS-1"), [("west", Some(4.0))]);
}

#[test]
fn an_air_admittance_valve_is_there_only_where_stated() {
    let net = job_of(
        r#"
[stacks]
S1 = {}
[fixtures]
KS-1 = { kind = "kitchen sink", floor = "first", into = "S1", vent = "V3" }
LT-1 = { kind = "laundry tub", floor = "first", into = "S1" }
[vents]
V3 = { kind = "air admittance valve" }
"#,
    );
    assert_eq!(method(&net, "KS-1"), network::VentMethod::AirAdmittance);
    assert_eq!(ends(&net, "V3.KS-1").1, "V3.valve");
    assert_eq!(method(&net, "LT-1"), network::VentMethod::Individual);
}

#[test]
fn cleanouts_are_proposed_where_the_book_asks() {
    let net = job_of(
        r#"
[drains]
main = { into = "exit", run = ["north 60'", "east 70'", "north 120'"] }
[fixtures]
FD-1 = { kind = "floor drain", floor = "basement", into = "main" }
"#,
    );
    let at: Vec<_> = net
        .cleanouts
        .iter()
        .map(|c| net.graph[c.joint].id.as_str())
        .collect();
    assert!(at.contains(&"exit"), "{at:?}");
    // One at each turn (no one within 40 ft serves both), one no more than 100 ft on.
    assert!(
        at.iter().filter(|a| a.starts_with("main.co")).count() >= 3,
        "{at:?}"
    );
    assert!(
        net.proposals
            .iter()
            .filter(|p| p.what.contains("cleanout"))
            .count()
            >= 4
    );
}

#[test]
fn a_floor_drains_own_vent_rises_from_its_arm() {
    let net = job_of(
        r#"
[drains]
main = { into = "exit", run = ["north 30'"] }
bb = { into = "main", floor = "basement", run = ["west 16'"] }
[fixtures]
FD-1 = { kind = "floor drain", floor = "basement", into = "bb", station = "4'", arm = "3'", side = "north" }
FD-2 = { kind = "floor drain", floor = "basement", into = "bb", station = "6'" }
FD-3 = { kind = "floor drain", floor = "basement", into = "bb", station = "8'", arm = "30'", side = "south" }
FD-4 = { kind = "floor drain", floor = "basement", into = "bb", station = "10'", arm = "3'", side = "north", vent = "V1" }
SH-1 = { kind = "shower", floor = "basement", into = "bb", station = "12'" }
LAV-1 = { kind = "lavatory", floor = "basement", into = "bb", station = "16'" }
[vents]
V1 = {}
"#,
    );
    let arm = |name: &str| {
        let piece = net.piece_by_id(name).expect("a piece");
        let lengths = net.graph[piece].legs.iter().map(|l| l.length);
        lengths.sum::<Option<stackfall::units::Length>>()
    };
    for (name, run, own) in [
        ("FD-1", Some(1.5), Some(1.5)),
        ("FD-2", None, None),
        // No farther from its trap than the book lets a 2 in arm reach.
        ("FD-3", Some(22.0), Some(8.0)),
    ] {
        let (drop, arm_id) = (format!("{name}.drop"), format!("{name}.arm"));
        assert_eq!(ends(&net, &drop), (drop.clone(), format!("bb.{name}")));
        assert_eq!(ends(&net, &arm_id), (name.to_owned(), drop.clone()));
        assert_eq!(ends(&net, &format!("{name}.vent")).0, drop);
        let feet = |l: Option<stackfall::units::Length>| l.map(|l| (l.feet() * 1e6).round() / 1e6);
        assert_eq!((feet(arm(&drop)), feet(arm(&arm_id))), (run, own), "{name}");
    }
    // A stated vent stays where the job has it.
    assert_eq!(ends(&net, &ids(&net, "V1")[0]).0, "bb.FD-4");
    // What a bathroom's wet vent serves keeps its arm whole.
    assert_eq!(ends(&net, "SH-1.arm").1, "bb.SH-1");
}

/// A room with a row of closets is no bathroom: all that drains there goes on one branch, as a
/// plumber would run it, and not each closet on its own. In EN 12056-2 an unventilated branch
/// carries few closets, so a long row is parted.
#[test]
fn a_room_with_a_row_of_closets_is_one_branch() {
    let job = |code: &str| {
        let mut text = format!(
            "[job]\ncode = \"{code}\"\n[floors]\nf1 = {{ level = \"0\" }}\nroof = {{ level = \"12'\" }}\n\
             [exit]\n[stacks]\nS1 = {{}}\nS2 = {{}}\n[fixtures]\n"
        );
        for i in 0..5 {
            text += &format!(
                "W{i} = {{ kind = \"water closet\", floor = \"f1\", into = \"S1\", room = \"Women\", public = true }}\n"
            );
        }
        text + "L0 = { kind = \"lavatory\", floor = \"f1\", into = \"S1\", room = \"Women\", public = true }\n"
    };
    let branches = |code: &str| {
        let net = sound(&job(code));
        let runs = net
            .runs
            .iter()
            .filter(|r| r.kind == network::RunKind::Branch);
        runs.count()
    };
    assert_eq!(branches("ipc-2021"), 1);
    assert_eq!(branches("upc-2021"), 1);
    assert_eq!(branches("en-12056-2"), 2);
}
