//! Vent stacks and relief vents of tall stacks: which floors have them, where they leave the drains,
//! and their sizes by hand.

use stackfall::network::{JointKind, RunKind};

use crate::common::{Worked, worked};

/// One bathroom a floor on one stack, floors of 10 ft.
fn tower(code: &str, floors: u32, stack: &str, drains: &str) -> Worked {
    let mut text = format!("[job]\ncode = \"{code}\"\n[floors]\n");
    for f in 1..=floors {
        text += &format!("f{f} = {{ level = \"{}'\" }}\n", 10 * (f - 1));
    }
    text += &format!("roof = {{ level = \"{}'\" }}\n", 10 * floors);
    text += "[exit]\ninvert = \"-4'\"\nheading = \"south\"\n";
    text += &format!("{drains}[stacks]\nS1 = {{ {stack} }}\n[fixtures]\n");
    for f in 1..=floors {
        for kind in ["water closet", "lavatory", "bathtub"] {
            let name = format!("{}-{f}", kind.replace(' ', "-"));
            text += &format!("{name} = {{ kind = \"{kind}\", floor = \"f{f}\", into = \"S1\" }}\n");
        }
    }
    worked("a tower", &text)
}

/// The floors, from 1, at which relief vents leave the stack; none without a vent stack.
fn reliefs(of: &Worked) -> Option<Vec<usize>> {
    let stacks = of.net.runs.iter().filter(|r| r.kind == RunKind::VentStack);
    if stacks.count() == 0 {
        return None;
    }
    let joints = of.net.graph.node_weights();
    let floors = joints.filter_map(|j| match j.kind {
        JointKind::Relief(floor) => Some(floor.0 + 1),
        _ => None,
    });
    let mut floors: Vec<usize> = floors.collect();
    floors.sort_unstable();
    Some(floors)
}

/// IPC: a vent stack from five intervals on (904.2, from memory); beyond ten a relief vent at each
/// tenth from the top (908, seen in an adoption): of 12 floors at the 3rd, of 24 at the 15th and 5th.
/// UPC: from ten storeys on, at each fifth (907.1, from memory): of 12 floors at the 8th and 3rd. The
/// lowest floor has the foot of the vent stack. IRC: no such rule.
#[test]
fn which_floors_have_them() {
    for (code, floors, are) in [
        ("ipc-2021", 4, None),
        ("ipc-2021", 5, Some(vec![])),
        ("ipc-2021", 10, Some(vec![])),
        ("ipc-2021", 11, Some(vec![2])),
        ("ipc-2021", 12, Some(vec![3])),
        ("ipc-2021", 20, Some(vec![11])),
        ("ipc-2021", 24, Some(vec![5, 15])),
        ("upc-2021", 9, None),
        ("upc-2021", 10, Some(vec![6])),
        ("upc-2021", 12, Some(vec![3, 8])),
        ("irc-2021", 12, None),
    ] {
        let tower = tower(code, floors, "", "");
        assert_eq!(reliefs(&tower), are, "{code}, {floors} floors");
    }
}

/// A stack whose own vent serves what drains into it is a design without a vent stack (904.2, from
/// memory).
#[test]
fn single_stacks_have_none() {
    let single = tower("ipc-2021", 6, "method = \"single stack\"", "");
    assert_eq!(reliefs(&single), None);
    let found = single.findings.open.iter().map(|d| d.code);
    assert!(!found.into_iter().any(|c| c == "V107"));
}

/// Where the lengths of the drain are known the foot stands within ten diameters downstream of the
/// base: 12 in, ten of 3 in are 30. Nothing else may stand there.
#[test]
fn the_foot_is_near_the_base() {
    let main = "[drains]\nmain = { into = \"exit\", run = [\"north 40'\"] }\n";
    let stack = "into = \"main\", station = \"20'\"";
    let tower = tower("ipc-2021", 6, stack, main);
    let (_, &foot) = tower.net.vent_stacks.iter().next().expect("a vent stack");
    let base = tower.piece("main.S1");
    assert_eq!(tower.net.to(base), Some(foot));
    let length = tower.solution.levels.pieces[&base]
        .length
        .expect("a length");
    assert!((length.inches() - 12.0).abs() < 1e-6, "{length:?}");
}

/// By hand, 12 floors, one bathroom group of 5 dfu each: 60 dfu on a 3 in stack of 12 intervals (72).
/// Its first and second length are known to the relief vent at f3 and on to the level of the top
/// vents: more than 86 ft, which is all that 2 in may be long at 102 dfu (Table 906.1, seen in an
/// adoption), less than the 210 ft of 2 1/2 in; the smallest stocked size from there is 3 in. The
/// relief vent is as large.
#[test]
fn a_vent_stack_is_sized_for_its_whole_length() {
    let tower = tower("ipc-2021", 12, "", "");
    let sizes = &tower.solution.sizing.pieces;
    for id in [
        "S1.vent-stack",
        "S1.vent-stack.f12",
        "S1.vent-stack.relief-f3",
    ] {
        let size = &sizes[&tower.piece(id)];
        assert_eq!(size.load.dfu(), 60.0, "{id}");
        assert_eq!(
            size.code_size.map(|s| s.inches()),
            Some(2.5),
            "{id}: {size:?}"
        );
        assert_eq!(size.size.inches(), 3.0, "{id}");
    }
    // Its stack's own vent goes on with it, no smaller.
    let vent = &sizes[&tower.piece("S1.vent.roof")];
    assert_eq!(vent.size.inches(), 3.0);
}

/// Eight bathrooms of 5 dfu; the offset beneath the third floor lies below six branch intervals.
/// Stack and offset need 3 in for 40 and 30 dfu (Tables 710.1(2), 710.1(1)); one size larger, 4 in,
/// has the area of the stack and of its 1 1/2 in vent as well (16 against 9 + 2.25), and then the
/// offset needs no vents (711.3). What is stated stays, and is found.
#[test]
fn a_level_offset_low_in_a_tall_stack_makes_it_larger() {
    let sizes = |of: &Worked, run: &str| -> Vec<f64> {
        let run = of.net.run_by_id(run).expect(run);
        let pieces = of.net.runs[run.0].pieces.iter();
        let of_piece = |p: &_| of.solution.sizing.pieces[p].size.inches();
        pieces.map(of_piece).collect()
    };
    let found = |of: &Worked| of.findings.open.iter().any(|d| d.code == "V109");
    let aside = "offsets = [{ floor = \"f3\", go = \"east 6'\", by = 90 }]";
    let of = tower("ipc-2021", 8, aside, "");
    assert!(
        sizes(&of, "S1").iter().all(|s| *s == 4.0),
        "{:?}",
        sizes(&of, "S1")
    );
    assert!(sizes(&of, "exit.drain").iter().all(|s| *s >= 4.0));
    assert!(!found(&of));
    // Straight, or under a book without the rule, it stays as its load asks for.
    for (code, stack) in [("ipc-2021", ""), ("irc-2021", aside)] {
        let of = tower(code, 8, stack, "");
        assert!(sizes(&of, "S1").iter().all(|s| *s == 3.0), "{code}");
    }
    let stated = tower("ipc-2021", 8, &format!("size = 3, {aside}"), "");
    assert!(sizes(&stated, "S1").iter().all(|s| *s == 3.0));
    assert!(found(&stated));
}
