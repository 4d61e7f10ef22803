//! The holes against cases that were worked by hand, the arithmetic beside each, and properties of
//! random jobs.

mod common;

use common::jobs::{Open, measured, sketch};
use common::{Dice, Worked, complete, worked};
use proptest::prelude::*;
use stackfall::codebook::Book;
use stackfall::drops::{Drops, Hole, Level, Limit, Meets, drops, limits};
use stackfall::levels::{falls::leg_is_vertical, inverts};
use stackfall::network::{JointKind, State, System};
use stackfall::solve::Work;
use stackfall::units::{Heading, Length};

fn list(w: &Worked) -> Drops {
    drops(&Work {
        job: &w.job,
        net: &w.net,
        book: &w.book,
        solution: &w.solution,
    })
}

/// A stack 20 ft up the drain in a wall of 2x6, a closet on its branch, a lavatory of which nothing is
/// known above it, one on the drain.
/// Joists of 2x10 stand every 16 in from plan zero, one north of the other.
const HOUSE: &str = r#"
[job]
code = "irc-2021"
stock = [1.5, 2, 3, 4]

[floors]
ground = { level = "0", slab = "4in" }
up = { level = "9'", deck = "3/4in", joists = "9 1/4in", joists_run = "east", spacing = "16in", first_joist = "0" }
top = { level = "18'" }
roof = { level = "27'" }

[lines]
A = { is = "inside face of the west wall", east = "-10'" }
B = { is = "outside face of the south footing", north = "2'" }

[exit]
invert = "-4'"
heading = "south"

[drains]
main = { into = "exit", run = ["lies under slab", "north 22'"], size = 4 }
b = { into = "S1", floor = "up", invert = "-6in", run = ["lies between joists", "east 6'"], size = 3 }

[stacks]
S1 = { into = "main", station = "20'", size = 3, wall = "2x6" }

[fixtures]
WC-1 = { kind = "water closet", floor = "up", into = "b", station = "6'", arm = "1' 6", side = "north" }
LAV-2 = { kind = "lavatory", floor = "top", into = "S1" }
LAV-1 = { kind = "lavatory", floor = "ground", into = "main", station = "12'", run = ["east 4'", "up 5'"], arm = "2'", side = "east" }
"#;

fn hole<'d>(drops: &'d Drops, floor: &str, tag: &str) -> &'d Hole {
    let found = drops
        .holes
        .iter()
        .find(|h| drops.called(h.level) == floor && h.tag == tag);
    found.unwrap_or_else(|| {
        let all: Vec<_> = drops
            .holes
            .iter()
            .map(|h| (drops.called(h.level), &h.tag))
            .collect();
        panic!("no hole {tag} in {floor}: {all:?}")
    })
}

fn inches(l: Length) -> f64 {
    (l.inches() * 1e4).round() / 1e4
}

/// Places from plan zero, the exit; distances from A (10 ft west of it) and B (2 ft north of it):
/// - S1 stands on `main` at 20 ft: 0 east, 240 in north; 0 + 120 = 120 in and 240 − 24 = 216 in.
/// - WC-1 stands at the end of its arm: 6 ft east of S1 and 1 ft 6 in north: 72 in, 258 in; 192 in
///   and 234 in.
/// - LAV-1 comes up where its drop turns up: 12 ft up `main`, 4 ft east: 48 in, 144 in; 168 in and
///   120 in.
#[test]
fn places_by_hand() {
    let drops = list(&worked("house", HOUSE));
    let at = |floor: &str, tag: &str| {
        let from = drops.from_lines(hole(&drops, floor, tag)).expect("a place");
        (inches(from.0), inches(from.1))
    };
    assert_eq!(at("ground", "S1"), (120.0, 216.0));
    assert_eq!(at("up", "WC-1"), (192.0, 234.0));
    assert_eq!(at("ground", "LAV-1"), (168.0, 120.0));
    assert!(drops.unknown.is_empty(), "{:?}", drops.unknown);
    // Nobody says how far LAV-2 stands from its stack.
    assert!(hole(&drops, "top", "LAV-2").at.is_err());
}

/// True outside of PVC DWV by its size, a quarter inch more, up to the next eighth: 3 in is 3.500,
/// 3.750, 3 3/4; 1 1/2 in is 1.900, 2.150, 2 1/4.
#[test]
fn holes_by_hand() {
    let drops = list(&worked("house", HOUSE));
    let bored = |floor: &str, tag: &str| {
        let h = hole(&drops, floor, tag);
        (
            inches(h.outside.expect("known")),
            inches(h.bored.expect("known")),
        )
    };
    assert_eq!(bored("ground", "S1"), (3.5, 3.75));
    assert_eq!(bored("up", "WC-1"), (3.5, 3.75));
    assert_eq!(bored("ground", "LAV-1"), (1.9, 2.25));
    // As the job states it: 3.500 + 0.500 is 4 in, 1.900 + 0.500 = 2.400, 2 1/2 in.
    let wider = HOUSE.replace("[lines]", "[drops]\nclearance = \"1/2in\"\n\n[lines]");
    let drops = list(&worked("wider", &wider));
    let bored = |floor: &str, tag: &str| inches(hole(&drops, floor, tag).bored.expect("known"));
    assert_eq!(bored("ground", "S1"), 4.0);
    assert_eq!(bored("ground", "LAV-1"), 2.5);
    assert_eq!(drops.clearance.1, None);
}

/// Half the joist and half the hole: (1 1/2 + 3 3/4) / 2 = 2 5/8 in.
/// - WC-1: 258 / 16 = 16.125, joist 17 at 256 in; 2 in past it: 2 5/8 − 2 = 5/8 in north, or
///   2 5/8 + 2 = 4 5/8 in south.
/// - A closet 14 in from its branch stands at 254 in, 2 in short of it: the same, south first.
/// - S1: 240 / 16 = 15, right on joist 16: 2 5/8 in either way.
/// - A closet 26 in from its branch: 266 in, 272 − 266 = 6 in from joist 18: 3 3/8 in clear.
#[test]
fn joists_by_hand() {
    let met = |text: &str, tag: &str| {
        let drops = list(&worked("house", text));
        hole(&drops, "up", tag)
            .meets
            .clone()
            .expect("all is stated")
    };
    let conflict = |m: Meets| match m {
        Meets::Joist {
            joist,
            least,
            other,
            fits,
            ..
        } => (
            joist,
            inches(least.0),
            least.1,
            inches(other.0),
            other.1,
            fits,
        ),
        other => panic!("{other:?}"),
    };
    assert_eq!(
        conflict(met(HOUSE, "WC-1")),
        (17, 0.625, Heading::North, 4.625, Heading::South, true)
    );
    let nearer = HOUSE.replace("arm = \"1' 6\"", "arm = \"1' 2\"");
    assert_eq!(
        conflict(met(&nearer, "WC-1")),
        (17, 0.625, Heading::South, 4.625, Heading::North, true)
    );
    assert_eq!(
        conflict(met(HOUSE, "S1")),
        (16, 2.625, Heading::North, 2.625, Heading::South, true)
    );
    let farther = HOUSE.replace("arm = \"1' 6\"", "arm = \"2' 2\"");
    match met(&farther, "WC-1") {
        Meets::Clear { joist, by } => assert_eq!((joist, inches(by)), (18, 3.375)),
        other => panic!("{other:?}"),
    }
    // How wide the flange of an engineered joist is nobody says: 258 − 256 = 2 in from its middle.
    let made = HOUSE.replace("joists = \"9 1/4in\"", "joists = \"11 7/8in\"");
    match met(&made, "WC-1") {
        Meets::WidthNotKnown { joist, from_middle } => {
            assert_eq!((joist, inches(from_middle)), (17, 2.0));
        }
        other => panic!("{other:?}"),
    }
    // With a flange of 2 1/2 in: (2 1/2 + 3 3/4) / 2 − 2 = 1 1/8 in.
    let wide = made.replace("first_joist", "joist_width = \"2 1/2in\", first_joist");
    assert_eq!(conflict(met(&wide, "WC-1")).1, 1.125);
}

/// Joists: a third of the true depth, and 2 in of wood over and under the hole, as the reference on
/// R502.8.1 derives them: 2x6 1.83 in of which 1.50 stay, 2x8 2.42, 2x10 3.08, 2x12 3.75.
/// Studs by R602.6: two fifths and three fifths of 5 1/2 in: 2.20 and 3.30 in. Plates: half of it.
#[test]
fn limits_by_hand() {
    let book = Book::builtin("irc-2021").expect("a book");
    for (depth, most, largest) in [
        ("5 1/2in", 1.8333, 1.5),
        ("7 1/4in", 2.4167, 2.4167),
        ("9 1/4in", 3.0833, 3.0833),
        ("11 1/4in", 3.75, 3.75),
    ] {
        let text = HOUSE.replace("9 1/4in", depth);
        let w = worked("limits", &text);
        let all = limits(&w.job, &book);
        let Some(Limit::Sawn(holes)) = all.first() else {
            panic!("{depth}: {all:?}")
        };
        assert_eq!(inches(holes.most.value), most, "{depth}");
        assert_eq!(inches(holes.largest()), largest, "{depth}");
    }
    let w = worked("limits", HOUSE);
    match limits(&w.job, &book).last() {
        Some(Limit::Wall {
            depth,
            studs: Some(studs),
            plates: Some(plates),
            ..
        }) => {
            assert_eq!(inches(*depth * studs.bearing.value), 2.2);
            assert_eq!(inches(*depth * studs.partition.value), 3.3);
            assert_eq!(inches(*depth * plates.part.value), 2.75);
        }
        other => panic!("{other:?}"),
    }
    // Of what is no sawn size only the maker says anything; the other books say nothing of plates.
    let made = HOUSE.replace("joists = \"9 1/4in\"", "joists = \"11 7/8in\"");
    let w = worked("made", &made);
    assert!(matches!(
        limits(&w.job, &book).first(),
        Some(Limit::Maker(_))
    ));
    let upc = Book::builtin("upc-2021").expect("a book");
    let w = worked("upc", HOUSE);
    assert!(matches!(
        limits(&w.job, &upc).first(),
        Some(Limit::SawnUnsaid("2x10"))
    ));
    assert!(matches!(
        limits(&w.job, &upc).last(),
        Some(Limit::Wall {
            studs: None,
            plates: None,
            ..
        })
    ));
}

/// S1 cuts 3 3/4 in of plates that are 5 1/2 in wide, more than half: (5 1/2 − 3 3/4) / 2 = 7/8 in
/// stay on each side. In `up` it passes the top plate of the storey below and the sole plate.
#[test]
fn plates_by_hand() {
    let w = worked("house", HOUSE);
    let drops = list(&w);
    let s1 = hole(&drops, "up", "S1");
    let plates = s1.member.plates().expect("its wall is stated");
    assert!(plates.top && plates.sole);
    assert_eq!(inches(plates.beside(s1.bored.expect("known"))), 0.875);
    let say = stackfall::sheets::Say {
        print: stackfall::units::Printer { units: w.job.units },
        form: stackfall::sheets::Form::Terminal,
    };
    let tables = stackfall::drops::tables(&drops, &say);
    let all = format!("{tables:?}");
    assert!(all.contains("tie the top plate"), "{all}");
    assert!(all.contains("R602.6.1"), "{all}");
}

fn table(w: &Worked, name: &str) -> Vec<Vec<String>> {
    let say = stackfall::sheets::Say {
        print: stackfall::units::Printer { units: w.job.units },
        form: stackfall::sheets::Form::Terminal,
    };
    let tables = stackfall::drops::tables(&list(w), &say);
    let found = tables.into_iter().find(|t| t.name == name);
    found.map(|t| t.rows).unwrap_or_default()
}

/// S1 comes up in its wall at 0 east, 240 in north, turns aside 5 in below `up` (its joists hang from
/// 3/4 in to 10 in below it) and goes on 36 in east: from A (120 in west) and B (24 in north) the top
/// plate is bored at 120, 216 in, deck and sole plate at 156, 216 in. Ten inches and more below the
/// floor it turns aside under the joists: no plate is bored where it comes up.
#[test]
fn an_offset_between_joists_bores_two_plates_by_hand() {
    let at = |invert: &str| {
        HOUSE.replace(
            "wall = \"2x6\" }",
            &format!("wall = \"2x6\", offsets = [{{ floor = \"up\", invert = \"{invert}\", go = \"east 3'\", by = 90 }}] }}"),
        )
    };
    let w = worked("between", &at("-5in"));
    let drops = list(&w);
    let place = |tag: &str| {
        let from = drops.from_lines(hole(&drops, "up", tag)).expect("a place");
        (inches(from.0), inches(from.1))
    };
    let plates = |tag: &str| {
        let plates = hole(&drops, "up", tag).member.plates().cloned();
        plates.map(|p| (p.top, p.sole)).expect("a wall")
    };
    assert_eq!((place("S1"), plates("S1")), ((120.0, 216.0), (true, false)));
    assert_eq!(
        (place("S1-2"), plates("S1-2")),
        ((156.0, 216.0), (false, true))
    );
    // What goes on above has the number of its place; below it is the first.
    assert_eq!(
        inches(
            drops
                .from_lines(hole(&drops, "ground", "S1"))
                .expect("a place")
                .0
        ),
        120.0
    );
    let below = worked("below", &at("-12in"));
    let drops = list(&below);
    let s1: Vec<_> = drops
        .holes
        .iter()
        .filter(|h| h.tag.starts_with("S1") && drops.called(h.level) == "up")
        .collect();
    assert_eq!(s1.len(), 1, "{s1:?}");
    assert_eq!(
        s1[0].member.plates().map(|p| (p.top, p.sole)),
        Some((false, true))
    );
}

/// On a waste stack each sink joins by itself, with no drop: its arm leaves above its floor, so it
/// meets the stack above the floor, and the floor is passed by the stack, not by its vent.
#[test]
fn a_sink_on_a_waste_stack_joins_above_its_floor() {
    let w = worked("weir-house", &common::sample_text("weir-house"));
    let drops = list(&w);
    assert_eq!(hole(&drops, "second", "S2").what, "stack");
    let vents: Vec<_> = drops.holes.iter().filter(|h| h.tag == "S2.vent").collect();
    assert_eq!(vents.len(), 1, "{vents:?}");
    assert_eq!(vents[0].level, Level::Roof);
}

/// No yes where nobody has looked: of neither floor nor roof is anything stated that says where joists
/// and rafters stand, and this book has no rule for plates.
#[test]
fn what_is_not_stated_is_no_yes() {
    let w = worked("weir-house", &common::sample_text("weir-house"));
    for row in table(&w, "holes") {
        let may = &row[row.len() - 1];
        assert!(!may.contains("yes"), "{row:?}");
        if row[0] == "first" {
            assert!(may.contains("joists not stated: look first"), "{row:?}");
        }
        if row[0] == "first" && row[1] == "S1" {
            assert!(may.contains("no rule in the code book, ask"), "{row:?}");
        }
    }
    let limits = table(&w, "limits");
    let plates = limits.iter().find(|r| r[0] == "2x8 plates");
    assert!(
        plates.is_some_and(|r| r[1].contains("no rule")),
        "{limits:?}"
    );
}

/// Of what is missing only what is missing is said: the arm has its length, not its side.
#[test]
fn one_of_two_is_missing() {
    let w = worked("linden-hof", &common::sample_text("linden-hof"));
    let drops = list(&w);
    let fd = hole(&drops, "cellar", "FD-1").at.clone();
    assert_eq!(
        fd,
        Err("which way the arm of FD-1 runs is not stated".to_owned())
    );
}

/// A branch 6 ft north under joists that run east goes across them: a bore each. 3 in pipe is 3.500
/// outside, its bores 3 3/4 in; in 2x10 joists 3.08 in is the most (R502.8.1). Its invert is 6 in
/// below the floor at S1: the pipe's middle 6 − 3.068/2 = 4.466 in below it, and 3/4 + 9 1/4 = 10 in
/// is the underside: 5.534 in over it.
#[test]
fn bores_across_joists_by_hand() {
    let text = HOUSE
        .replace(
            "\"lies between joists\", \"east 6'\"",
            "\"lies between joists\", \"north 6'\"",
        )
        .replace(
            "arm = \"1' 6\", side = \"north\"",
            "arm = \"1' 6\", side = \"east\"",
        );
    let w = worked("across", &text);
    let drops = list(&w);
    let [bore] = drops.bores.as_slice() else {
        panic!("one branch: {:?}", drops.bores)
    };
    assert_eq!(bore.pipe, "branch b up to WC-1");
    assert_eq!(drops.floors[bore.floor.0], "up");
    assert_eq!(bore.bored.map(inches), Some(3.75));
    assert_eq!(
        bore.middle.map(|m| (m.0.inches() * 1e3).round() / 1e3),
        Some(5.534)
    );
    match bore.verdict {
        stackfall::drops::Verdict::TooLarge(most) => assert_eq!(inches(most), 3.0833),
        other => panic!("{other:?}"),
    }
}

/// What nobody gives a length has no place, and it is said what is missing.
#[test]
fn nothing_is_guessed() {
    let text = HOUSE
        .replace("run = [\"lies between joists\", \"east 6'\"], ", "")
        .replace("station = \"6'\", ", "");
    let drops = list(&worked("open", &text));
    let wc = hole(&drops, "up", "WC-1");
    assert!(
        wc.at
            .as_ref()
            .is_err_and(|e| e.contains("length and way of the branch b up to WC-1")),
        "{wc:?}"
    );
    assert!(wc.meets.is_none());
    assert!(hole(&drops, "up", "S1").at.is_ok());
}

fn random(seed: &[u32]) -> Option<Worked> {
    let mut dice = Dice(seed.to_vec(), 0);
    let open = Open {
        hung: 20,
        length: 15,
        rise: 20,
    };
    let text = match seed.first().copied().unwrap_or_default() % 3 {
        0 => sketch(&mut dice).text(),
        _ => measured(&mut dice, open).text(),
    };
    let done = complete("random", &text).ok()?;
    (!done.is_faulty()).then(|| done.worked())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    /// Counted apart from how the holes are found: by inverts where they are known, by terminals
    /// at the roof, and by floor for fixtures that stand on their drain.
    #[test]
    fn no_hole_is_lost(seed in prop::collection::vec(any::<u32>(), 4..12)) {
        let Some(w) = random(&seed) else { return Ok(()) };
        let drops = list(&w);
        let unknown = |id: &str| drops.unknown.iter().any(|u| u.pipe == id);
        for ix in w.net.graph.edge_indices() {
            let piece = &w.net.graph[ix];
            let run = &w.net.runs[piece.run.0];
            if piece.system != System::Waste || run.state == State::Existing {
                continue;
            }
            let Some(level) = w.solution.levels.pieces.get(&ix) else { continue };
            for (leg, ends) in piece.legs.iter().zip(inverts(piece, level)) {
                let (Some((low, high)), true) = (ends, leg_is_vertical(leg)) else { continue };
                for (f, floor) in w.job.floors.iter().enumerate() {
                    let margin = Length::from_mm(1.0);
                    let passes = floor.level > low + margin && floor.level < high - margin;
                    if !passes || floor.part_of.is_some() {
                        continue;
                    }
                    let held = drops.holes.iter().any(|h| {
                        let same = h.piece == ix || w.net.graph[h.piece].run == piece.run;
                        let level = match h.level {
                            Level::Floor(g) => w.job.floors[g.0].level.same(floor.level),
                            Level::Roof => false,
                        };
                        same && level
                    });
                    prop_assert!(
                        held || unknown(&piece.id) || unknown(&run.id),
                        "{} passes {f} and is no hole", piece.id
                    );
                }
            }
        }
        let terminals = w.net.graph.node_indices().filter(|j| {
            let up = matches!(w.net.graph[*j].kind, JointKind::Terminal(_));
            let mut pipes = w.net.graph.edges_directed(*j, petgraph::Direction::Incoming);
            up && pipes.any(|e| w.net.runs[e.weight().run.0].state != State::Existing)
        });
        let through = drops.holes.iter().filter(|h| h.level == Level::Roof).count();
        prop_assert!(through + drops.unknown.len() >= terminals.count());
    }

    /// The least move clears a joist; a hair less does not, nor does one the other way.
    #[test]
    fn the_least_move_clears_the_joist(
        seed in prop::collection::vec(any::<u32>(), 4..12),
        first in 0i32..400,
        spacing in 250i32..620,
        east in any::<bool>(),
    ) {
        let Some(mut w) = random(&seed) else { return Ok(()) };
        for floor in &mut w.job.floors {
            floor.slab = None;
            floor.joists = Some(Length::from_inches(9.25));
            floor.joists_run = Some(if east { Heading::East } else { Heading::North });
            floor.spacing = Some(Length::from_mm(f64::from(spacing)));
            floor.first_joist = Some(Length::from_mm(f64::from(-first) * 50.0));
        }
        let drops = list(&w);
        for hole in &drops.holes {
            let (Some(joists), Ok(at), Some(bored)) = (&hole.joists, &hole.at, hole.bored) else {
                continue;
            };
            let Some(Meets::Joist { least, other, fits, .. }) = &hole.meets else { continue };
            prop_assert!(least.0 <= other.0);
            let moved = |(by, way): (Length, Heading)| {
                let (e, n) = way.east_north();
                (at.0 + by * e, at.1 + by * n)
            };
            let meets = |at| matches!(joists.meets(at, bored), Meets::Joist { .. });
            if *fits {
                prop_assert!(!meets(moved(*least)), "{hole:?}");
                prop_assert!(!meets(moved(*other)), "{hole:?}");
            }
            let hair = Length::from_mm(0.01);
            prop_assert!(meets(moved((least.0 - hair, least.1))), "{hole:?}");
            prop_assert!(meets(moved((other.0 - hair, other.1))), "{hole:?}");
        }
    }
}

/// The properties are not empty: random jobs have holes with places, and joists under some of them.
#[test]
fn random_jobs_have_holes() {
    let (mut placed, mut all, mut roofs) = (0, 0, 0);
    for n in 0..60u32 {
        let seed = [
            n,
            n.wrapping_mul(2_654_435_761),
            n ^ 0x5555,
            n.wrapping_add(77),
        ];
        let Some(w) = random(&seed) else { continue };
        let drops = list(&w);
        all += drops.holes.len();
        placed += drops.holes.iter().filter(|h| h.at.is_ok()).count();
        roofs += drops
            .holes
            .iter()
            .filter(|h| h.level == Level::Roof)
            .count();
    }
    assert!(
        all > 300 && placed > 60 && roofs > 30,
        "{all} {placed} {roofs}"
    );
}
