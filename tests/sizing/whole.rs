//! Whole jobs, read, completed and solved: figures worked out by hand.

use petgraph::visit::EdgeRef;
use stackfall::network::System;

use crate::common::{Worked, worked};

fn whole(text: &str) -> Worked {
    worked("whole.toml", text)
}

const OFFSET: &str = r#"
[job]
code = "irc-2021"
fall = { "3" = "1/4", "4" = "1/8" }
[floors]
first = { level = "0" }
second = { level = "10' 1" }
[exit]
invert = "-10' 8"
heading = "south"
[drains]
main = { into = "exit", run = ["size 4", "north 8'"] }
mb = { into = "S2", floor = "second", invert = "-9in", run = ["size 3", "east 3'"] }
[stacks]
S2 = { into = "main", station = "8'", size = 3, offsets = [{ floor = "first", invert = "-10in", go = "east 4'", by = 90 }] }
[fixtures]
WC = { kind = "water closet", floor = "second", into = "mb", station = "3'", arm = "2'" }
"#;

#[test]
fn a_stack_is_as_long_as_its_ends_lie_apart() {
    let w = whole(OFFSET);
    let level = |id| &w.solution.levels.pieces[&w.piece(id)];
    // The main rises 1 in on 8 ft to -127; the offset's foot is stated.
    let foot = level("S2.foot-first");
    assert!((foot.invert_up.expect("a level").inches() + 10.0).abs() < 1e-6);
    // From middle to middle of the drains (bores of ASTM D1785: 4.026 and 3.068 in): from -127 + 2.013
    // to -10 + 1.534.
    assert!((foot.length.expect("a length").inches() - 116.521).abs() < 1e-6);
    // The offset's head lies 1 in above its foot, the branch 121 - 9 in above zero.
    let upper = level("S2.mb");
    assert!((upper.invert_down.expect("a level").inches() + 9.0).abs() < 1e-6);
    assert!((upper.invert_up.expect("a level").inches() - 112.0).abs() < 1e-6);
    // Drains of one bore at both ends.
    assert!((upper.length.expect("a length").inches() - 121.0).abs() < 1e-6);
    let row = w.solution.levels.stations.iter();
    let row = row.filter(|r| r.place.starts_with("foot of the offset"));
    assert!(row.clone().count() > 0);
    assert!(
        row.clone()
            .all(|r| r.invert.is_some() && r.missing.is_none())
    );
}

#[test]
fn the_jobs_least_under_a_slab_holds_for_arms_and_traps_that_lie_there() {
    let text = r#"
[job]
code = "irc-2021"
least = { under_slab = 2 }
[floors]
first = { level = "0", slab = "4in" }
[exit]
invert = "-4'"
heading = "south"
[drains]
main = { into = "exit", run = ["lies under slab", "north 20'"] }
[fixtures]
BT = { kind = "bathtub", floor = "first", into = "main", station = "10'", arm = "3'" }
BT-2 = { kind = "bathtub", floor = "first", into = "main", station = "12'", arm = "3'", trap = 1.5 }
WC = { kind = "water closet", floor = "first", into = "main", station = "14'", arm = "3'" }
LAV = { kind = "lavatory", floor = "first", into = "main", station = "20'", run = ["up 3'"], arm = "2'" }
"#;
    let w = whole(text);
    let size = |id| w.solution.sizing.pieces[&w.piece(id)].size.inches();
    assert!((size("BT.arm") - 2.0).abs() < 1e-9);
    // The lavatory's arm lies in the wall.
    assert!((size("LAV.arm") - 1.5).abs() < 1e-9);
    // Table P3201.7 lets a tub have a trap of 1 1/2 in: in the ground it is the job's own 2 in, unless
    // it is stated. A lavatory's stands over the floor, and a closet has none of its own.
    let trap = |name: &str| {
        let of = |t: &stackfall::network::Trap| w.job.fixtures[t.fixture].name == name;
        let at = w.net.traps.iter().position(of).expect("a trap");
        let sizes = &w.solution.sizing.traps;
        sizes[&stackfall::network::TrapIx(at)].size.inches()
    };
    for (name, inches) in [("BT", 2.0), ("BT-2", 1.5), ("WC", 3.0), ("LAV", 1.5)] {
        assert!((trap(name) - inches).abs() < 1e-9, "{name}: {}", trap(name));
    }
}

const BATHS: &str = r#"
[job]
code = "irc-2021"
fall = { "1.5" = "1/4", "2" = "1/4", "3" = "1/4", "4" = "1/8" }
[floors]
first = { level = "0" }
roof = { level = "10'" }
[exit]
invert = "-4'"
heading = "south"
[drains]
main = { into = "exit", run = ["size 4", "north 20'"] }
W = { into = "S1", floor = "first", invert = "-10in", run = ["size 3", "west 12'"] }
E = { into = "S1", floor = "first", invert = "-10in", run = ["size 3", "east 12'"] }
[stacks]
S1 = { into = "main", station = "20'" }
[fixtures]
WC-1 = { kind = "water closet", room = "West", floor = "first", into = "W", station = "4'", arm = "2'" }
BT-1 = { kind = "bathtub", room = "West", floor = "first", into = "W", station = "8'", arm = "2'" }
LAV-1 = { kind = "lavatory", room = "West", floor = "first", into = "W", station = "12'", run = ["up 2'"], arm = "2'" }
WC-2 = { kind = "water closet", room = "East", floor = "first", into = "E", station = "4'", arm = "2'" }
BT-2 = { kind = "bathtub", room = "East", floor = "first", into = "E", station = "8'", arm = "2'" }
LAV-2 = { kind = "lavatory", room = "East", floor = "first", into = "E", station = "12'", run = ["up 2'"], arm = "2'" }
"#;

#[test]
fn vents_count_groups_as_the_drains_do_and_never_shrink() {
    let w = whole(BATHS);
    let load = |p: stackfall::network::PieceIx| w.solution.sizing.pieces[&p].load.dfu();
    let vent = |id: &str| {
        let run = w.net.run_by_id(id).unwrap_or_else(|| panic!("no run {id}"));
        w.net.runs[run.0].pieces.clone()
    };
    // One dry vent for each bath, a whole group: 5, not 6; the stack's own load, 10, beyond.
    assert!(vent("LAV-1.vent").iter().all(|p| load(*p) == 5.0));
    assert!(vent("S1.vent").iter().all(|p| load(*p) == 10.0));
    for p in w.net.graph.edge_indices() {
        if w.net.graph[p].system != System::Vent {
            continue;
        }
        let to = w.net.to(p).expect("an end");
        for next in w.net.graph.edges(to) {
            assert!(load(next.id()) >= load(p));
        }
    }
}

#[test]
fn a_vent_is_as_long_as_its_ends_lie_apart() {
    let w = whole(BATHS);
    let run = w.net.run_by_id("S1.vent").expect("a stack vent");
    let pieces = &w.net.runs[run.0].pieces;
    let lengths: Option<Vec<f64>> = (pieces.iter())
        .map(|p| w.solution.levels.vents.get(p).map(|l| l.inches()))
        .collect();
    // From the middle of the branch, whose invert is -10 and bore 3.068 (ASTM D1785), at -8.466, to the
    // roof at 120 and the book's 6 in above it.
    let whole: f64 = lengths.expect("known lengths").iter().sum();
    assert!((whole - 134.466).abs() < 1e-6, "{whole}");
}

#[test]
fn the_table_of_stack_vents_goes_by_the_way_from_the_stack() {
    // Drops without a length leave the lavatories' vents open; the stack's own vent is known.
    let w = whole(
        &BATHS
            .replace("irc-2021", "ipc-2021")
            .replace(r#"run = ["up 2'"], "#, ""),
    );
    let run = w.net.run_by_id("S1.vent").expect("a stack vent");
    for p in &w.net.runs[run.0].pieces {
        let size = &w.solution.sizing.pieces[p];
        let said = size.working.steps.iter();
        // 134.466 in, to the nearest eighth.
        assert!(
            said.clone().any(|s| s.starts_with("11′-2½″ long")),
            "{:?}",
            size.working.steps
        );
    }
}

/// IPC 915.2: the connection from a fixture's drain down to a combination drain and vent is the one upright
/// pipe of that system, and Table 915.2.2 has nothing smaller than 2 in (both from memory; 915.2 was seen
/// in a city's adoption). The sink's own trap and arm stay 1 1/2 in.
#[test]
fn the_connection_to_a_combination_drain_is_sized_with_it() {
    let w = whole(&crate::common::sample_text("weir-house"));
    let of = |id: &str| &w.solution.sizing.pieces[&w.piece(id)];
    for sink in ["SK-1", "SK-2"] {
        let drop = of(&format!("{sink}.drop"));
        assert!((drop.size.inches() - 2.0).abs() < 1e-9, "{sink}");
        assert_eq!(drop.working.section, "915.2.2");
        let arm = of(&format!("{sink}.arm"));
        assert!((arm.size.inches() - 1.5).abs() < 1e-9, "{sink}");
    }
}
