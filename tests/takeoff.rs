//! The list of material against cases that were worked by hand, the arithmetic beside each.

mod common;

use common::{Worked, worked};
use stackfall::catalogue::Joined;
use stackfall::network::System;
use stackfall::solve::Work;
use stackfall::takeoff::{FittingLine, Phase, Takeoff, takeoff};
use stackfall::units::{Length, PipeSize};

fn list(w: &Worked) -> Takeoff {
    takeoff(&Work {
        job: &w.job,
        net: &w.net,
        book: &w.book,
        solution: &w.solution,
    })
}

fn size(inches: f64) -> PipeSize {
    PipeSize::from_inches(inches).expect("a size")
}

/// The job that is worked by hand, with a tenth added for waste.
fn hand() -> String {
    common::HAND.replace("[floors]", "[takeoff]\nwaste = 10\n\n[floors]")
}

/// Pipe, worked by hand:
/// - 4 in, underground: 12 + 8 + 2 = 22 ft; 22 × 1.10 = 24.2 ft; ⌈24.2 / 10⌉ = 3 lengths.
/// - 3 in, underground with the drain that it joins: 3 + 2 = 5 ft; 5.5 ft; 1 length.
/// - 1 1/2 in: the lavatory's drop goes 1 ft level below the slab and 5 ft up. The main's invert there
///   is −48 + 20 × 1/8 = −45.5 in, its middle half a bore of 4.026 in higher, −43.487 in; 1 ft at 1/4 in
///   leaves 43.237 in up to the finished floor at 0. So 12 + 43.237 in = 4.603 ft are stubbed up
///   underground, 5.063 ft with offcuts, 1 length; the rest, 1.397 ft, and the arm's 2 ft are drains:
///   3.397 ft, 3.736 ft, 1 length.
/// - 1 1/2 in, vents: the arm's invert leaves the drop at 1.330 ft, its middle half a bore of 1.610 in
///   (ASTM D1785) higher, at 1.397 ft; from there to 6 in over the roof at 12 ft: 11.103 ft; 12.213 ft;
///   2 lengths. All of it: 19.103 × 1.10 = 21.013 ft; cut from lengths of 10 ft: one whole of the vent's
///   12.213; 5.063 + 2.213 + 2.2 = 9.476 from the next; 1.537 from the third: 3 lengths.
#[test]
fn pipe_by_hand() {
    let list = list(&worked("hand", &hand()));
    let line = |phase: Option<Phase>, inches: f64| {
        let found = list
            .pipes
            .iter()
            .find(|l| l.phase == phase && l.size == size(inches));
        let l = found.unwrap_or_else(|| panic!("no line of {inches} in {phase:?}"));
        (l.pieces, l.net.feet(), l.gross.feet(), l.lengths)
    };
    let near = |got: (usize, f64, f64, u64), pieces: usize, net: f64, gross: f64, lengths: u64| {
        assert_eq!((got.0, got.3), (pieces, lengths), "{got:?}");
        assert!(
            (got.1 - net).abs() < 0.005 && (got.2 - gross).abs() < 0.01,
            "{got:?}"
        );
    };
    near(line(Some(Phase::Underground), 4.0), 3, 22.0, 24.2, 3);
    near(line(Some(Phase::Underground), 3.0), 2, 5.0, 5.5, 1);
    near(line(Some(Phase::Underground), 1.5), 1, 4.603, 5.063, 1);
    near(line(Some(Phase::Drains), 1.5), 2, 3.397, 3.736, 1);
    near(line(Some(Phase::Vents), 1.5), 1, 11.103, 12.213, 2);
    near(line(None, 1.5), 4, 19.103, 21.013, 3);
    assert!(list.uncounted.is_empty(), "{:?}", list.uncounted);
}

/// Fittings: where each of the two fixtures joins the drain a combination; a cap on its end; the
/// closet's bend and flange; the lavatory's trap, the bend at the foot of its drop, and the tee
/// from which arm, drop and vent leave; one flashing on the roof; the two-way cleanout at the exit,
/// which IRC P3005.2 asks for, with its plug. Nothing else.
#[test]
fn fittings_by_hand() {
    let list = list(&worked("hand", &hand()));
    let said: Vec<(String, Vec<f64>, usize)> = list
        .fittings
        .iter()
        .map(|l| {
            let sizes = l.sizes.iter().map(|s| s.inches()).collect();
            (l.name.clone(), sizes, l.count)
        })
        .collect();
    let combination = "combination wye and eighth bend";
    let want = [
        ("cap", vec![4.0], 1),
        ("cleanout adapter with plug", vec![4.0], 1),
        ("two-way cleanout tee", vec![4.0, 4.0, 4.0], 1),
        ("closet bend", vec![3.0], 1),
        ("closet flange", vec![3.0], 1),
        (combination, vec![4.0, 4.0, 1.5], 1),
        (combination, vec![4.0, 4.0, 3.0], 1),
        ("P-trap", vec![1.5], 1),
        ("long sweep quarter bend", vec![1.5], 1),
        ("sanitary tee", vec![1.5, 1.5, 1.5], 1),
        ("terminal flashing", vec![1.5], 1),
    ];
    let want = want.map(|(name, sizes, count)| (name.to_owned(), sizes, count));
    for line in &want {
        assert!(said.contains(line), "{line:?} is not in {said:#?}");
    }
    assert_eq!(said.len(), want.len(), "{said:#?}");
}

/// Hangers and joints, worked by hand. PVC is hung every 4 ft level and every 10 ft upright
/// (IRC Table P2605.1, from memory, in the book):
/// - level 1 1/2 in above ground: the arm's 2 ft takes 1; the drop's foot of level pipe is buried;
/// - upright 1 1/2 in: the drop's 1.4 ft over the floor take 1, the vent's 11.10 ft take 2;
/// - pipe below ground takes none.
///
/// Joints at fittings: 4 in: cleanout and wye, wye and wye, wye and cap: 2 + 2 + 2 = 6, and the plug's
/// adapter in the cleanout: 7; what goes on from the cleanout at the exit others lay; the 12 ft piece
/// takes one coupling between two lengths of 10 ft. 3 in: wye to bend, arm's two ends at the bend's
/// flange: nothing but pipe goes on between drop and arm: 1 + 1 = 2, and the flange on its bend: 3.
/// 1 1/2 in: drop 2, its bend 2, arm 2, vent 1 at the tee and none at its open end: 7; the vent takes a
/// coupling, and the drop one over its stub.
#[test]
fn hangers_and_joints_by_hand() {
    let list = list(&worked("hand", &hand()));
    let [line] = list.supports.as_slice() else {
        panic!("one size above ground: {:?}", list.supports);
    };
    assert_eq!(
        (line.size, line.level.count, line.upright.count),
        (size(1.5), 1, 3)
    );
    assert!(line.level.length.same(Length::from_feet(2.0)));
    let apart = line.level.apart.as_ref().expect("a distance");
    assert!(apart.value.same(Length::from_feet(4.0)));
    let joints = |inches: f64| {
        let line = list.joining.iter().find(|l| l.size == size(inches));
        line.map(|l| (l.by, l.at_fittings, l.between))
    };
    assert_eq!(joints(4.0), Some((Joined::Cement, 7, 1)));
    assert_eq!(joints(3.0), Some((Joined::Cement, 3, 0)));
    assert_eq!(joints(1.5), Some((Joined::Cement, 7, 2)));
}

/// What the job states of the way pipe is bought, and of its material, changes the list.
#[test]
fn as_the_job_states() {
    let text = hand()
        .replace("waste = 10", "stock_length = \"20'\"")
        .replace(
            "stock = ",
            "material = { above = \"cast iron\", vents = \"copper\" }\nstock = ",
        );
    let list = list(&worked("hand", &text));
    assert_eq!((list.waste, list.stock.source), (None, None));
    let lengths = |inches: f64, phase| {
        let line = |l: &&stackfall::takeoff::PipeLine| l.size == size(inches) && l.phase == phase;
        list.pipes
            .iter()
            .find(line)
            .map(|l| (l.material.as_str(), l.lengths))
    };
    assert_eq!(
        lengths(4.0, Some(Phase::Underground)),
        Some(("PVC DWV", 2)),
        "⌈22 / 20⌉"
    );
    assert_eq!(lengths(1.5, Some(Phase::Drains)), Some(("cast iron", 1)));
    let by = |material: &str| {
        list.joining
            .iter()
            .find(|l| l.material == material)
            .map(|l| l.by)
    };
    assert_eq!(by("cast iron"), Some(Joined::Coupling));
    assert_eq!(by("copper"), Some(Joined::Solder));
    // Cast iron is hung every 5 ft (the same table).
    let iron = list
        .supports
        .iter()
        .find(|l| l.material == "cast iron")
        .expect("a line");
    assert!(
        iron.level
            .apart
            .as_ref()
            .is_some_and(|f| f.value.same(Length::from_feet(5.0)))
    );
}

/// What has no length is listed, not guessed; what exists, and the sewer outside, is not bought.
#[test]
fn what_is_left_out() {
    let unknown = list(&worked("hand", &hand().replace(", arm = \"2'\"", "")));
    let named: Vec<&str> = unknown.uncounted.iter().map(|u| u.pipe.as_str()).collect();
    assert!(
        named.contains(&"WC-1.arm") && named.contains(&"LAV-1.arm"),
        "{named:?}"
    );
    let old = hand()
        .replace("size = 4 }", "size = 4, existing = true }")
        .replace(
            "heading = \"south\"",
            "heading = \"south\"\nsewer = { length = \"38'\", size = 4 }",
        );
    let old = list(&worked("hand", &old));
    let four = old.pipes.iter().filter(|l| l.size == size(4.0));
    assert_eq!(four.count(), 0, "{:?}", old.pipes);
    let wye = |l: &&FittingLine| l.name.starts_with("combination");
    assert_eq!(
        old.fittings.iter().filter(wye).count(),
        2,
        "new branches in an old drain"
    );
}

/// Over all samples and every size: what the phases hold makes up the totals.
#[test]
fn phases_make_up_the_totals() {
    for name in common::SAMPLES {
        let list = list(&worked(name, &common::sample_text(name)));
        let (parts, totals): (Vec<_>, Vec<_>) = list.pipes.iter().partition(|l| l.phase.is_some());
        // A job that states no length has nothing to count.
        assert_eq!(totals.is_empty(), name == "garden-cottage", "{name}");
        for total in totals {
            let mine = parts
                .iter()
                .filter(|l| l.size == total.size && l.material == total.material);
            let (net, pieces, lengths) = mine.fold((0.0, 0, 0), |(n, p, l), line| {
                (n + line.net.mm(), p + line.pieces, l + line.lengths)
            });
            assert!((net - total.net.mm()).abs() < 1e-6, "{name}");
            assert_eq!(pieces, total.pieces, "{name}");
            assert!(total.lengths <= lengths, "{name}: together is never more");
        }
    }
}

/// Holes of the job that is worked by hand: the closet and the drop of the lavatory go through the
/// slab, the vent of the lavatory through the roof. No wall is stated, so whether the roof's hole is
/// shielded is not known; slabs need no shield.
#[test]
fn holes_by_hand() {
    let list = list(&worked("hand", &hand()));
    let line = |inches: f64| {
        let found = list
            .penetrations
            .iter()
            .find(|l| l.size == Some(size(inches)));
        let l = found.unwrap_or_else(|| panic!("no line of {inches}: {:?}", list.penetrations));
        (l.floors, l.slabs, l.roofs, l.shields, l.unshielded)
    };
    assert_eq!(line(3.0), (0, 1, 0, 0, 0));
    assert_eq!(line(1.5), (0, 1, 1, 0, 1));
    let (nearer, section) = list.shielded.expect("the book has a limit");
    assert!((nearer.inches() - 1.25).abs() < 1e-9);
    assert_eq!(section, "P2603.2.1");
}

/// A 3 in stack in a wall of 2x6 leaves (5 1/2 - 3 3/4) / 2 = 7/8 in on each side of its hole, less
/// than 1 1/4 in: a plate on both faces of each wall plate. It goes through a floor (top and sole
/// plate, 4) and the top plate under the next (2), where its branch comes in; its vent of 1 1/2 in (hole 2 1/4: 1 5/8 in on each side) needs none.
#[test]
fn shields_by_hand() {
    let text = r#"
[job]
code = "irc-2021"
stock = [1.5, 2, 3, 4]
[floors]
ground = { level = "0", slab = "4in" }
up = { level = "9'", deck = "3/4in", joists = "9 1/4in" }
top = { level = "18'", deck = "3/4in", joists = "9 1/4in" }
roof = { level = "27'" }
[exit]
invert = "-4'"
heading = "south"
[drains]
main = { into = "exit", run = ["lies under slab", "north 22'"], size = 4 }
b = { into = "S1", floor = "top", invert = "-6in", run = ["lies between joists", "east 6'"], size = 3 }
[stacks]
S1 = { into = "main", station = "20'", size = 3, wall = "2x6" }
[fixtures]
WC-1 = { kind = "water closet", floor = "top", into = "b", station = "6'", arm = "1' 6", side = "north" }
"#;
    let list = list(&worked("shields", text));
    let three = list.penetrations.iter().find(|l| l.size == Some(size(3.0)));
    let three = three.expect("3 in");
    // The closet stands over its hole: there is no wall beside it.
    assert_eq!(
        (three.shields, three.unshielded),
        (6, 0),
        "{:?}",
        list.penetrations
    );
    let shields: usize = list.penetrations.iter().map(|l| l.shields).sum();
    let larger: usize = list
        .penetrations
        .iter()
        .filter(|l| l.size > Some(size(2.0)))
        .map(|l| l.shields)
        .sum();
    assert_eq!(shields, larger, "{:?}", list.penetrations);
}

fn count_of(list: &Takeoff, name: &str, sizes: &[f64]) -> usize {
    let lines = list.fittings.iter().filter(|l| l.name == name);
    let lines = lines.filter(|l| l.sizes.iter().map(|s| s.inches()).eq(sizes.iter().copied()));
    lines.map(|l| l.count).sum()
}

/// Every new cleanout is bought with what closes it, wherever it stands: at the exit and at a
/// stack's base, where another fitting stands too, as in line. By cleanouts of the network: so many
/// adapters or tees with a plug.
#[test]
fn every_cleanout_is_bought() {
    for name in common::SAMPLES {
        let w = worked(name, &common::sample_text(name));
        let list = list(&w);
        let plugs = list
            .fittings
            .iter()
            .filter(|l| l.name.ends_with("with plug"));
        let plugs: usize = plugs.map(|l| l.count).sum();
        let new = w.net.cleanouts.iter();
        let new = new.filter(|c| c.state != stackfall::network::State::Existing);
        assert_eq!(plugs, new.count(), "{name}: {:#?}", list.fittings);
    }
    // One two-way cleanout of 4 in at the exit, none else.
    let weir = worked("weir-house", &common::sample_text("weir-house"));
    let list = list(&weir);
    assert_eq!(count_of(&list, "two-way cleanout tee", &[4.0, 4.0, 4.0]), 1);
    assert_eq!(count_of(&list, "cleanout adapter with plug", &[4.0]), 1);
}

/// A trap is bought in its own size: a lavatory's of 1 1/2 in on an arm of 2 in, which is reduced to
/// it (IRC Table P3201.7: lavatory 1 1/4 in; stock begins with 1 1/2). The tee of 2 in is reduced once
/// more, to its vent of 1 1/2 in.
#[test]
fn traps_in_their_own_size() {
    let text = hand().replace(
        "side = \"east\", run = [\"east 1'\", \"up 5'\"], arm = \"2'\"",
        "side = \"east\", run = [\"east 1'\", \"up 5'\"], arm = \"2'\", size = 2, trap = 1.5",
    );
    let list = list(&worked("hand", &text));
    assert_eq!(count_of(&list, "P-trap", &[1.5]), 1, "{:#?}", list.fittings);
    assert_eq!(
        count_of(&list, "reducing bushing", &[2.0, 1.5]),
        2,
        "{:#?}",
        list.fittings
    );
}

/// The drains below ground end at the slab: what of the drain rises above it is laid, hung and
/// tested with the drains in the building. HAND with a rise of 8 ft at its end: the drain's middle there
/// is at −4 + 22/96 + 2.013/12 = −3.603 ft: 22 + 3.603 ft below the floor, 8 − 3.603 + 1 above.
#[test]
fn a_rise_above_the_slab_is_not_underground() {
    let text = common::HAND.replace(
        "\"north 22'\"]",
        "\"north 22'\", \"up 8'\", \"lies crawl space\", \"north 1'\"]",
    );
    let w = worked("hand", &text);
    let list = list(&w);
    let net = |phase: Phase| {
        let lines = list.pipes.iter();
        let lines = lines.filter(|l| l.phase == Some(phase) && l.size == size(4.0));
        lines.map(|l| l.net.feet()).sum::<f64>()
    };
    assert!(
        (net(Phase::Underground) - 25.603).abs() < 0.01,
        "{:#?}",
        list.pipes
    );
    let above = net(Phase::Drains);
    assert!((above - 5.397).abs() < 0.01, "{above}: {:#?}", list.pipes);
}

/// Level and upright pipe together are what the list has of pipe above ground, in each size.
#[test]
fn what_hangs_is_what_is_listed() {
    for name in common::SAMPLES {
        let list = list(&worked(name, &common::sample_text(name)));
        for line in &list.supports {
            let pipes = list.pipes.iter().filter(|l| {
                l.size == line.size
                    && l.material == line.material
                    && l.phase.is_some_and(|p| p != Phase::Underground)
            });
            let listed: Length = pipes.map(|l| l.net).sum();
            let hung = line.level.length + line.upright.length;
            let apart = (listed - hung).mm().abs();
            assert!(apart < 0.5, "{name} {:?}: {listed:?}, {hung:?}", line.size);
        }
    }
}

/// What the job marks as roughed in or tested is told apart: weir's main and cafe are tested. What was under
/// the same water is there as well, though it has no mark: the buried pipes and traps of FD-1 and FD-2, and
/// the stubs below the floor. What is only proposed is there where it is marked itself: not the stub of
/// cafe's vent, nor the cleanout at the exit.
#[test]
fn what_is_in_place() {
    let text = common::sample_text("weir-house");
    let list = list(&worked("weir-house", &text));
    let drains = list.pipes.iter().filter(|l| l.phase == Some(Phase::Drains));
    let drains: Length = drains.map(|l| l.in_place).sum();
    assert!(drains.same(Length::ZERO));
    let below = list
        .pipes
        .iter()
        .filter(|l| l.phase == Some(Phase::Underground));
    for line in below {
        let there = match line.system {
            Some(System::Vent) => Length::ZERO,
            _ => line.net,
        };
        assert!(line.in_place.same(there), "{line:?}");
    }
    let below = |l: &&FittingLine| l.phase == Phase::Underground;
    for line in list.fittings.iter().filter(below) {
        assert_eq!(line.in_place, line.count, "{line:?}");
    }
    // What is only roughed in says nothing of what joins it.
    let text = text.replace("is = \"tested\"", "is = \"roughed in\"");
    let roughed = self::list(&worked("weir-house", &text));
    let mut below = roughed.fittings.iter().filter(below);
    let traps = below.find(|l| l.name == "P-trap");
    assert_eq!(traps.map(|l| (l.count, l.in_place)), Some((2, 0)));
}

/// A riser that is longer than pipe comes is cut at the floor all the same: where neither part is longer,
/// the coupling over its stub is the only one. linden-hof's stack of DN 70: 3.291 m in lengths of
/// 3 m, 0.468 m below the floor and 2.823 m above. Its vent of 3.127 m takes another.
#[test]
fn a_riser_is_divided_once() {
    let list = list(&worked("linden-hof", &common::sample_text("linden-hof")));
    let mut joints = list.joining.iter();
    let line = joints
        .find(|l| l.size == PipeSize::from_dn(70).expect("a size"))
        .expect("DN 70");
    assert_eq!(line.between, 2, "{line:?}");
}

/// A stub is laid and bought as far as the floor, though nobody says how far its riser goes on above.
/// HAND without the run of its lavatory, which then drops straight onto the main, whose middle there is at
/// -43.487 in (see [`pipe_by_hand`]): 43.487 / 12 = 3.624 ft, and a coupling over it.
#[test]
fn a_stub_is_bought_though_its_riser_has_no_length() {
    let text = hand().replace("run = [\"east 1'\", \"up 5'\"], ", "");
    let list = list(&worked("hand", &text));
    let mut below = list.pipes.iter();
    let below = below.find(|l| l.phase == Some(Phase::Underground) && l.size == size(1.5));
    let below = below.expect("its stub");
    assert!((below.net.feet() - 3.624).abs() < 0.005, "{below:?}");
    assert_eq!((below.pieces, below.unknown), (1, 0));
    let joints = list.joining.iter().find(|l| l.size == size(1.5));
    assert_eq!(joints.map(|l| l.between), Some(1));
    // Above the floor it is still not counted, and so named.
    let named = list.uncounted.iter().map(|u| (u.pipe.as_str(), u.phase));
    let named: Vec<(&str, Phase)> = named.collect();
    let drop = ("LAV-1.drop", Phase::Drains);
    assert_eq!(named, [drop, ("LAV-1.vent", Phase::Vents)]);
}

/// Lengths to buy are of what is not in place. HAND with its drain roughed in: of the 22 ft of 4 in
/// nothing is left, 0 lengths; its 7 joints and its coupling are made. With the vent in place too,
/// of 19.17 ft of 1 1/2 in 11.17 are: 8.00 × 1.10 = 8.8 ft, 1 length instead of 3; of the clamps of
/// the upright pipe the vent's 2 of 3 are there, of the couplings its own.
#[test]
fn what_is_in_place_is_not_bought() {
    let text =
        |on: &str| hand() + &format!("\n[progress]\nR1 = {{ on = [{on}], is = \"roughed in\" }}\n");
    let with = |on: &str| list(&worked("hand", &text(on)));
    let total = |list: &Takeoff, inches: f64| {
        let lines = list.pipes.iter();
        let mut lines = lines.filter(|l| l.phase.is_none() && l.size == size(inches));
        let line = lines.next().expect("a total");
        (line.lengths, line.in_place.feet())
    };
    let joints = |list: &Takeoff, inches: f64| {
        let line = list.joining.iter().find(|l| l.size == size(inches));
        let line = line.expect("joints");
        (line.at_fittings, line.fitted, line.between, line.coupled)
    };
    let drain = with("\"main\"");
    assert_eq!(total(&drain, 4.0), (0, 22.0));
    assert_eq!(joints(&drain, 4.0), (7, 7, 1, 1));
    assert_eq!(joints(&drain, 3.0), (3, 0, 0, 0));
    let vent = with("\"main\", \"LAV-1.vent\"");
    let (lengths, in_place) = total(&vent, 1.5);
    assert_eq!(lengths, 1);
    assert!((in_place - 11.103).abs() < 0.005, "{in_place}");
    assert_eq!(joints(&vent, 1.5), (7, 1, 2, 1));
    let [line] = vent.supports.as_slice() else {
        panic!("one size above ground: {:?}", vent.supports);
    };
    assert_eq!((line.upright.count, line.upright.in_place), (3, 2));
    assert_eq!((line.level.count, line.level.in_place), (1, 0));
}

fn table(list: &Takeoff, name: &str) -> stackfall::sheets::Table {
    let tables = stackfall::takeoff::tables(list, &common::say());
    let found = tables.into_iter().find(|t| t.name == name);
    found.unwrap_or_else(|| panic!("no table {name}"))
}

/// What nobody knows is no figure. A job without lengths has no couplings to count, and of hangers
/// it says that no length is given, not that its book has no distances; of HAND without the arms
/// what is known is the least.
#[test]
fn unknown_is_no_figure() {
    let garden = list(&worked(
        "garden-cottage",
        &common::sample_text("garden-cottage"),
    ));
    let joints = table(&garden, "joints");
    // On a sheet a column without a figure is left out.
    assert!(!joints.head.iter().any(|h| h.starts_with("Couplings")));
    let said = stackfall::sheets::Say {
        form: stackfall::sheets::Form::Terminal,
        ..common::say()
    };
    let joints = stackfall::takeoff::tables(&garden, &said);
    let joints = joints.iter().find(|t| t.name == "joints").expect("joints");
    let last: Vec<&str> = joints
        .rows
        .iter()
        .filter_map(|r| r.last())
        .map(String::as_str)
        .collect();
    assert_eq!(last, ["—"; 3]);
    let notes = stackfall::takeoff::notes(&garden, &common::say());
    let hangers = notes.iter().find(|n| n.starts_with("Hangers"));
    let hangers = hangers.expect("a note");
    assert!(
        hangers.contains("no length of pipe above ground"),
        "{hangers}"
    );
    let unknown = list(&worked("hand", &hand().replace(", arm = \"2'\"", "")));
    let pipe = table(&unknown, "pipe");
    let known = |r: &&Vec<String>| r[0] == "all phases";
    let totals: Vec<&str> = pipe
        .rows
        .iter()
        .filter(known)
        .map(|r| r[r.len() - 1].as_str())
        .collect();
    // 1 1/2, 3 and 4 in: arms of the lavatory and the closet have no length.
    assert!(
        totals[0].starts_with("at least") && totals[1].starts_with("at least"),
        "{totals:?}"
    );
    assert_eq!(totals[2], "3");
}

/// What lies wholly under the slab is laid before it is poured, arm or riser. Weir's floor drains:
/// their risers of 2 ft and arms of 1 ft end at −1.7 ft, the slab's underside is at −5/12 = −0.42 ft:
/// 2 × 3 = 6 ft of 2 in, and their traps. The sinks' connections down to the combination drain, 2 in by
/// Table 915.2.2, are stubbed up from the middle of their drain (3.042 in wide) to the floor:
/// 3.710 − 0.127 = 3.583 ft and 3.658 − 0.127 = 3.531 ft.
#[test]
fn what_lies_under_the_slab_is_underground() {
    let list = list(&worked("weir-house", &common::sample_text("weir-house")));
    let two = list
        .pipes
        .iter()
        .filter(|l| l.phase == Some(Phase::Underground) && l.size == size(2.0));
    let two: Length = two.map(|l| l.net).sum();
    assert!((two.feet() - 13.114).abs() < 0.01, "{two:?}");
    let traps = |phase: Phase, inches: f64| {
        let lines = list.fittings.iter();
        let mut lines = lines.filter(|l| l.phase == phase && l.name == "P-trap");
        lines
            .find(|l| l.sizes == [size(inches)])
            .map_or(0, |l| l.count)
    };
    assert_eq!(traps(Phase::Underground, 2.0), 2);
    assert_eq!(traps(Phase::Drains, 2.0), 0);
    assert_eq!(traps(Phase::Underground, 1.5), 0);
}

/// The fittings of all phases together are what the phases hold, each once.
#[test]
fn fittings_together() {
    for name in common::SAMPLES {
        let list = list(&worked(name, &common::sample_text(name)));
        for total in &list.all_fittings {
            let mine = list.fittings.iter();
            let mine = mine.filter(|l| l.name == total.name && l.sizes == total.sizes);
            let count: usize = mine.map(|l| l.count).sum();
            assert_eq!(count, total.count, "{name}: {}", total.name);
        }
        let all: usize = list.fittings.iter().map(|l| l.count).sum();
        let together: usize = list.all_fittings.iter().map(|t| t.count).sum();
        assert_eq!(all, together, "{name}");
    }
}

/// What is never counted is said where the job has it, and nowhere else; what the book notes of
/// hangers beside their distances is told.
#[test]
fn what_is_never_counted() {
    use stackfall::takeoff::Never;
    let hand = list(&worked("hand", &hand()));
    assert_eq!(
        hand.never,
        [
            Never::CleanoutRisers,
            Never::ClosetRisers,
            Never::TrapAdapters,
            Never::SleevesAndCaps
        ]
    );
    assert!(hand.hanging.iter().any(|n| n.contains("mid-storey")));
    let alder = list(&worked("alder-court", &common::sample_text("alder-court")));
    for what in [
        Never::WasherStandpipes,
        Never::PrimerTubing,
        Never::DrainBodies,
    ] {
        assert!(alder.never.contains(&what), "{what:?}: {:?}", alder.never);
    }
}

/// Who buys or builds by a sheet alone is told first that the job has errors that stand: the draft
/// does not fit (L104), its cure says nothing of it.
#[test]
fn errors_that_stand_are_said_first() {
    use stackfall::pipeline::{Working, solve};
    for (name, errors) in [(common::DRAFT, true), ("ridge-walkout-cured", false)] {
        let path = common::sample_path(name);
        let solved = solve(std::path::Path::new(&path)).unwrap_or_else(|_| panic!("{path}"));
        for what in [
            Working::Takeoff,
            Working::Test,
            Working::Drops,
            Working::Profile,
        ] {
            let made = solved.working(what, None).expect("a paper");
            let items = made.set.sheets.iter().flat_map(|s| &s.items);
            let lines = items.flat_map(|i| i.texts.iter().map(|t| t.text.as_str()));
            let all = lines.collect::<Vec<_>>().join(" ");
            let said =
                all.contains("THE JOB HAS 1 ERROR THAT NOBODY WAIVED (L104): CURE IT BEFORE");
            assert_eq!(said, errors, "{name}, {what:?}");
        }
    }
}

/// A crawl space beside a slab lies below the slab's level and is no ground: HAND with its drain in
/// a crawl space, the closet's pipe at −3.8 ft under the level of a garage's slab at −1 ft.
#[test]
fn a_crawl_space_is_not_underground() {
    let text = hand()
        .replace(
            "ground = { level = \"0\", slab = \"4in\" }",
            "ground = { level = \"0\", joists = \"9 1/4in\" }\ngarage = { level = \"-1'\", slab = \"4in\" }",
        )
        .replace("lies under slab", "lies crawl space")
        .replace("kind = \"water closet\"", "kind = \"water closet\", floor = \"ground\"")
        .replace("kind = \"lavatory\"", "kind = \"lavatory\", floor = \"ground\"");
    let list = list(&worked("hand", &text));
    let below = list
        .pipes
        .iter()
        .filter(|l| l.phase == Some(Phase::Underground));
    assert_eq!(below.count(), 0, "{:#?}", list.pipes);
    assert!(!list.pipes.is_empty());
}

/// What is set into the branch of another fitting is bought in the branch's own size. Under EN a drain
/// joins another through a branch of 45 degrees and a bend of 45 degrees in it: linden's three of them below
/// ground, DN 100 × 100 × 100 (S1), DN 80 × 80 × 70 (S2) and DN 70 × 70 × 50 (CW-1), take one bend each of
/// DN 100, 70 and 50; those in the building, three of DN 50 and three of DN 100, as many.
#[test]
fn bends_in_branches_have_the_branch_size() {
    let list = list(&worked("linden-hof", &common::sample_text("linden-hof")));
    let below = |dn: u16| {
        let lines = list.fittings.iter();
        let lines = lines.filter(|l| l.phase == Phase::Underground && l.name == "bend 45°");
        let lines = lines.filter(|l| matches!(l.sizes.as_slice(), [s] if s.dn() == dn));
        lines.map(|l| l.count).sum::<usize>()
    };
    assert_eq!([below(100), below(80), below(70), below(50)], [1, 0, 1, 1]);
    let bends = list.fittings.iter().filter(|l| l.name.starts_with("bend"));
    for line in bends {
        assert_eq!(line.sizes.len(), 1, "{line:?}");
    }
}
