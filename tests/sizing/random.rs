//! What holds on any network: loads add up, sizes never shrink downstream, inverts never rise
//! downstream, and the same network gives the same result.

use proptest::prelude::*;
use stackfall::network::{JointKind, RunKind, System};
use stackfall::sizing::order::order;
use stackfall::units::{Heading, Length};

use super::small::{Small, level, size, up};

const KINDS: [&str; 8] = [
    "water closet",
    "lavatory",
    "bathtub",
    "shower",
    "kitchen sink",
    "clothes washer",
    "laundry tub",
    "floor drain",
];

/// A drain of a random network: where it starts (an index into what is there), how long, what
/// kind it is, and the kinds of its fixtures; the last may state a size for its first piece.
type Drain = (usize, f64, u8, Vec<usize>, Option<f64>);

fn drain() -> impl Strategy<Value = Drain> {
    (
        any::<usize>(),
        0.5..40.0f64,
        0..3u8,
        prop::collection::vec(0..KINDS.len(), 0..4),
        prop::option::weighted(0.2, prop::sample::select(vec![3.0, 4.0, 6.0])),
    )
}

fn build(code: &str, drains: &[Drain]) -> Small {
    let mut text = format!(
        "[job]\ncode = \"{code}\"\n[exit]\ninvert = \"-8'\"\n[floors]\none = {{ level = \"0\" }}\n[fixtures]\n"
    );
    let mut names = Vec::new();
    for (i, d) in drains.iter().enumerate() {
        for (j, kind) in d.3.iter().enumerate() {
            names.push(format!("F{i}-{j}"));
            text.push_str(&format!("F{i}-{j} = {{ kind = \"{}\" }}\n", KINDS[*kind]));
        }
    }
    if names.is_empty() {
        text.push_str("F = { kind = \"lavatory\" }\n");
    }
    let mut s = Small::new(&text);
    let main = s.run("main", RunKind::BuildingDrain);
    let (first, _) = s.up_from(
        s.exit,
        main,
        "first",
        JointKind::Junction,
        vec![level(Heading::North, 5.0)],
    );
    let mut joints = vec![first];
    for (i, (at, long, kind, fixtures, stated)) in drains.iter().enumerate() {
        let below = joints[at % joints.len()];
        let (run_kind, joint, leg) = match kind {
            0 => (
                RunKind::BuildingBranch,
                JointKind::Junction,
                level(Heading::East, *long),
            ),
            1 => (
                RunKind::Branch,
                JointKind::Junction,
                level(Heading::Northwest, *long),
            ),
            _ => (RunKind::Stack, JointKind::StackJunction, up(Some(*long))),
        };
        let run = s.run(&format!("d{i}"), run_kind);
        let (above, piece) = s.up_from(below, run, "a", joint, vec![leg]);
        if let Some(inches) = stated {
            s.state_size(piece, *inches);
        }
        for j in 0..fixtures.len() {
            s.fixture(&format!("F{i}-{j}"), above, Some(2.0));
        }
        joints.push(above);
    }
    s
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn holds_on_any_network(
        code in prop::sample::select(vec!["irc-2021", "ipc-2021"]),
        drains in prop::collection::vec(drain(), 1..14),
        grouped in any::<bool>(),
    ) {
        let mut s = build(code, &drains);
        if grouped {
            for (i, t) in s.net.traps.iter_mut().enumerate() {
                t.group = Some(i / 3);
            }
        }
        let solved = s.solve();
        let sizes = &solved.sizing.pieces;
        let levels = &solved.levels.pieces;
        prop_assert_eq!(s.solve(), solved.clone());

        // Loads add up from the traps to the exit; a group only ever lowers them.
        let singles: f64 = s.net.traps.iter().enumerate()
            .filter(|(_, t)| t.joint.is_some())
            .map(|(i, _)| solved.sizing.traps[&stackfall::network::TrapIx(i)].load.dfu())
            .sum();
        let out: f64 = s.net.upstream(s.exit).iter().map(|p| sizes[p].load.dfu()).sum();
        prop_assert!(out <= singles + 1e-9);
        if !grouped {
            prop_assert!((out - singles).abs() < 1e-9, "{} {}", out, singles);
        }
        let exit = solved.sizing.totals.last().expect("the exit's total");
        let rows: f64 = exit.rows.iter().map(|r| r.2.dfu()).sum();
        prop_assert!((rows - exit.load.dfu()).abs() < 1e-9, "{} {}", rows, exit.load.dfu());

        for piece in order(&s.net, System::Waste) {
            let own = &sizes[&piece];
            if !own.stated && own.code_size.is_some() {
                prop_assert!(own.capacity.is_none_or(|c| c.covers(own.demand)));
            }
            let from = s.net.from(piece).expect("a joint");
            for above in s.net.upstream(from) {
                // A chosen size is never smaller than what flows into it.
                if !own.stated {
                    prop_assert!(own.size >= sizes[&above].size.min(size(18.0)));
                }
                let (down, up) = (levels[&piece].invert_up, levels[&above].invert_down);
                if let (Some(down), Some(up)) = (down, up) {
                    // A stated size may be smaller than what flows into it, and then centres
                    // matched put the larger bore's invert lower: that is a finding, not a level.
                    let shrinks = own.size < sizes[&above].size;
                    prop_assert!(shrinks || up.mm() + 1e-6 >= down.mm());
                }
            }
            if let (Some(down), Some(up)) = (levels[&piece].invert_down, levels[&piece].invert_up) {
                prop_assert!(up.mm() + 1e-6 >= down.mm());
            }
        }
        prop_assert!(levels.values().all(|l| l.length.is_none_or(|l| l >= Length::ZERO)));
    }
}
