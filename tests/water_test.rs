//! The plan of the rough-in test against a case that was worked by hand, the arithmetic beside
//! each figure.

mod common;

use common::{HAND, Worked, sample_text, worked};
use stackfall::solve::Work;
use stackfall::units::{Length, Pressure};
use stackfall::water_test::{Air, Closing, WaterTest, water_test};

fn plan(w: &Worked) -> WaterTest {
    let work = Work {
        job: &w.job,
        net: &w.net,
        book: &w.book,
        solution: &w.solution,
    };
    water_test(&work).expect("the book has a test")
}

fn near(got: f64, want: f64, what: &str) {
    assert!(
        (got - want).abs() < 0.006 * want.abs().max(1.0),
        "{what}: {got}, by hand {want}"
    );
}

/// Underground, bores of the catalogue (ASTM D1785: 4.026, 3.068, 1.610 in):
/// - the highest openings are the caps at the floor, 0 ft (the highest pipe, the drain's dead end, lies
///   at −3.435 ft); water 5 ft over them (P2503.5.1) at 5 ft;
/// - head at the exit 5 + 4 = 9 ft, × 0.433 = 3.90 psi;
/// - 22 ft of 4 in: π/4 · (4.026/12)² · 22 = 1.945 ft³; 5 ft of 3 in: 0.257 ft³; 2.202 ft³ of
///   7.4805 gal = 16.47 gal;
/// - the standpipe stands on the lavatory's stub, which leaves the drain 20 ft up, centre on centre:
///   −4 + 20/96 + (4.026 − 1.610)/2/12 = −3.691 ft: it rises 5 + 3.691 = 8.691 ft, and
///   holds, with the 1 ft of level pipe at its foot, π/4 · (1.61/12)² · 9.691 = 0.1370 ft³ = 1.025 gal: 17.50 gal.
#[test]
fn below_ground_by_hand() {
    let plan = plan(&worked("hand", HAND));
    let part = &plan.sections[0];
    assert_eq!(part.lowest.as_ref().map(|l| l.0.as_str()), Some("exit"));
    near(part.highest.expect("known").feet(), 0.0, "highest");
    near(part.water.expect("known").feet(), 5.0, "water");
    near(part.standpipe.expect("needed").feet(), 5.0, "standpipe");
    let head = part.head().expect("known");
    near(head.feet(), 9.0, "head");
    near(Pressure::of_water(head).psi(), 3.90, "pressure");
    let [pipe] = part.standpipes.as_slice() else {
        panic!("one standpipe: {:?}", part.standpipes);
    };
    near(
        pipe.rises.expect("known").feet(),
        8.691,
        "standpipe from its drain",
    );
    near(
        pipe.holds.expect("known").gallons(),
        1.025,
        "standpipe's water",
    );
    near(part.volume.gallons(), 17.50, "volume");
    assert_eq!(part.uncounted.len(), 0);
}

/// The whole: the terminal ends 6 in over the roof (P3103.1.1), at 12.5 ft; head at the exit
/// 16.5 ft, 7.14 psi. To the 2.202 ft³ come 8 ft of 1 1/2 in drain and 11.17 ft of vent, each
/// π/4 · (1.61/12)² = 0.014138 ft² wide: 0.271 ft³; 2.473 ft³ = 18.50 gal.
#[test]
fn the_whole_by_hand() {
    let plan = plan(&worked("hand", HAND));
    near(
        plan.fill.as_ref().expect("a roof").level.feet(),
        12.5,
        "fill",
    );
    let whole = &plan.sections[1];
    near(whole.head().expect("known").feet(), 16.5, "head");
    near(
        Pressure::of_water(whole.head().expect("known")).psi(),
        7.1445,
        "pressure",
    );
    near(whole.volume.gallons(), 18.50, "volume");
    assert_eq!((whole.standpipe, whole.uncounted.len()), (None, 0));
    assert_eq!(plan.lifts.len(), 1);
    let closed = |with: Closing| plan.closures.iter().find(|c| c.with == with);
    // 12.5 + 4; 12.5 + 3.783, the closet's arm at its upper end; 12.5 − 1.372, the lavatory's.
    let head = |with| closed(with).and_then(|c| c.head).expect("known").feet();
    near(head(Closing::ExitPlug), 16.5, "exit plug");
    near(head(Closing::ClosetCap), 16.283, "closet cap");
    near(head(Closing::ArmCap), 11.128, "arm cap");
}

/// Plugs that bear 13 ft: from the exit the water stands at −4 + 13 = 9 ft; the next plug must lie
/// 5 ft under it, on the ground floor at 0, and holds 12.5 ft. Plugs that bear 12 ft: 8 ft, ground
/// floor, 12 ft: half a foot short, and no floor above; 12.5 ft is the least that will do.
#[test]
fn lifts_by_hand() {
    let rated = |feet: &str| {
        let text = HAND.replace(
            "[floors]",
            &format!("[test]\nplug_rating = \"{feet}'\"\n[floors]"),
        );
        plan(&worked("hand", &text))
    };
    let two = rated("13");
    let heads: Vec<f64> = two.lifts.iter().map(|l| l.head().feet()).collect();
    assert_eq!(heads.len(), 2, "{heads:?}");
    near(heads[0], 13.0, "first lift");
    near(heads[1], 12.5, "second lift");
    assert_eq!(two.lifts[1].plug_at, "ground");
    assert!(
        two.closures
            .iter()
            .all(|c| c.head.is_none_or(|h| h <= Length::from_feet(13.01)))
    );
    let none = rated("12");
    assert!(none.lifts.is_empty());
    near(
        none.least_rating.expect("known").feet(),
        12.5,
        "least rating",
    );
    assert_eq!(rated("40").lifts.len(), 1);
}

/// An air test is refused on plastic pipe, with the section; on metal it is printed.
#[test]
fn air_only_where_it_may_be() {
    let Air::Refused { plastic, rule } = plan(&worked("hand", HAND)).air else {
        panic!("PVC is plastic");
    };
    assert_eq!(
        (plastic.as_slice(), rule.cite()),
        (&["PVC DWV".to_owned()][..], "P2503.5.1")
    );
    let metal = "stock = [1.5, 2, 3, 4]\nmaterial = { below = \"cast iron\", above = \"copper\", vents = \"copper\" }";
    let text = HAND.replace("stock = [1.5, 2, 3, 4]", metal);
    let Air::Allowed { test, unknown } = plan(&worked("hand", &text)).air else {
        panic!("metal may be tested with air");
    };
    assert_eq!((test.pressure.value.psi(), test.held.value), (5.0, 15));
    assert_eq!((test.settles, test.drop), (None, None));
    assert!(unknown.is_empty());
}

/// Without the roof's level nothing is said of the whole; what is not known is counted.
#[test]
fn what_is_not_known() {
    let plan = plan(&worked(
        "hand",
        &HAND.replace("roof = { level = \"12'\" }\n", ""),
    ));
    assert_eq!(plan.fill, None);
    assert!(plan.lifts.is_empty());
    let whole = &plan.sections[1];
    assert_eq!((whole.water, whole.head()), (None, None));
    assert!(!whole.uncounted.is_empty(), "the vent has no length");
}

/// Lifts of any building: each stands under no more than its plugs bear, overlaps the next by the
/// head that the book asks for, and the last reaches the top.
#[test]
fn lifts_leave_no_joint_untested() {
    let mut several = 0;
    for name in common::SAMPLES {
        for rating in [15.0, 20.0, 25.0, 30.0] {
            let mut w = worked(name, &common::sample_text(name));
            w.job.test.plug_rating = Some(Length::from_feet(rating));
            let work = Work {
                job: &w.job,
                net: &w.net,
                book: &w.book,
                solution: &w.solution,
            };
            let Some(plan) = water_test(&work) else {
                continue;
            };
            let Some(last) = plan.lifts.last() else {
                continue;
            };
            several += usize::from(plan.lifts.len() > 1);
            let head = plan.rules.water.head.value;
            for pair in plan.lifts.windows(2) {
                let lap = pair[0].top - pair[1].bottom;
                assert!(lap >= head || lap.same(head), "{name} {rating}: {lap:?}");
            }
            let bears = Length::from_feet(rating);
            assert!(
                plan.lifts
                    .iter()
                    .all(|l| l.head() <= bears || l.head().same(bears))
            );
            assert!(
                plan.fill.is_some_and(|f| f.level.same(last.top)),
                "{name} {rating}"
            );
        }
    }
    assert!(several > 3, "{several} tests by lifts");
}

/// The drains below ground by themselves, HAND: its exit is plugged, the closet's bend capped, the
/// dead end has its own cap; the two-way cleanout stands outside, and the plug is set through it; the lavatory's drop rises from it in 1 1/2 in, and as the only stub it
/// carries the standpipe. Water stands at 5 ft: 9 ft over the exit, 5 + 3.783 = 8.783 ft over the
/// closet's arm.
#[test]
fn closed_below_ground_by_hand() {
    let plan = plan(&worked("hand", HAND));
    let said: Vec<(Closing, f64, Vec<String>)> = plan
        .below
        .iter()
        .map(|c| (c.with, c.size.inches(), c.of.clone()))
        .collect();
    let of = |name: &str| vec![name.to_owned()];
    assert_eq!(
        said,
        [
            (
                Closing::ExitPlug,
                4.0,
                of("exit, through main.co, set on the building's side of it")
            ),
            (Closing::Standpipe, 1.5, of("LAV-1")),
            (Closing::ClosetCap, 3.0, of("WC-1")),
        ]
    );
    near(plan.below[0].head.expect("known").feet(), 9.0, "exit plug");
    near(
        plan.below[2].head.expect("known").feet(),
        8.783,
        "closet cap",
    );
    let [standpipe] = plan.sections[0].standpipes.as_slice() else {
        panic!("one standpipe: {:?}", plan.sections[0].standpipes);
    };
    assert_eq!(
        (standpipe.on.as_str(), standpipe.size.inches()),
        ("LAV-1", 1.5)
    );
}

/// What is stubbed up and capped at the floor is full too, and its cap stands under the water over the
/// floor, not over the drain. mill-house, water 5 ft over its floor at 0: 1.524 m, 14.9 kPa, over each cap of its
/// sinks and basin. Their stubs rise from the middle of their drains: −0.679 + 0.026 = −0.653 m (KS-1),
/// −0.715 + 0.039 = −0.676 (LT-1, of DN 80), −0.581 + 0.026 = −0.555 (LAV-1): 1.884 m in all, with a bore of
/// 52.5 mm (ASTM D1785) 2.165 L/m: 4.08 L. The pipes below ground and the standpipe, whose own stub is in it,
/// hold 94.2 L: 98.3 L.
#[test]
fn stubs_are_full_to_their_caps() {
    let plan = plan(&worked("mill-house", &sample_text("mill-house")));
    let caps = plan.below.iter().find(|c| c.with == Closing::Stub);
    let caps = caps.expect("stubs are capped");
    near(caps.head.expect("known").mm(), 1524.0, "head on a cap");
    assert_eq!(caps.lowest, Some(Length::ZERO));
    near(plan.sections[0].volume.litres(), 98.3, "volume");
}

/// A job whose drains have no levels says so: nothing is the lowest, no head, no water.
#[test]
fn nothing_known_is_said_to_be_nothing() {
    let plan = plan(&worked(
        "garden-cottage",
        &common::sample_text("garden-cottage"),
    ));
    assert!(plan.sections.iter().all(|s| s.lowest.is_none()));
    assert!(plan.lifts.is_empty());
}

/// What the job marks as tested stands in the record: weir's drains below ground are, its whole is
/// not.
#[test]
fn what_was_tested() {
    let plan = plan(&worked("weir-house", &common::sample_text("weir-house")));
    let dates: Vec<Option<String>> = plan
        .sections
        .iter()
        .map(|s| s.tested.as_ref().and_then(|t| t.date.clone()))
        .collect();
    assert_eq!(dates, [Some("2026-12-09".to_owned()), None]);
}

/// EN 1610 is of drains below the ground: pipes in the building are not filled with them, since ring
/// seals bear 50 kPa and three storeys of water weigh more. In `linden-hof` the highest openings below
/// ground are the floor drain's and the stubs' caps, at the cellar's floor, −2.600 m; 10 kPa are
/// 10 / 9.807 = 1.02 m of water over that, at −1.580 m; the exit at −3.200 m stands under 1.620 m,
/// × 9.807 = 15.9 kPa. With air, method LC: 10 kPa, 5 minutes to settle (a pipe maker's page on EN 1610),
/// 1.5 kPa less in 3 minutes at the most (from memory). Water that may be added, 0.15 L/m² (that page): over
/// π · (3.5 · 0.1046 + 4.5 · 0.0856 + 1.5 · 0.0712 + 0.3 · 0.0464) = 2.740 m², the main in DN 100, 80 and 70
/// and the floor drain's arm, and π · (0.513 · 0.1046 + 0.468 · 0.0712 + 0.458 · 0.0464) = 0.340 m², the
/// stubs of S1, S2 and CW-1: 0.462 L.
#[test]
fn below_ground_alone_under_en_1610() {
    let w = worked("linden-hof", &sample_text("linden-hof"));
    let plan = plan(&w);
    let [part] = &plan.sections[..] else {
        panic!("{} parts", plan.sections.len())
    };
    near(part.standpipe.expect("needed").mm(), 1020.0, "standpipe");
    let head = part.head().expect("known");
    near(head.mm(), 1620.0, "head");
    near(Pressure::of_water(head).kpa(), 15.9, "pressure");
    assert!(plan.closures.is_empty() && plan.lifts.is_empty() && plan.fill.is_none());
    assert!(plan.nominal.is_empty(), "{:?}", plan.nominal);
    near(
        part.added.expect("some").litres(),
        0.462,
        "what may be added",
    );
    assert_eq!(plan.rules.water.stands.as_ref().map(|s| s.value), Some(60));
    let Air::Allowed { test, .. } = &plan.air else {
        panic!("{:?}", plan.air);
    };
    let (settles, drop) = (test.settles.as_ref(), test.drop.as_ref());
    near(test.pressure.value.kpa(), 10.0, "air");
    near(drop.expect("a drop").value.kpa(), 1.5, "what it may fall");
    assert_eq!((settles.map(|s| s.value), test.held.value), (Some(5), 3));
}

/// Of a material without a table bores are nominal, and the plan says of which: only what is tested.
#[test]
fn nominal_bores_are_said() {
    let text = sample_text("linden-hof").replace("PP, ring seal", "stoneware");
    let plan = plan(&worked("linden-hof", &text));
    let sizes: Vec<(&str, Vec<u16>)> = plan
        .nominal
        .iter()
        .map(|(m, sizes)| (m.as_str(), sizes.iter().map(|s| s.dn()).collect()))
        .collect();
    assert_eq!(sizes, [("stoneware", vec![50, 70, 80, 100])]);
}

/// A backwater valve shuts against water that fills a drain from below: it is named. None in a job
/// without.
#[test]
fn valves_are_named() {
    let of = |name: &str| plan(&worked(name, &sample_text(name))).valves;
    assert_eq!(of("alder-court"), ["BW-1"]);
    assert!(of("weir-house").is_empty());
    let notes = {
        let plan = plan(&worked("alder-court", &sample_text("alder-court")));
        stackfall::water_test::notes(&plan, &common::say())
    };
    let said = |n: &String| n.contains("BW-1") && n.contains("put back after");
    assert!(notes.iter().any(said), "{notes:#?}");
}

/// Traps in the floor that are buried are tested before they are covered: weir's floor drains lie
/// 1.7 ft under its floor, wholly under a slab of 5 in.
#[test]
fn buried_traps_are_tested_below_ground() {
    let plan = plan(&worked("weir-house", &sample_text("weir-house")));
    let closed = plan.below.iter().find(|c| c.with == Closing::DrainPlug);
    assert_eq!(closed.map(|c| c.of.len()), Some(2), "{:#?}", plan.below);
}

/// The form has room to write in and no rows of underscores, and says where each part is filled.
#[test]
fn the_record_is_a_form() {
    use stackfall::sheets::BLANK;
    let plan = plan(&worked("hand", HAND));
    let tables = stackfall::water_test::tables(&plan, &common::say());
    let record = tables.iter().find(|t| t.name == "record").expect("a form");
    let all: String = record.rows.concat().concat();
    assert!(all.contains(BLANK) && !all.contains('_'), "{record:?}");
    let at: Vec<&str> = record.rows.iter().map(|r| r[1].as_str()).collect();
    assert_eq!(at, ["standpipe on LAV-1", "", "terminal of LAV-1.vent", ""]);
}
