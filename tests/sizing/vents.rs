use stackfall::job::FloorIx;
use stackfall::network::{Column, JointKind, RunKind, VentAt, VentLevel};
use stackfall::units::Heading;

use super::small::{Small, level, size, up};

/// A lavatory and a kitchen sink on one stack, each vented into the stack vent.
fn house(code: &str, tail: f64) -> (Small, Vec<stackfall::network::PieceIx>) {
    let text = format!(
        r#"
[job]
code = "{code}"
[floors]
one = {{ level = "0" }}
[fixtures]
WC = {{ kind = "water closet", floor = "one" }}
KS = {{ kind = "kitchen sink", floor = "one" }}
"#
    );
    let mut s = Small::new(&text);
    let main = s.run("main", RunKind::BuildingDrain);
    let legs = vec![level(Heading::North, 4.0)];
    let (base, _) = s.up_from(s.exit, main, "S1", JointKind::StackBase, legs);
    let stack = s.run("S1", RunKind::Stack);
    let (top, _) = s.up_from(base, stack, "WC", JointKind::StackJunction, vec![up(None)]);
    let branch = s.run("kb", RunKind::Branch);
    let legs = vec![level(Heading::East, 6.0)];
    let (end, _) = s.up_from(top, branch, "KS", JointKind::Junction, legs);
    s.fixture("WC", top, None);
    s.fixture("KS", end, None);
    let at = |level| VentAt {
        column: Column::Over(top),
        level,
    };
    let stack_vent = s.run("S1.vent", RunKind::StackVent);
    let rim = JointKind::VentJoint(at(VentLevel::AboveRim(FloorIx(0))));
    let (tee, low) = s.vent(top, stack_vent, "a", rim, vec![up(Some(4.0))]);
    let roof = JointKind::Terminal(at(VentLevel::Roof));
    let (_, high) = s.vent(tee, stack_vent, "b", roof, vec![up(Some(10.0))]);
    let own = s.run("KS.vent", RunKind::FixtureVent);
    let legs = vec![up(Some(3.0)), level(Heading::West, tail)];
    let (joint, vent) = s.vent(end, own, "a", rim, legs);
    // The vent ends at the tee, not at a joint of its own.
    s.net.graph.remove_edge(vent);
    s.net.graph.remove_node(joint);
    let piece = stackfall::network::Piece {
        id: "KS.vent".to_owned(),
        run: own,
        system: stackfall::network::System::Vent,
        state: stackfall::network::State::Stated,
        span: None,
        legs: vec![up(Some(3.0)), level(Heading::West, tail)],
        size: None,
        fall: None,
    };
    let vent = s.net.graph.add_edge(end, tee, piece);
    s.net.runs[own.0].pieces = vec![vent];
    s.net.traps[1].vent_piece = Some(vent);
    (s, vec![vent, low, high])
}

#[test]
fn half_of_what_is_required_and_one_size_more_over_40_ft() {
    let (s, p) = house("irc-2021", 6.0);
    let solved = s.solve().sizing;
    // The sink's 1 1/2 in drain: half is 3/4, the least vent 1 1/4, the smallest stocked 1 1/2.
    assert_eq!(solved.pieces[&p[0]].code_size, Some(size(1.25)));
    assert_eq!(solved.pieces[&p[0]].size, size(1.5));
    // The 3 in stack's vent: 1 1/2.
    assert_eq!(solved.pieces[&p[1]].code_size, Some(size(1.5)));
    // Its load is the stack's, and the sink is not counted again where its vent joins.
    assert_eq!(solved.pieces[&p[1]].load.dfu(), 5.0);
    assert_eq!(solved.pieces[&p[2]].load.dfu(), 5.0);
    let (s, p) = house("irc-2021", 38.0);
    let solved = s.solve().sizing;
    // 3 + 38 + 10 ft to the open air.
    assert_eq!(solved.pieces[&p[0]].code_size, Some(size(1.5)));
    assert_eq!(solved.pieces[&p[2]].code_size, Some(size(2.0)));
}

#[test]
fn a_stack_vent_goes_by_its_table_where_the_book_has_one() {
    let (s, p) = house("ipc-2021", 6.0);
    let solved = s.solve().sizing;
    // 3 in stack, 5 dfu, 14 ft: the row to 10 dfu gives 42 ft on 1 1/2 in.
    let low = &solved.pieces[&p[1]];
    assert_eq!(low.code_size, Some(size(1.5)));
    assert_eq!(low.working.table.as_deref(), Some("Table 906.1"));
    assert!(
        low.working.steps.iter().any(|s| s.contains("42′")),
        "{:?}",
        low.working.steps
    );
}
