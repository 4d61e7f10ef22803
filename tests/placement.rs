//! Protects what a drawn sheet promises, on random buildings: lettering touches neither other
//! lettering nor a pipe nor a symbol, every fixture is drawn, and the same job gives the same bytes.

mod common;

use std::fmt::Write as _;
use std::path::Path;

use kurbo::Point;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use stackfall::captions::{self, Captions};
use stackfall::codebook::Book;
use stackfall::job::Job;
use stackfall::network::{self, Network, RunKind};
use stackfall::pipeline::{self, Options};
use stackfall::placement::outline::{Cover, Outline};
use stackfall::placement::{self, Figures, Placement};
use stackfall::solve::Solution;
use stackfall::units::Length;
use stackfall::writers::svg;
use stackfall::{job, proposals, sheets, solve};

/// A building: for each stack, what stands on each of its floors.
fn building() -> impl Strategy<Value = Vec<Vec<Vec<usize>>>> {
    let storey = prop::collection::vec(0..KINDS.len(), 0..5);
    let stack = prop::collection::vec(storey, 1..4);
    prop::collection::vec(stack, 1..4)
}

const KINDS: [(&str, &str); 6] = [
    ("WC", "water closet"),
    ("LAV", "lavatory"),
    ("BT", "bathtub"),
    ("SH", "shower"),
    ("KS", "kitchen sink"),
    ("CW", "clothes washer"),
];

/// The job file of a building; `turned` writes its sections in another order.
fn text(building: &[Vec<Vec<usize>>], turned: bool) -> String {
    let storeys = building.iter().map(Vec::len).max().unwrap_or(1);
    let mut floors = "[floors]\n".to_owned();
    for f in 0..storeys {
        let _ = writeln!(floors, "f{f} = {{ level = \"{}'\" }}", f * 10);
    }
    let _ = writeln!(floors, "roof = {{ level = \"{}'\" }}", storeys * 10);
    let mut stacks = "[stacks]\n".to_owned();
    let mut fixtures = "[fixtures]\n".to_owned();
    let mut n = 0;
    for (s, stack) in building.iter().enumerate() {
        let _ = writeln!(stacks, "S{s} = {{}}");
        for (f, storey) in stack.iter().enumerate() {
            for &k in storey {
                let (tag, kind) = KINDS[k];
                let _ = writeln!(
                    fixtures,
                    "{tag}-{n} = {{ kind = \"{kind}\", floor = \"f{f}\", into = \"S{s}\" }}"
                );
                n += 1;
            }
        }
    }
    if n == 0 {
        fixtures.push_str("LAV-0 = { kind = \"lavatory\", floor = \"f0\", into = \"S0\" }\n");
    }
    let mut parts = [
        "[job]\ntitle = \"Random\"\ncode = \"ipc-2021\"\n".to_owned(),
        floors,
        "[exit]\nheading = \"south\"\ninvert = \"-4'\"\n".to_owned(),
        stacks,
        fixtures,
    ];
    if turned {
        parts.reverse();
    }
    parts.join("\n")
}

struct Drawn {
    job: Job,
    solution: Solution,
    net: Network,
    captions: Captions,
    figures: Figures,
    placement: Placement,
}

fn drawn(text: &str) -> Drawn {
    let job = job::read("random", "random.toml", text).expect("the job reads");
    let book = Book::open("ipc-2021", Path::new("."), &[]).expect("a built-in book");
    let stated = network::build(&job).expect("the network stands");
    let (net, _) = proposals::complete(&job, stated, &book);
    let solution = solve::solve(&job, &net, &book);
    let captions = captions::permit(
        &captions::Subject {
            job: &job,
            net: &net,
            solution: &solution,
            typical: None,
        },
        2.5,
        &[],
    );
    let figures = Figures::of(&job, &net).with_reducers(&net, &solution.fittings);
    let field = sheets::layout(sheets::paper("arch-e").expect("a paper")).field;
    let placement = placement::plan(&job, &net, &captions, &figures, field).placement;
    Drawn {
        job,
        solution,
        net,
        captions,
        figures,
        placement,
    }
}

/// What is wrong with a drawing, in words; empty if nothing is.
fn wrong(d: &Drawn) -> Vec<String> {
    let mut wrong = Vec::new();
    let labels: Vec<(String, Vec<Outline>)> = d
        .placement
        .labels
        .iter()
        .map(|l| {
            let caption = &d.captions.all[l.caption];
            let words = caption.lines.join(" / ");
            (words, placement::covers(caption, l.at, l.slant, l.flush))
        })
        .collect();
    for (i, (a, own)) in labels.iter().enumerate() {
        for (b, other) in &labels[i + 1..] {
            if own.iter().any(|x| other.iter().any(|y| x.meets(y))) {
                wrong.push(format!("“{a}” meets “{b}”"));
            }
        }
        for p in &d.placement.pipes {
            for w in p.path.windows(2) {
                let line = Outline::new(vec![w[0].point(), w[1].point()], Cover::Solid);
                if own.iter().any(|x| x.meets(&line)) {
                    wrong.push(format!("“{a}” lies on {}", d.net.graph[p.piece].id));
                }
            }
        }
        for s in &d.placement.symbols {
            let symbol = d.figures.drawn(s.symbol, s.way);
            let hull: Vec<Point> = symbol.hull.iter().map(|p| *p + s.at.to_vec2()).collect();
            let hull = Outline::new(hull, Cover::Solid);
            if own.iter().any(|x| x.meets(&hull)) {
                wrong.push(format!("“{a}” lies on {}", d.figures.all[s.symbol].id));
            }
        }
    }
    // Every caption of a piece or a fixture is set.
    let set: Vec<usize> = d.placement.labels.iter().map(|l| l.caption).collect();
    for c in d.captions.traps.values() {
        if !set.contains(c) {
            wrong.push(format!("not set: {}", d.captions.all[*c].lines.join(" ")));
        }
    }
    wrong
}

/// A building that once had a label on a header.
#[test]
fn a_header_passes_no_label() {
    let text = text(&[vec![vec![0, 0, 4], vec![0, 4]]], false);
    let wrong = wrong(&drawn(&text));
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Whoever follows a long run on paper reads its size and fall again (drawing contract, 5).
#[test]
fn a_long_run_says_its_words_again() {
    let text = "[job]\ntitle = \"Long\"\n[floors]\nground = { level = \"0'\" }\n\
        roof = { level = \"10'\" }\n[exit]\nheading = \"south\"\ninvert = \"-4'\"\n\
        [drains]\nmain = { into = \"exit\", run = [\"north 70'\"] }\n[fixtures]\n\
        WC-1 = { kind = \"water closet\", floor = \"ground\", into = \"main\" }\n";
    let d = drawn(text);
    let piece = |p: &&placement::PlacedPipe| d.net.graph[p.piece].id.starts_with("main.");
    let long = d.placement.pipes.iter().filter(piece);
    let length = |p: &placement::PlacedPipe| (p.path[1].point() - p.path[0].point()).hypot();
    let long = long
        .max_by(|p, q| length(p).total_cmp(&length(q)))
        .expect("a main");
    assert!(
        length(long) > 600.0,
        "the field is filled: {}",
        length(long)
    );
    let caption = d.captions.pieces[&long.piece];
    let labels = d.placement.labels.iter().filter(|l| l.caption == caption);
    let places: Vec<Point> = labels.map(|l| l.at).collect();
    for i in 1..10 {
        let at = long.path[0]
            .point()
            .lerp(long.path[1].point(), f64::from(i) / 10.0);
        let near = places.iter().map(|p| (*p - at).hypot());
        let near = near.fold(f64::INFINITY, f64::min);
        // The words themselves take some room.
        assert!(
            near < 340.0,
            "{near} mm from the nearest words at {i} tenths"
        );
    }
}

/// Along each stack, what comes in and the floors stand in the order of their levels: a branch in the
/// wall above its floor, one that hangs beneath it below.
#[test]
fn floors_and_branches_stand_along_a_stack_as_their_levels_do() {
    let mut above = 0;
    for name in common::SAMPLES {
        let d = drawn(&common::sample_text(name));
        for run in d.net.runs.iter().filter(|r| r.kind == RunKind::Stack) {
            let drawn = |p: &&placement::PlacedPipe| run.pieces.contains(&p.piece);
            let stack: Vec<_> = d.placement.pipes.iter().filter(drawn).collect();
            // How far down the paper, the level and what it is.
            let mut met: Vec<(Point, Length, String)> = Vec::new();
            for pipe in &stack {
                let joint = d.net.from(pipe.piece).expect("a pipe begins somewhere");
                let enters = d.net.upstream(joint).into_iter();
                let enters = enters.filter(|p| !run.pieces.contains(p));
                let inverts = enters.filter_map(|p| d.solution.levels.pieces.get(&p)?.invert_down);
                let at = pipe.path[0].point();
                met.extend(inverts.map(|l| (at, l, d.net.graph[joint].id.clone())));
            }
            for mark in &d.placement.marks {
                let Some(floor) = mark.floor.map(|f| &d.job.floors[f.0]) else {
                    continue;
                };
                for (at, level, joint) in met.iter().filter(|m| (m.0.x - mark.at.x).abs() < 0.01) {
                    above += usize::from(
                        *level > floor.level && *level - floor.level < Length::from_mm(600.0),
                    );
                    assert_eq!(
                        at.y < mark.at.y,
                        *level > floor.level,
                        "{name}: {joint} of {} at {level:?}, floor {}",
                        run.id,
                        floor.name
                    );
                }
            }
        }
    }
    // The kitchens of linden-hof.
    assert!(above >= 3, "branches just above a floor: {above}");
}

/// The same buildings in every run, so that a change is judged by what it changes;
/// `PROPTEST_RNG_SEED` tries others.
fn config() -> ProptestConfig {
    let standard = ProptestConfig::default();
    let rng_seed = match standard.rng_seed {
        RngSeed::Random => RngSeed::Fixed(1),
        fixed => fixed,
    };
    ProptestConfig {
        cases: 48,
        failure_persistence: None,
        rng_seed,
        ..standard
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn lettering_touches_nothing(building in building()) {
        let text = text(&building, false);
        let wrong = wrong(&drawn(&text));
        prop_assert!(wrong.is_empty(), "{wrong:#?}\n{text}");
    }

    #[test]
    fn the_same_job_gives_the_same_bytes_in_any_order_of_sections(building in building()) {
        let run = |turned| {
            let text = text(&building, turned);
            let run = pipeline::run_text("random", "random.toml", &text, &Options::default())
                .expect("the job draws");
            run.sheets.sheets.iter().map(|s| svg::svg("random", s)).collect::<Vec<_>>()
        };
        let first = run(false);
        prop_assert_eq!(&first, &run(false));
        prop_assert_eq!(&first, &run(true));
    }
}
