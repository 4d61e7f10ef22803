use stackfall::network::{JointKind, RunKind, System};
use stackfall::units::Heading;

use super::small::{Small, level, size, up};
use crate::common::jobs::numbered;
use crate::common::{SAMPLES, Worked, complete, sample_text, worked};

#[test]
fn fittings_follow_what_meets_and_what_the_book_allows() {
    let text = r#"
[job]
code = "irc-2021"
[fixtures]
WC-1 = { kind = "water closet" }
WC-2 = { kind = "water closet" }
LAV = { kind = "lavatory" }
"#;
    let mut s = Small::new(text);
    let main = s.run("main", RunKind::BuildingDrain);
    let north = || vec![level(Heading::North, 8.0)];
    let (wye, low) = s.up_from(s.exit, main, "b", JointKind::Junction, north());
    s.state_size(low, 4.0);
    let (base, high) = s.up_from(wye, main, "S1", JointKind::StackBase, north());
    s.state_size(high, 3.0);
    let stack = s.run("S1", RunKind::Stack);
    let (top, _) = s.up_from(
        base,
        stack,
        "WC-1",
        JointKind::StackJunction,
        vec![up(None)],
    );
    s.fixture("WC-1", top, None);
    s.fixture("WC-2", top, None);
    let b = s.run("b", RunKind::BuildingBranch);
    let legs = vec![level(Heading::Northeast, 2.0), level(Heading::East, 6.0)];
    let (end, arm_of_b) = s.up_from(wye, b, "LAV", JointKind::Junction, legs);
    s.fixture("LAV", end, None);
    let fittings = s.solve().fittings;
    // Between its two legs the branch turns by 45 degrees.
    assert_eq!(fittings.bends[&arm_of_b], ["eighth bend"]);
    let f = fittings.joints;
    assert_eq!(f[&wye].name, "wye");
    assert_eq!(f[&wye].sizes, [size(4.0), size(4.0), size(1.5)]);
    assert_eq!(f[&wye].reducer, Some((size(4.0), size(3.0))));
    assert_eq!(f[&base].name, "long sweep quarter bend");
    // Two closets back to back may not enter a double sanitary tee.
    assert_eq!(f[&top].name, "double combination wye and eighth bend");
}

/// The fitting where two branches enter a stack at one level.
fn at_one_level(sink: &str, heading: Heading, sizes: [f64; 2]) -> String {
    let text = format!(
        r#"
[job]
code = "irc-2021"
[fixtures]
A = {{ kind = "kitchen sink"{sink} }}
B = {{ kind = "lavatory" }}
"#
    );
    let mut s = Small::new(&text);
    let main = s.run("main", RunKind::BuildingDrain);
    let north = vec![level(Heading::North, 8.0)];
    let (base, _) = s.up_from(s.exit, main, "S1", JointKind::StackBase, north);
    let stack = s.run("S1", RunKind::Stack);
    let up = vec![up(Some(9.0))];
    let (top, _) = s.up_from(base, stack, "a", JointKind::StackJunction, up);
    for (name, way, inches) in [("A", Heading::West, sizes[0]), ("B", heading, sizes[1])] {
        let run = s.run(&name.to_lowercase(), RunKind::Branch);
        let legs = vec![level(way, 5.0)];
        let (end, piece) = s.up_from(top, run, name, JointKind::Junction, legs);
        s.state_size(piece, inches);
        s.fixture(name, end, None);
    }
    s.solve().fittings.joints[&top].name.clone()
}

#[test]
fn two_branches_at_one_level_enter_one_fitting() {
    let east = Heading::East;
    assert_eq!(at_one_level("", east, [2.0, 2.0]), "double sanitary tee");
    // Table P3005.1, note c, read in the 2012 edition: pumped discharge enters no double tee.
    assert_eq!(
        at_one_level(", with = [\"dishwasher\"]", east, [2.0, 2.0]),
        "double combination wye and eighth bend"
    );
    // Common practice: opposed inlets are made of one size.
    assert_eq!(
        at_one_level("", east, [3.0, 2.0]),
        "double sanitary tee, its smaller side reduced"
    );
    assert_eq!(
        at_one_level("", Heading::North, [2.0, 2.0]),
        "sanitary tee with side inlet"
    );
}

/// Every place where drains meet, and every turn that the job states within one, has a fitting.
fn every_junction_has_a_fitting(name: &str, of: &Worked) -> (usize, usize) {
    let (mut met, mut turned) = (0, 0);
    let fittings = &of.solution.fittings;
    for joint in of.net.graph.node_indices() {
        let at = &of.net.graph[joint];
        let meet = of.net.upstream(joint).len() >= 2 && of.net.downstream(joint).is_some();
        if !meet || at.kind == JointKind::Basin {
            continue;
        }
        let named = fittings
            .joints
            .get(&joint)
            .is_some_and(|f| !f.name.is_empty());
        assert!(
            named,
            "{name}: drains meet at {} and no fitting is named",
            at.id
        );
        met += 1;
    }
    for piece in of.net.graph.edge_indices() {
        let pipe = &of.net.graph[piece];
        if pipe.system != System::Waste {
            continue;
        }
        let headings: Vec<_> = pipe.legs.iter().map(|l| (l.heading, l.rises_45)).collect();
        let turns = headings.windows(2).filter(|w| {
            let known = w.iter().all(|h| h.0.is_some());
            let upright = w.iter().all(|h| h.0.is_some_and(Heading::is_vertical));
            known && !upright && w[0] != w[1]
        });
        let turns = turns.count();
        let named = fittings.bends.get(&piece).map_or(0, Vec::len);
        assert_eq!(named, turns, "{name}: {} turns", pipe.id);
        turned += turns;
    }
    (met, turned)
}

#[test]
fn whatever_meets_or_turns_is_named() {
    let mut sum = (0, 0);
    for name in SAMPLES {
        let (met, turned) = every_junction_has_a_fitting(name, &worked(name, &sample_text(name)));
        sum = (sum.0 + met, sum.1 + turned);
    }
    for number in 0..60 {
        for book in numbered(number, "").books() {
            let text = numbered(number, book).draft.text();
            let of = complete(book, &text).unwrap_or_else(|d| panic!("{number}: {d:#?}"));
            let (met, _) = every_junction_has_a_fitting(&format!("{book} {number}"), &of.worked());
            sum.0 += met;
        }
    }
    assert!(sum.0 > 3000, "too few to mean anything: {sum:?}");
}

/// Turns within a pipe, as the job states them, each with the bend that the book lets it have.
#[test]
fn turns_within_a_pipe_are_named() {
    let of = worked(
        "turns",
        r#"
[job]
code = "ipc-2021"
[floors]
f = { level = "0" }
[exit]
heading = "south"
[drains]
main = { into = "exit", run = ["north 9'", "east 4'", "northeast 3'", "north 2'"] }
[fixtures]
LAV-1 = { kind = "lavatory", into = "main", run = ["up 1'", "west 2'", "up 2'"] }
"#,
    );
    assert!(every_junction_has_a_fitting("turns", &of).1 >= 5);
    let bends = |id: &str| {
        let piece = of.net.piece_by_id(id).expect(id);
        of.solution.fittings.bends[&piece].clone()
    };
    assert_eq!(
        bends("main.LAV-1"),
        ["long sweep quarter bend", "eighth bend", "eighth bend"]
    );
    // From upright to level a fixture drain of 2 in and smaller may turn by a quarter bend too, but
    // a sweep is what is picked; from level to upright a quarter bend will do.
    assert_eq!(
        bends("LAV-1.drop"),
        ["quarter bend", "long sweep quarter bend"]
    );
}

/// A level vent turns where the drains turn that it lies over. By the job: the floor drain's arm leads
/// 3 ft north from the branch at 4 ft and is vented half-way, 1 ft 6 in from it; the lavatory stands on
/// the branch at 16 ft 6 in, which leads west there. So the header goes 1 ft 6 in south and, round a
/// quarter bend, 12 ft 6 in west.
/// An island's vent goes up, across under the counter, down through the floor and along to its foot:
/// three quarter bends.
#[test]
fn vents_turn_where_they_are_drawn_to() {
    let of = worked("alder-court", &sample_text("alder-court"));
    let piece = |id: &str| of.net.piece_by_id(id).expect(id);
    let header = piece("bb.header.FD-1");
    let feet = |ft: f64| Some(stackfall::units::Length::from_inches(ft * 12.0));
    let legs: Vec<_> = (of.net.graph[header].legs.iter())
        .map(|l| (l.heading, l.length))
        .collect();
    assert_eq!(
        legs,
        [
            (Some(Heading::South), feet(1.5)),
            (Some(Heading::West), feet(12.5))
        ]
    );
    assert_eq!(of.solution.fittings.bends[&header], ["quarter bend"]);
    let back = piece("V2.loop");
    let ends = [of.net.from(back), of.net.to(back)].map(|j| j.expect("an end"));
    for end in ends {
        assert_eq!(of.solution.fittings.joints[&end].name, "quarter bend");
    }
    assert_eq!(of.solution.fittings.bends[&back], ["quarter bend"]);
}

/// A tee is named by its run, then its branch. Weir's stack vent of S1 goes up in 2 in into a header of
/// 3 in that comes in at its side, and on in 3 in.
#[test]
fn a_vents_tee_names_its_run_first() {
    let w = worked("weir-house", &sample_text("weir-house"));
    let vent = w.net.run_by_id("S1.vent").expect("a stack vent");
    let up = w.net.runs[vent.0].pieces[0];
    let tee = w.net.to(up).expect("a joint");
    let fitting = &w.solution.fittings.joints[&tee];
    assert_eq!(fitting.name, "sanitary tee, inverted");
    assert_eq!(fitting.sizes, [size(3.0), size(2.0), size(3.0)]);
}
