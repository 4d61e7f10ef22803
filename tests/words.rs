//! The words of the drawing, and that what is marked as proposed there is in the table of
//! proposals and the other way round.

mod common;

use std::collections::{BTreeMap, BTreeSet};

use common::{SAMPLES, Worked, sample_text, worked};
use stackfall::captions::{self, Captions};
use stackfall::network::{JointIx, JointKind, RunKind, State, VentMethod, cleanout_words};

fn sample(name: &str) -> Worked {
    worked(name, &sample_text(name))
}

fn words(w: &Worked) -> Captions {
    captions::permit(
        &captions::Subject {
            job: &w.job,
            net: &w.net,
            solution: &w.solution,
            typical: None,
        },
        2.5,
        &[],
    )
}

/// The lines beside each joint, by the joint's id.
fn beside_joints(w: &Worked) -> BTreeMap<String, Vec<String>> {
    let c = words(w);
    let id = |joint: JointIx| w.net.graph[joint].id.clone();
    let all = c.joints.iter();
    all.map(|(joint, i)| (id(*joint), c.all[*i].lines.clone()))
        .collect()
}

/// Ids under which something is listed as proposed, for what is marked on the drawing: a pipe by
/// its run, what is a fixture's own by the fixture, the end of a vent by the vent.
fn starred(w: &Worked) -> BTreeMap<String, BTreeSet<String>> {
    let net = &w.net;
    let c = words(w);
    let mut found: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut add = |words: String, ids: Vec<String>| {
        if words.contains('*') {
            found.entry(words).or_default().extend(ids);
        }
    };
    let said = |i: usize| c.all[i].lines.join(" / ");
    for (piece, &i) in &c.pieces {
        let run = &net.runs[net.graph[*piece].run.0].id;
        add(format!("{run}: {}", said(i)), vec![run.clone()]);
    }
    for (trap, &i) in &c.traps {
        let fixture = &w.job.fixtures[net.traps[trap.0].fixture].name;
        add(said(i), vec![fixture.clone()]);
    }
    for cleanout in &net.cleanouts {
        let i = c.symbols[&net.cleanout_mark(cleanout)];
        assert!(said(i).contains(&cleanout.id), "{} has no tag", cleanout.id);
        assert_eq!(
            said(i).contains('*'),
            cleanout.state == State::Proposed,
            "{}",
            said(i)
        );
        add(said(i), vec![cleanout.id.clone()]);
    }
    for joint in net.graph.node_indices() {
        let j = &net.graph[joint];
        if !matches!(j.kind, JointKind::Terminal(_) | JointKind::Valve(_)) {
            continue;
        }
        let vent = net
            .graph
            .edge_indices()
            .find(|&e| net.to(e) == Some(joint))
            .expect("a vent ends here");
        let i = c.symbols[&format!("{}.mark", j.id)];
        let proposed = net.graph[vent].state == State::Proposed;
        assert_eq!(said(i).contains('*'), proposed, "{}: {}", j.id, said(i));
        let run = net.runs[net.graph[vent].run.0].id.clone();
        add(format!("{}: {}", j.id, said(i)), vec![run]);
    }
    found
}

#[test]
fn what_is_marked_as_proposed_is_in_the_table_and_the_other_way_round() {
    for name in SAMPLES {
        let w = sample(name);
        let table: BTreeSet<&str> = w.net.proposals.iter().map(|p| p.id.as_str()).collect();
        let mut listed: BTreeSet<String> = BTreeSet::new();
        for (words, ids) in starred(&w) {
            for id in &ids {
                // A riser's link across to the stack is part of the riser.
                let own = id.strip_suffix(".link").unwrap_or(id);
                assert!(
                    table.contains(own),
                    "{name}: `{words}` is marked, {id} is not in the table"
                );
                listed.insert(own.to_owned());
            }
        }
        // Every pipe that is proposed, lettered or not: the pipe schedule marks each.
        for piece in w.net.graph.edge_weights() {
            if piece.state != State::Proposed {
                continue;
            }
            let run = &w.net.runs[piece.run.0];
            let own = match run.kind {
                RunKind::Arm | RunKind::FixtureDrain => {
                    run.id.rsplit_once('.').map_or(run.id.as_str(), |r| r.0)
                }
                _ => run.id.strip_suffix(".link").unwrap_or(&run.id),
            };
            assert!(
                table.contains(own),
                "{name}: {} is not in the table",
                run.id
            );
            listed.insert(own.to_owned());
        }
        for p in &w.net.proposals {
            let by_others = w.job.fixtures.iter().zip(&w.net.traps).any(|(f, t)| {
                let by_others = matches!(t.vent, VentMethod::Wet(_) | VentMethod::SingleStack);
                f.name == p.id && by_others
            });
            let own_vents = w.net.own_vents.iter();
            let mut runs = own_vents.filter_map(|(run, _)| w.net.runs.get(run.0));
            let serves = runs.any(|r| r.id == p.id);
            assert!(
                listed.contains(&p.id) || by_others || serves,
                "{name}: {} ({}) is in the table, nothing on the drawing is marked",
                p.id,
                p.what
            );
        }
    }
}

#[test]
fn inverts_stand_where_an_inspector_looks_for_them() {
    // Common practice: both ends of a branch, a branch at its stack, both ends of an offset.
    let joints = beside_joints(&sample("alder-court"));
    let first = |id: &str| joints.get(id).and_then(|l| l.first()).cloned();
    for (id, ie) in [
        ("S1.bath2", "IE 9′-1½″"),
        ("bath2.LAV-1", "IE 9′-4½″"),
        ("S2.foot-first", "IE -0′-10″"),
        ("S2.head-first", "IE -0′-8⅞″"),
        ("S1.isl", "IE -1′-7″"),
        ("main.foot", "IE -10′-0¾″"),
    ] {
        assert_eq!(first(id).as_deref(), Some(ie), "{id}");
    }
    // Between its ends a branch of a stack has none: those are in the level table.
    assert_eq!(first("bath2.BT-1"), None);
    // A cleanout says the invert of its own joint.
    assert_eq!(first("main.CO-1"), None);
}

#[test]
fn a_rolled_wye_says_so_with_its_rise() {
    let joints = beside_joints(&sample("alder-court"));
    let lines = joints.get("main.bb").expect("words at the wye");
    assert_eq!(
        lines.last().map(String::as_str),
        Some("WYE ROLLED 45°, INVERT UP 1⅞″")
    );
    let flat = joints.get("main.ld").expect("words at the flat wye");
    assert_eq!(flat.len(), 1, "{flat:?}");
}

#[test]
fn a_rise_has_words_of_its_own() {
    let w = sample("alder-court");
    let c = words(&w);
    let line = |id: &str| {
        let piece = w.net.piece_by_id(id).expect("a piece");
        c.all[c.pieces[&piece]].lines.join(" ")
    };
    assert!(
        line("main.head").ends_with("· UP 7′-8″"),
        "{}",
        line("main.head")
    );
    for level in ["main.foot", "main.BS-1"] {
        assert!(!line(level).contains("UP"), "{}", line(level));
    }
    let upright = w.net.piece_by_id("main.head").expect("a piece");
    assert_eq!(w.net.graph[upright].legs.len(), 1);
}

#[test]
fn a_cleanout_is_called_what_it_is_where_it_stands() {
    let called = |name: &str| -> BTreeMap<String, &str> {
        let w = sample(name);
        let of = |c| cleanout_words(&w.net, c);
        let all = w.net.cleanouts.iter();
        all.map(|c| (c.id.clone(), of(c))).collect()
    };
    let alder = called("alder-court");
    // Inside the wall; and where the drain turns under the slab, for its end goes straight on.
    assert_eq!(alder["CO-1"], "two-way, inside the building");
    assert_eq!(alder["main.co"], "FCO, flush with floor");
    let garden = called("garden-cottage");
    assert_eq!(garden["exit.drain.co"], "two-way, to grade");
    // Under the slab no plug could be reached.
    assert_eq!(garden["exit.drain.co-2"], "FCO, flush with floor");
}

#[test]
fn a_cleanout_in_the_line_of_a_drain_is_at_its_end_only_where_it_ends() {
    let called = |way: &str| {
        let text = format!(
            r#"
[job]
title = "Crawl space"
code = "irc-2021"
[floors]
first = {{ level = "0" }}
[exit]
invert = "-4'"
[drains]
main = {{ into = "exit", run = ["lies crawl space", "north 9'"] }}
b = {{ into = "main", floor = "first", run = ["lies crawl space", "{way} 8'"] }}
[fixtures]
WC-1 = {{ kind = "water closet", floor = "first", into = "b", station = "8'" }}
[cleanouts]
CO-1 = {{ on = "main" }}
CO-2 = {{ on = "b" }}
"#
        );
        let w = worked("crawl", &text);
        let all = w.net.cleanouts.iter();
        let all = all.filter(|c| c.state == State::Stated);
        all.map(|c| cleanout_words(&w.net, c)).collect::<Vec<_>>()
    };
    assert_eq!(
        called("east"),
        ["CO, at change of direction", "CO, end of drain"]
    );
    assert_eq!(called("north"), ["CO, in line", "CO, end of drain"]);
}
