use stackfall::network::{JointKind, RunKind};
use stackfall::units::{Demand, Heading, Load};

use super::small::{Small, level, size, up};

const BATH: &str = r#"
[job]
code = "irc-2021"
[floors]
first = { level = "0" }
[fixtures]
WC-1 = { kind = "water closet" }
LAV-1 = { kind = "lavatory" }
BT-1 = { kind = "bathtub" }
"#;

fn dfu(n: f64) -> Load {
    Load::from_dfu(n)
}

#[test]
fn a_whole_bath_counts_as_a_group_and_a_part_of_it_does_not() {
    let mut s = Small::new(BATH);
    let main = s.run("main", RunKind::BuildingDrain);
    let legs = || vec![level(Heading::North, 4.0)];
    let (a, low) = s.up_from(s.exit, main, "WC-1", JointKind::Junction, legs());
    let (b, high) = s.up_from(a, main, "LAV-1", JointKind::Junction, legs());
    s.fixture("WC-1", a, None);
    s.fixture("LAV-1", b, None);
    s.fixture("BT-1", b, None);
    for t in &mut s.net.traps {
        t.group = Some(0);
    }
    let solved = s.solve().sizing;
    // Above the closet: lavatory 1 and tub 2, singly. Below: the full bath group, 5, not 6.
    assert_eq!(solved.pieces[&high].load, dfu(3.0));
    assert_eq!(solved.pieces[&low].load, dfu(5.0));
    let said = &solved.load_method;
    assert!(said.starts_with("Bathroom groups where"), "{said}");
    assert!(said.ends_with("Laundry groups and multiple-bath rows not used."));
    let exit = solved.totals.last().expect("the exit's total");
    assert_eq!(exit.load, dfu(5.0));
    assert_eq!(exit.rows, vec![("bathroom group".to_owned(), 1, dfu(5.0))]);
    // Two fixtures of 3 dfu do on 1 1/2 in, the closet makes it 3 in from there down.
    assert_eq!(solved.pieces[&high].size, size(1.5));
    assert_eq!(solved.pieces[&low].code_size, Some(size(3.0)));
    // Without a group the loads add up singly.
    for t in &mut s.net.traps {
        t.group = None;
    }
    let single = s.solve().sizing;
    assert_eq!(single.pieces[&low].load, dfu(6.0));
    assert_eq!(single.load_method, "Single fixture loads.");
}

#[test]
fn the_code_size_may_be_one_that_is_not_stocked() {
    let text = r#"
[job]
code = "irc-2021"
[fixtures]
A = { kind = "bathtub" }
B = { kind = "bathtub" }
C = { kind = "bathtub" }
D = { kind = "lavatory" }
"#;
    let mut s = Small::new(text);
    let main = s.run("main", RunKind::BuildingDrain);
    let (base, _) = s.up_from(
        s.exit,
        main,
        "S1",
        JointKind::StackBase,
        vec![level(Heading::North, 4.0)],
    );
    let stack = s.run("S1", RunKind::Stack);
    let (top, _) = s.up_from(base, stack, "b", JointKind::StackJunction, vec![up(None)]);
    let branch = s.run("b", RunKind::Branch);
    let legs = vec![level(Heading::East, 4.0)];
    let (end, piece) = s.up_from(top, branch, "A", JointKind::Junction, legs);
    for f in ["A", "B", "C"] {
        s.fixture(f, end, None);
    }
    let six = s.solve().sizing.pieces[&piece].clone();
    // Six dfu is all that a 2 in branch carries.
    assert_eq!((six.load, six.size), (dfu(6.0), size(2.0)));
    assert_eq!(six.capacity, Some(Demand::Units(dfu(6.0))));
    assert_eq!(six.working.section, "P3005.4.1");
    s.fixture("D", end, None);
    let seven = s.solve().sizing.pieces[&piece].clone();
    assert_eq!(seven.load, dfu(7.0));
    assert_eq!(seven.code_size, Some(size(2.5)));
    assert_eq!(seven.size, size(3.0));
    assert!(
        seven
            .working
            .steps
            .iter()
            .any(|s| s.contains("carries 6 dfu")),
        "{:?}",
        seven.working.steps
    );
    // A stated size is kept, whatever the table says.
    s.state_size(piece, 2.0);
    let kept = s.solve().sizing.pieces[&piece].clone();
    assert_eq!((kept.size, kept.stated), (size(2.0), true));
    assert_eq!(kept.code_size, Some(size(2.5)));
}

#[test]
fn a_washer_asks_for_3_in_whatever_its_load_and_a_closet_bend_is_no_decrease() {
    let text = r#"
[job]
code = "irc-2021"
[fixtures]
CW = { kind = "clothes washer" }
WC = { kind = "water closet" }
"#;
    let mut s = Small::new(text);
    let main = s.run("main", RunKind::BuildingDrain);
    let legs = || vec![level(Heading::North, 4.0)];
    let (a, low) = s.up_from(s.exit, main, "WC", JointKind::Junction, legs());
    let (b, high) = s.up_from(a, main, "CW", JointKind::Junction, legs());
    let washer = s.fixture("CW", b, None);
    let closet = s.fixture("WC", a, None);
    s.state_size(closet, 4.0);
    let solved = s.solve().sizing;
    assert_eq!(solved.pieces[&washer].size, size(2.0));
    assert_eq!(solved.pieces[&high].size, size(3.0));
    assert_eq!(solved.pieces[&closet].size, size(4.0));
    assert_eq!(solved.pieces[&low].size, size(3.0));
}

#[test]
fn intervals_count_down_from_the_highest_branch() {
    let text = r#"
[job]
code = "ipc-2021"
[floors]
one = { level = "0" }
two = { level = "10'" }
mezzanine = { level = "14'" }
three = { level = "20'" }
[fixtures]
L1 = { kind = "lavatory", floor = "one" }
L2 = { kind = "lavatory", floor = "two" }
L3 = { kind = "lavatory", floor = "three" }
LM = { kind = "lavatory", floor = "mezzanine" }
"#;
    let mut s = Small::new(text);
    let stack = s.run("S1", RunKind::Stack);
    let main = s.run("main", RunKind::BuildingDrain);
    let legs = vec![level(Heading::North, 4.0)];
    let (mut at, _) = s.up_from(s.exit, main, "S1", JointKind::StackBase, legs);
    for f in ["L1", "L2", "LM", "L3"] {
        (at, _) = s.up_from(at, stack, f, JointKind::StackJunction, vec![up(None)]);
        s.fixture(f, at, None);
    }
    let solved = s.solve().sizing;
    // The mezzanine is 6 ft below the top floor: within its interval. The second floor is 10 ft
    // below it, the first 10 ft below that.
    let total = &solved.totals[0];
    assert_eq!((total.name.as_str(), total.intervals), ("S1", Some(3)));
    assert_eq!(total.load, dfu(4.0));
}

#[test]
fn what_no_row_carries_is_unknown_and_never_extrapolated() {
    let text = r#"
[job]
code = "irc-2021"
[fixtures]
X = { kind = "sink", load = 5000, trap = 2 }
"#;
    let mut s = Small::new(text);
    let main = s.run("main", RunKind::BuildingDrain);
    let legs = vec![level(Heading::North, 4.0)];
    let (a, low) = s.up_from(s.exit, main, "X", JointKind::Junction, legs);
    s.fixture("X", a, None);
    let solved = s.solve().sizing;
    assert_eq!(solved.pieces[&low].code_size, None);
    assert!(solved.pieces[&low].unknown.is_some());
}

/// A dishwasher on a sink's trap is an appliance of its own (EN 12056-2, 6.3.1 and Table 2, system I: 0.8 and
/// 0.8): the sum counts both, the largest single one is 0.8. linden-hof, K 0.5:
/// - k2, one kitchen: 0.5 √1.6 = 0.63, so 0.8 L/s, which DN 50 carries (Table 4);
/// - S2, three: ΣDU 4.8, 1.10 L/s;
/// - main below it, with a washing machine and a floor gully of 0.8 each: ΣDU 6.4, 1.26 L/s, over the
///   1.0 of DN 70 at 1 % (Table B.1), within the 1.3 of DN 80.
#[test]
fn a_dishwasher_counts_beside_its_sink() {
    let text = crate::common::sample_text("linden-hof");
    let w = crate::common::worked("linden-hof", &text);
    let of = |id: &str| {
        let mut pieces = w.net.graph.edge_indices();
        let piece = pieces.find(|p| w.net.graph[*p].id == id).expect(id);
        let sized = &w.solution.sizing.pieces[&piece];
        let Demand::Flow(flow) = sized.demand else {
            panic!("{id}: {:?}", sized.demand);
        };
        let litres = (flow.litres_per_second() * 100.0).round() / 100.0;
        (sized.load.dfu(), litres, sized.size.dn())
    };
    let near = |id: &str, (load, flow, dn): (f64, f64, u16)| {
        let got = of(id);
        assert!((got.0 - load).abs() < 1e-9, "{id}: {got:?}");
        assert_eq!((got.1, got.2), (flow, dn), "{id}");
    };
    near("k2.KS-1", (1.6, 0.8, 50));
    near("S2.k0", (4.8, 1.10, 70));
    near("main.S2", (6.4, 1.26, 80));
}
