//! The crew's sheets: what is set out against a case that was worked by hand, and that nothing is
//! lost between the sheets.

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use common::{HAND, Worked, worked};
use stackfall::captions::Trade;
use stackfall::crew::{
    Datum, Framing, Ground, Height, Last, SetOut, Shown, drains_only, numbers, parts, set_out,
    vent_numbers, vents_alone, vents_set_out,
};
use stackfall::network::{JointIx, PieceIx, RunKind, State, System, reached_in_stack};
use stackfall::pipeline::{self, Solved, Working};
use stackfall::solve::Work;
use stackfall::takeoff::Phase;

fn sample(name: &str) -> Solved {
    let solved = pipeline::solve(Path::new(&common::sample_path(name)));
    solved.unwrap_or_else(|_| panic!("{name}"))
}

fn work(w: &Worked) -> Work<'_> {
    Work {
        job: &w.job,
        net: &w.net,
        book: &w.book,
        solution: &w.solution,
    }
}

fn shown<'a>(
    w: &'a Worked,
    framing: &'a Framing,
    (datum, numbers): (&'a Datum, &'a BTreeMap<JointIx, usize>),
    (pieces, cut): (&'a [PieceIx], &'a BTreeSet<PieceIx>),
) -> Shown<'a> {
    Shown {
        datum,
        numbers,
        pieces,
        cut,
        whole: &w.net,
        framing,
    }
}

fn all_set_out(w: &Worked) -> Vec<SetOut> {
    let pieces: Vec<PieceIx> = w.net.graph.edge_indices().collect();
    let datum = Datum::of_underground(&w.job);
    let numbers = numbers(&w.net, |_| Some(0));
    let none = BTreeSet::new();
    let framing = Framing::of(&work(w));
    set_out(
        &work(w),
        &shown(w, &framing, (&datum, &numbers), (&pieces, &none)),
    )
}

fn near(got: Option<stackfall::units::Length>, inches: f64, what: &str) {
    let got = got.expect("known").inches();
    assert!(
        (got - inches).abs() < 0.01,
        "{what}: {got}, by hand {inches}"
    );
}

/// No benchmark is named, so levels go down from the ground floor at 0.
/// - Exit: invert 4 ft = 48 in down. A 4 in pipe is 4.500 in outside and 4.026 in inside (ASTM
///   D1785), its wall 0.237 in: its top stands 4.500 − 0.237 = 4.263 in over the invert, 43.737 in
///   down.
/// - The closet's junction, 12 ft up at 1/8 in a foot: 12/8 = 1.5 in drop, 46.5 in down, its top
///   42.237 in.
/// - The closet's arm: 3 ft to the fitting and 2 ft to the weir of 3 in pipe.
#[test]
fn set_out_by_hand() {
    let w = worked("hand", HAND);
    let rows = all_set_out(&w);
    let exit = &rows[0];
    assert_eq!(exit.key, "exit");
    near(exit.high.invert, 48.0, "exit");
    near(exit.high.top, 43.737, "top at the exit");
    let closet = &rows[1];
    assert_eq!(closet.key, "(1)");
    assert!(
        closet.fitting.starts_with("combo wye"),
        "{}",
        closet.fitting
    );
    near(closet.length, 144.0, "length");
    near(closet.drop, 1.5, "drop");
    near(closet.high.invert, 46.5, "junction");
    near(closet.high.top, 42.237, "top at the junction");
    near(closet.low.invert, 48.0, "lower end");
    near(closet.low.top, 43.737, "top of the lower end");
}

/// Levels go down from the benchmark where the job names one: 2 ft 5 in below zero, all levels are
/// 29 in less far down.
#[test]
fn a_benchmark_that_is_named_is_used() {
    let named = HAND.replace(
        "stock = ",
        "zero = { benchmark = \"top of footing\", level = \"-2' 5\" }\nstock = ",
    );
    let w = worked("hand", &named);
    let datum = Datum::of_underground(&w.job);
    assert_eq!(datum.words, "top of footing");
    near(all_set_out(&w)[0].high.invert, 48.0 - 29.0, "exit");
}

/// Every drain of the job is set out, and the exit; numbers are given once each.
#[test]
fn nothing_is_numbered_twice() {
    let w = worked("hand", HAND);
    let rows = all_set_out(&w);
    let keys: BTreeSet<&str> = rows.iter().map(|r| r.key.as_str()).collect();
    assert_eq!(keys.len(), rows.len());
    let drains = drains_only(&w.net);
    assert!(
        drains
            .graph
            .edge_weights()
            .all(|p| p.system == System::Waste)
    );
    assert_eq!(rows.len(), drains.graph.edge_count() + 1);
}

/// What is marked as roughed in has its boxes ticked, and nothing else has.
#[test]
fn what_is_built_is_ticked() {
    let job = format!("{HAND}\n[progress]\nR1 = {{ on = \"main\", is = \"roughed in\" }}\n");
    let w = worked("hand", &job);
    for row in all_set_out(&w) {
        let of_main = row.key == "exit"
            || row
                .pipe
                .is_some_and(|p| w.net.runs[w.net.graph[p].run.0].id == "main");
        assert_eq!(row.done, of_main, "{}", row.key);
    }
}

/// The steps of a trench go with its drains, though its fixtures' own pipes are not marked: weir's main and
/// cafe are marked as tested, so it was dug, its stubs were capped and it was filled. Nobody says that it
/// was inspected or backfilled.
#[test]
fn steps_go_with_the_drains() {
    let w = worked("weir-house", &common::sample_text("weir-house"));
    let work = work(&w);
    let below: Vec<_> = (w.net.graph.edge_indices())
        .filter(|p| Phase::of(&work, *p) == Phase::Underground)
        .collect();
    let datum = Datum::of_underground(&w.job);
    let numbers = numbers(&w.net, |_| Some(0));
    let none = BTreeSet::new();
    let framing = Framing::of(&work);
    let ground = Ground {
        trade: Trade::Drains,
        shown: shown(&w, &framing, (&datum, &numbers), (&below, &none)),
        last: Last::OfFloor,
        typical: None,
    };
    let part = parts(&work, &ground).remove(0);
    let steps = part.first.iter().chain(&part.steps);
    let done: Vec<(&str, bool)> = steps.map(|s| (s.words.as_str(), s.done)).collect();
    let is = |begins: &str| {
        done.iter()
            .find(|(w, _)| w.starts_with(begins))
            .map(|d| d.1)
    };
    for begins in ["dig", "sleeve and stub up", "plug, fill, test"] {
        assert_eq!(is(begins), Some(true), "{begins}: {done:?}");
    }
    for begins in ["check the levels", "inspection", "backfill", "primer line"] {
        assert_eq!(is(begins), Some(false), "{begins}: {done:?}");
    }
}

/// The vents of the hand-worked job, levels down from the ground floor at 0.
/// - IRC P3103.1.1: a vent ends 6 in or more above the roof, and is measured from there.
/// - The lavatory's arm comes in at its tee: main falls 20 × 1/8 = 2.5 in to the junction, 45.5 in
///   down; the branch is 2 in smaller than the main and joins it by centres, rises 1/4 in in its foot
///   and then 60 in.
#[test]
fn vents_are_set_out_by_hand() {
    let w = worked("hand", HAND);
    let work = work(&w);
    let pieces: Vec<PieceIx> = w.net.graph.edge_indices().collect();
    let numbers = vent_numbers(&work, &numbers(&w.net, |_| Some(0)), |_| true);
    let datum = Datum::of_underground(&w.job);
    let none = BTreeSet::new();
    let framing = Framing::of(&work);
    let rows = vents_set_out(
        &work,
        &shown(&w, &framing, (&datum, &numbers), (&pieces, &none)),
    );
    for r in &rows {
        println!(
            "{} {} from {:?} {:?} {:?}",
            r.key, r.fitting, r.from, r.length, r.height
        );
    }
    let ends: Vec<_> = rows.iter().filter(|r| r.key == "VTR").collect();
    assert!(!ends.is_empty());
    for end in ends {
        let Some(Height::AtLeast(up)) = end.height else {
            panic!("{:?}", end.height)
        };
        near(Some(up), 6.0, "terminal");
        assert_eq!(end.over.as_ref().map(|d| d.words.as_str()), Some("roof"));
    }
}

/// Over all sheets of a sample every drain stands in one list, all lettering is 3/16 in high at
/// least, and no part of the drawing is larger than its paper.
#[test]
fn samples_lose_nothing() {
    for name in [
        "garden-cottage",
        "mill-house",
        "linden-hof",
        "ridge-walkout",
    ] {
        let solved = sample(name);
        let paper = solved.working(Working::Crew, None).expect("always");
        assert!(paper.said.is_empty(), "{name}: {:?}", paper.said);
        let all = &paper.tables[0].rows;
        let net = solved.network();
        // Only a vent says where it comes from.
        let (vents, rows): (Vec<_>, Vec<_>) = all.iter().partition(|r| !r[3].is_empty());
        // Each pipe of a vent is set out once, and each terminal that is bought.
        let once: BTreeSet<_> = vents.iter().map(|r| (&r[1], &r[3])).collect();
        assert_eq!(once.len(), vents.len(), "{name}: vents");
        let takeoff = solved.working(Working::Takeoff, None).expect("always");
        let fittings = takeoff.tables.iter().find(|t| t.name == "fittings");
        let flashings = fittings.expect("a table").rows.iter();
        let flashings = flashings.filter(|r| r[1] == "terminal flashing");
        let bought: usize = flashings
            .map(|r| r[3].parse::<usize>().expect("a count"))
            .sum();
        let ends = vents.iter().filter(|r| r[1] == "VTR").count();
        assert_eq!(ends, bought, "{name}: terminals");
        let drains = net
            .graph
            .edge_weights()
            .filter(|p| p.system == System::Waste && net.runs[p.run.0].kind != RunKind::Sewer);
        assert_eq!(rows.len(), drains.count() + net.exits.len(), "{name}");
        for sheet in &paper.set.sheets {
            for text in sheet.items.iter().flat_map(|i| &i.texts) {
                let high = text.em * stackfall::assets::CAP;
                assert!(
                    high >= 25.4 * 3.0 / 16.0,
                    "{name} {}: {}",
                    sheet.number,
                    text.text
                );
            }
        }
    }
}

/// Whatever the plan of holes has in a slab the crew sleeves, each on one sheet: closets, floor drains and
/// cleanouts as well as risers.
#[test]
fn every_hole_in_a_slab_is_sleeved_once() {
    for name in common::SAMPLES {
        let solved = sample(name);
        let crew = solved.working(Working::Crew, None).expect("always");
        let steps = crew.tables.iter().find(|t| t.name == "steps");
        let steps = steps.expect("a table").rows.iter();
        let lists = steps
            .filter_map(|r| r[3].strip_prefix("sleeve and stub up to the finished floor, cap: "));
        let mut sleeved: Vec<&str> = lists
            .flat_map(|l| l.split(", "))
            // A name, and the length of the stub where that is known.
            .map(|stub| stub.split(' ').next().unwrap_or(stub))
            .collect();
        sleeved.sort_unstable();
        let drops = solved.working(Working::Drops, None).expect("always");
        let holes = drops.tables.iter().find(|t| t.name == "holes");
        let holes = holes.expect("a table").rows.iter();
        let in_slab = holes.filter(|r| r[8].contains("slab"));
        let mut wanted: Vec<&str> = in_slab.map(|r| r[1].as_str()).collect();
        wanted.sort_unstable();
        assert_eq!(sleeved, wanted, "{name}");
    }
}

/// What has no row of its own in the lists has a step on one sheet: a backwater valve, a cleanout that is
/// open in its stack over the floor, a primer's line, an air gap, the standpipe of a washer; a cleanout that
/// is only proposed on a drain that is marked as laid is looked for.
#[test]
fn what_has_no_row_has_a_step_once() {
    let mut seen = [0; 6];
    for name in common::SAMPLES {
        let solved = sample(name);
        let net = solved.network();
        let job = &solved.job;
        let crew = solved.working(Working::Crew, None).expect("always");
        let steps = crew.tables.iter().find(|t| t.name == "steps");
        let steps = &steps.expect("a table").rows;
        let once = |begins: &str, ends: &str| {
            let is = |w: &str| w.starts_with(begins) && w.contains(ends);
            let count = steps.iter().filter(|r| is(&r[3])).count();
            assert_eq!(count, 1, "{name}: {begins} … {ends}");
        };
        let fixture = |i: usize| job.fixtures[i].name.as_str();
        for valve in &net.valves {
            seen[0] += 1;
            once(&format!("{}: arrow", valve.id), "box to the floor");
        }
        let in_stack = net.cleanouts.iter().filter(|c| reached_in_stack(net, c));
        for cleanout in in_stack {
            seen[1] += 1;
            once("with the stack", &format!("{} over the floor", cleanout.id));
        }
        let is_marked = |c: &&stackfall::network::NetCleanout| {
            let run = net.runs[c.run.0].id.as_str();
            job.stands(run).is_some() && c.state == State::Proposed
        };
        for cleanout in net.cleanouts.iter().filter(is_marked) {
            seen[4] += 1;
            once(&format!("{} is proposed", cleanout.id), "");
        }
        let washers = job
            .fixtures
            .iter()
            .filter(|f| f.kind.value == "clothes washer");
        for washer in washers {
            seen[5] += 1;
            once(&format!("standpipe on the trap of {},", washer.name), "");
        }
        for trap in &net.traps {
            let own = fixture(trap.fixture);
            if let Some(by) = trap.primed_by {
                seen[2] += 1;
                once(&format!("primer line to {own} from"), fixture(by));
            }
            if let Some(over) = trap.over {
                seen[3] += 1;
                let over = fixture(net.traps[over.0].fixture);
                once(&format!("{own} ends over {over}, air gap"), "");
            }
        }
    }
    assert!(seen.iter().all(|n| *n > 0), "{seen:?}");
}

/// alder's WC-4: its arm ends 7'-7 5/8" below the benchmark and the floor lies 6'-5" below it; from the
/// middle of 3 in pipe (3.042 in wide) its riser goes up 91.625 − 77 − 1.521 = 13.10 in, printed 1'-1 1/8".
/// The vent of BS-1 goes up from the crawl space through two floors and the roof: the lowest of them its
/// drain passes.
#[test]
fn risers_of_closets_and_holes_of_vents_are_said() {
    let solved = sample("alder-court");
    let crew = solved.working(Working::Crew, None).expect("always");
    let items = crew.set.sheets.iter().flat_map(|s| &s.items);
    let texts: Vec<&str> = items
        .flat_map(|i| &i.texts)
        .map(|t| t.text.as_str())
        .collect();
    let said = texts.join(" ");
    assert!(said.contains("WC-4 1′-1⅛″"), "{said}");
    assert!(said.contains("HOLE BS-1.vent (SECOND, ROOF)"), "{said}");
}

/// A vent that goes up from a drain is shown on the sheets of drains, once: a tee for it would read as a
/// bend.
#[test]
fn vents_show_where_they_go_up() {
    let solved = sample("alder-court");
    let crew = solved.working(Working::Crew, None).expect("always");
    let items = crew.set.sheets.iter().flat_map(|s| &s.items);
    let mut ups: Vec<&str> = items
        .filter(|i| i.data.contains(&("kind", "vent".to_owned())))
        .filter_map(|i| i.id.strip_suffix(".up"))
        .collect();
    ups.sort_unstable();
    let net = solved.network();
    let joints = net.graph.node_indices();
    let vented = joints.filter(|j| !net.vents_from(*j).is_empty() && net.vents_into(*j).is_empty());
    // Of a stack's own branch nothing else goes up at its highest joint.
    let ids = vented.map(|j| net.graph[j].id.as_str());
    let mut wanted: Vec<&str> = ids.collect();
    wanted.sort_unstable();
    assert_eq!(ups, wanted);
}

/// A job may have an exit from whose drains no vent rises: its drains stand on their own sheets, and
/// its sheets of vents are left out.
#[test]
fn an_exit_without_vents_is_drawn() {
    let job = HAND
        .replace(
            "[exit]\ninvert = \"-4'\"\nheading = \"south\"",
            "[exits]\nhouse = { invert = \"-4'\", heading = \"south\" }\nyard = { invert = \"-4'\", heading = \"south\" }",
        )
        .replace("into = \"exit\"", "into = \"house\"")
        .replace(
            "[fixtures]",
            "rest = { into = \"yard\", run = [\"lies under slab\", \"north 9'\"], size = 4 }\n\n[fixtures]",
        );
    let w = worked("two exits", &job);
    let vents = vents_alone(&w.net);
    for exit in &vents.exits {
        assert!(!vents.upstream(*exit).is_empty(), "{exit:?} stands alone");
    }
    let path =
        std::env::temp_dir().join(format!("stackfall-two-exits-{}.toml", std::process::id()));
    std::fs::write(&path, &job).expect("written");
    let solved = pipeline::solve(&path).unwrap_or_else(|_| panic!("two exits"));
    std::fs::remove_file(&path).expect("removed");
    let paper = solved.working(Working::Crew, None).expect("always");
    let vents = paper
        .set
        .sheets
        .iter()
        .filter(|s| s.title.starts_with("Vents"));
    for sheet in vents {
        let pipes = sheet.items.iter().flat_map(|i| &i.data);
        assert!(
            pipes.clone().any(|(k, v)| *k == "system" && v == "vent"),
            "{}",
            sheet.number
        );
    }
}

/// Four stacks of baths on eight floors; `drawing` goes under `[drawing]`.
fn tower(drawing: &str) -> Solved {
    let bank = r#""S1..S4" = { into = "main", station = "10'", each = "9'" }"#;
    let text = common::tower_of_baths(bank, (4, 8), drawing, "");
    static COUNT: AtomicUsize = AtomicUsize::new(0);
    let own = COUNT.fetch_add(1, Ordering::Relaxed);
    let name = format!("stackfall-like-{}-{own}.toml", std::process::id());
    let path = std::env::temp_dir().join(name);
    std::fs::write(&path, text).expect("written");
    let solved = pipeline::solve(&path).unwrap_or_else(|_| panic!("a tower"));
    std::fs::remove_file(&path).expect("removed");
    solved
}

/// What a step serves: `3: S1 to S4` is floor 3 of these stacks.
fn served(step: &str) -> Vec<(String, String)> {
    let Some((floor, stacks)) = step.split_once(": ") else {
        return Vec::new();
    };
    let number = |s: &str| s.trim_start_matches('S').parse::<usize>().ok();
    let each = stacks.split(", ").flat_map(|part| {
        let (first, last) = part.split_once(" to ").unwrap_or((part, part));
        match (number(first), number(last)) {
            (Some(first), Some(last)) => (first..=last).collect(),
            _ => Vec::new(),
        }
    });
    let each: Vec<usize> = each.collect();
    each.into_iter()
        .map(|n| (format!("S{n}"), floor.to_owned()))
        .collect()
}

/// Storeys and stacks that are built alike have one set of sheets, and no fixture is lost by it: each
/// stands in a list, or its floor and its stack have a box on the sheets of what it is like.
#[test]
fn what_is_alike_has_a_box_each() {
    let solved = tower("");
    let paper = solved.working(Working::Crew, None).expect("always");
    let [set_out, steps] = &paper.tables[..] else {
        panic!("two tables");
    };
    let listed: BTreeSet<&str> = set_out.rows.iter().map(|r| r[1].as_str()).collect();
    let served: BTreeSet<(String, String)> =
        steps.rows.iter().flat_map(|r| served(&r[3])).collect();
    let mut boxes = 0;
    for stack in 1..=4 {
        for floor in 1..=8 {
            for fixture in ["WC-1", "LAV-1", "BT-1"] {
                let name = format!("{fixture}@S{stack}-{floor}");
                let own = (format!("S{stack}"), floor.to_string());
                let is_listed = listed.contains(name.as_str());
                assert!(is_listed || served.contains(&own), "{name} is on no sheet");
                assert!(
                    !(is_listed && served.contains(&own)),
                    "{name} is there twice"
                );
                boxes += usize::from(!is_listed);
            }
        }
    }
    assert!(boxes > 0, "nothing is alike");
    let full = tower("in_full = true");
    let full = full.working(Working::Crew, None).expect("always");
    assert!(full.set.sheets.len() > paper.set.sheets.len());
    let all: BTreeSet<&str> = full.tables[0].rows.iter().map(|r| r[1].as_str()).collect();
    assert!(all.contains("WC-1@S3-5"));
}
