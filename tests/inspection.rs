//! The inspector's list against the rules that it measures, and against a case worked by hand.

mod common;

use common::{Worked, worked};
use stackfall::codebook::Provenance;
use stackfall::findings::{self, Findings, RULES};
use stackfall::inspection::{Idle, Inspection, Measure, inspection};
use stackfall::solve::Work;

fn list(w: &Worked) -> (Inspection, Findings) {
    let work = Work {
        job: &w.job,
        net: &w.net,
        book: &w.book,
        solution: &w.solution,
    };
    let found = findings::run(&w.job, &w.net, &w.book, &w.solution);
    (inspection(&work, &found), found)
}

fn of<'a>(list: &'a Inspection, what: &str) -> Vec<&'a Measure> {
    list.measures.iter().filter(|m| m.what == what).collect()
}

/// A rule and the measure of its limit say the same: not kept where the rule's failing job is, kept
/// where its passing job is.
#[test]
fn limits_agree_with_their_rules() {
    for (code, what) in [
        ("A101", "length of a trap arm"),
        ("A102", "fall of a trap arm"),
        ("C102", "way to the next cleanout"),
        ("D101", "load of a drain"),
        ("D103", "drain of a water closet"),
        ("D105", "least fall"),
        ("D109", "steepest fall"),
        ("V101", "size of a vent"),
    ] {
        for (job, kept) in [("fails", false), ("passes", true)] {
            let path = format!("tests/findings/{code}-{job}.toml");
            let text = std::fs::read_to_string(&path).expect(&path);
            let w = worked(&path, &text);
            let (list, found) = list(&w);
            assert_eq!(found.open.iter().any(|d| d.code == code), !kept, "{path}");
            let measures = of(&list, what);
            assert!(!measures.is_empty(), "{path}: {what} applies");
            // Of vents without a length nothing is known.
            assert_eq!(
                measures.iter().all(|m| m.kept != Some(false)),
                kept,
                "{path}: {measures:#?}"
            );
        }
    }
}

/// A closet and a lavatory on a building drain, by hand:
/// - the arm of the lavatory: 2 ft of the 6 ft that a 1 1/2 in trap may have (Table P3105.1), 4 ft
///   left; the closet's arm has no limit and is not counted;
/// - it falls 2 ft at 1/4 in per ft: 1/2 in of one diameter of 1 1/2 in, 1 in left;
/// - from the drain's end down to the exit 22 ft of 100 ft (P3005.2), 78 ft left: three pieces.
#[test]
fn by_hand() {
    let (list, _) = list(&worked("hand", common::HAND));
    let one = |what: &str| {
        let [m] = of(&list, what)[..] else {
            panic!("one measure of {what}: {:#?}", list.measures)
        };
        (
            m.applied,
            m.has.as_str(),
            m.limit.as_str(),
            m.margin.as_str(),
        )
    };
    assert_eq!(one("length of a trap arm"), (1, "2′-0″", "6′-0″", "4′-0″"));
    assert_eq!(one("fall of a trap arm"), (1, "½″", "1½″", "1″"));
    assert_eq!(
        one("way to the next cleanout"),
        (3, "22′-0″", "100′-0″", "78′-0″")
    );
    assert_eq!(one("drain of a water closet").1, "3″");
    // From the exit up, everything once.
    let walk: Vec<&str> = list.walk.iter().map(|s| s.place.as_str()).collect();
    assert_eq!(walk.first().copied(), Some("exit"), "{walk:?}");
    let stated = |what: &str| {
        list.shares
            .iter()
            .find(|s| s.what == what)
            .map(|s| (s.stated, s.proposed))
    };
    assert_eq!(stated("fixtures"), Some((2, 0)));
    assert_eq!(stated("drains"), Some((1, 0)));
    assert_eq!(stated("vents of fixtures"), Some((0, 1)));
}

/// Every rule is listed once, with what it checks and its section.
#[test]
fn every_rule_is_listed() {
    let (list, found) = list(&worked("weir-house", &common::sample_text("weir-house")));
    assert_eq!(list.rules.len(), RULES.len());
    for rule in &list.rules {
        assert!(rule.checks.len() > 10, "{}: {:?}", rule.code, rule.checks);
        assert!(
            !rule.section.starts_with("IPC"),
            "{}: {}",
            rule.code,
            rule.section
        );
    }
    let open: usize = list.rules.iter().map(|r| r.open).sum();
    assert_eq!(open, found.open.len());
}

fn rule<'a>(list: &'a Inspection, code: &str) -> &'a stackfall::inspection::Ran {
    let found = list.rules.iter().find(|r| r.code == code);
    found.unwrap_or_else(|| panic!("no rule {code}"))
}

/// A rule has the section of the job's own book or none, and says where it had nothing to look at.
#[test]
fn rules_by_the_book_of_the_job() {
    let of = |name: &str| list(&worked(name, &common::sample_text(name))).0;
    let linden = of("linden-hof");
    for rule in &linden.rules {
        let other = ["IPC", "IRC", "UPC", "P3", "R5"];
        let foreign = other.iter().any(|o| rule.section.contains(o));
        assert!(!foreign, "{}: {}", rule.code, rule.section);
    }
    let quarry = of("quarry-flats");
    // IPC 307.2 on boring (from memory, in the book), as its findings cite it.
    assert_eq!(rule(&quarry, "S103").section, "307.2");
    assert_eq!(
        rule(&quarry, "E101").idle,
        Some(Idle::NotApplicable("no pump"))
    );
    let garden = of("garden-cottage");
    let unknown = Idle::NotKnown("no length of a level drain".to_owned());
    assert_eq!(rule(&garden, "C102").idle, Some(unknown));
    assert_eq!(rule(&garden, "D101").idle, None);
    let ways = of_what(&garden, "way to the next cleanout");
    assert_eq!(ways, [None]);
}

fn of_what(list: &Inspection, what: &str) -> Vec<Option<bool>> {
    of(list, what).iter().map(|m| m.kept).collect()
}

/// What L104 and L106 judge is what the list judges: nothing is not kept without a finding, and the
/// worst place is the one that the finding names.
#[test]
fn room_by_one_rule() {
    for name in common::SAMPLES {
        let (list, found) = list(&worked(name, &common::sample_text(name)));
        let rooms = list.measures.iter().filter(|m| m.what.starts_with("room"));
        for room in rooms.filter(|m| m.kept == Some(false)) {
            let (at, _) = room.at.split_once(", to ").expect("a place");
            let all = found.open.iter().chain(found.waived.iter().map(|w| &w.0));
            let mut all = all.filter(|d| matches!(d.code, "L104" | "L106"));
            assert!(all.any(|d| d.at == at), "{name}: {room:?}");
        }
    }
}

/// Changed on site stands beside tested: weir's ladies' branch was changed.
#[test]
fn changes_stand_in_the_walk() {
    let (list, _) = list(&worked("weir-house", &common::sample_text("weir-house")));
    let of = |run: &str| {
        let step = list.walk.iter().find(|s| s.run == run);
        step.and_then(|s| s.standing.clone())
    };
    assert_eq!(of("ladies").as_deref(), Some("changed 2026-12-14"));
    assert_eq!(of("main").as_deref(), Some("tested 2026-12-09"));
}

/// The worst place has the least left, not the largest part of its limit taken. In `mill-house` the
/// bathtub's arm of DN 50 falls 19 of 51 mm, 32 mm left, more than a third; the kitchen sink's of
/// DN 40 falls 0.6 m × 2.08 % = 12.5 mm of 38.1 mm: 26 mm left, less than a third.
#[test]
fn worst_is_least_left() {
    let (list, _) = list(&worked("mill-house", &common::sample_text("mill-house")));
    let [m] = of(&list, "fall of a trap arm")[..] else {
        panic!("one measure: {:#?}", list.measures)
    };
    assert_eq!(
        (m.at.as_str(), m.margin.as_str()),
        ("KS-1, arm DN 40", "26 mm")
    );
}

/// A cleanout that the job does not state is proposed, though its drain is stated; one that it states
/// is not.
#[test]
fn a_proposed_cleanout_is_said_to_be() {
    use stackfall::network::State;
    let (list, _) = list(&worked("alder-court", &common::sample_text("alder-court")));
    let said = |place: &str| {
        let mut steps = list.walk.iter();
        let step = steps.find(|s| s.place.ends_with(place)).expect(place);
        (step.state, step.fitting.ends_with("proposed"))
    };
    assert_eq!(said("main.co"), (State::Stated, true));
    assert_eq!(said("CO-1"), (State::Stated, false));
}

/// A rule that looked at what is known says what it did not know: five pieces of alder's island vent
/// have no length, and how large a vent has to be goes by its length. A job with all lengths has
/// nothing to say.
#[test]
fn vents_without_lengths_are_not_passed() {
    let of = |name: &str| list(&worked(name, &common::sample_text(name))).0;
    let alder = of("alder-court");
    let Some(Idle::NotKnown(why)) = &rule(&alder, "V101").idle else {
        panic!("{:?}", rule(&alder, "V101"));
    };
    assert!(why.starts_with("not all lengths are given of V2"), "{why}");
    assert_eq!(rule(&of("mill-house"), "V101").idle, None);
}

/// What stands of the findings is counted: the draft does not fit under its slab (L104), its cure
/// does.
#[test]
fn the_verdict_comes_first() {
    let of = |name: &str| list(&worked(name, &common::sample_text(name)));
    let (draft, found) = of(common::DRAFT);
    assert!(draft.verdict.codes.contains(&"L104"), "{:?}", draft.verdict);
    let v = &draft.verdict;
    assert_eq!(v.errors + v.warnings + v.advice, found.open.len());
    let (cured, _) = of("ridge-walkout-cured");
    assert_eq!((cured.verdict.errors, cured.verdict.codes.len()), (0, 0));
}

/// The least that a fixture lies over the rim of the next manhole (IRC P3008.1): alder's laundry tub, whose
/// rim nobody states, 34 in over the basement's floor by common practice: -8 ft 10 in + 2 ft 10 in = -6 ft;
/// the manhole's is at -6 ft 1 in: one inch.
#[test]
fn over_the_manhole_by_hand() {
    let (alder, _) = list(&worked("alder-court", &common::sample_text("alder-court")));
    let over = of(&alder, "height over the rim of the next manhole");
    let [m] = over.as_slice() else {
        panic!("{over:#?}");
    };
    assert_eq!(m.at, "LT-1, its rim as its kind usually has it, not stated");
    assert_eq!((m.has.as_str(), m.kept), ("0′-1″", Some(true)));
}

/// What was not read in the code is named, limits and rules as well as tables that sizes are from; each once,
/// and nothing that was read there.
#[test]
fn what_was_not_read_is_named() {
    let names = |name: &str| -> Vec<String> {
        let (list, _) = list(&worked(name, &common::sample_text(name)));
        list.unread.into_iter().map(|(cite, _)| cite).collect()
    };
    let alder = names("alder-court");
    for cite in [
        "P3005.2",
        "P3005.3",
        "P3105.2",
        "Table P3005.4.1",
        "Table P3105.1",
    ] {
        assert!(alder.iter().any(|c| c == cite), "{cite} in {alder:?}");
    }
    // Under its own number or its table's, not both.
    for cite in &alder {
        assert!(!alder.contains(&format!("Table {cite}")), "{alder:?}");
    }
    let linden = names("linden-hof");
    assert!(
        linden.iter().any(|c| c.starts_with("Tables 5 and 6")),
        "{linden:?}"
    );
    let (list, _) = list(&worked("alder-court", &common::sample_text("alder-court")));
    assert!(list.unread.iter().all(|(_, from)| *from > Provenance::Seen));
}

/// Limits of venting methods and clearances, by hand.
/// - weir-house, IPC: `gents` has 4 closets on its circuit vent, 8 may be (914.1). SK-1 drops 4 ft 10 in into
///   the combination drain and vent, 8 ft may be (915.2.1). `cafe` joins at 14 ft, S2 of 3 in stands at 30 ft:
///   16 ft from it, 10 × 3 in = 2 ft 6 in are asked for (704.3).
/// - linden-hof, EN 12056-2 Tables 4 to 6 (from memory): LAV-1's branch is 2.4 + 0.6 + 0.5 = 3.5 m of 4 m.
/// - ridge-walkout: the drain passes over the footing at the exit.
#[test]
fn limits_of_methods_and_clearances() {
    let of_job = |name: &str, what: &str| {
        let (list, _) = list(&worked(name, &common::sample_text(name)));
        let found = list.measures.iter().find(|m| m.what == what);
        let m = found.unwrap_or_else(|| panic!("{name}: {what}"));
        (m.at.clone(), m.has.clone(), m.limit.clone(), m.kept)
    };
    let is = |at: &str, has: &str, limit: &str| {
        (at.to_owned(), has.to_owned(), limit.to_owned(), Some(true))
    };
    assert_eq!(
        of_job("weir-house", "fixtures on one circuit vent"),
        is("gents", "4", "8")
    );
    assert_eq!(
        of_job("weir-house", "drop into a combination drain and vent"),
        is("SK-1", "4′-10″", "8′-0″")
    );
    assert_eq!(
        of_job("weir-house", "way from a stack's base to what joins"),
        is("cafe, from S2", "16′-0″", "2′-6″")
    );
    assert_eq!(
        of_job("linden-hof", "length of an unvented branch"),
        is("LAV-1", "3.500 m", "4.000 m")
    );
    let (at, ..) = of_job("ridge-walkout", "clear of a footing");
    assert_eq!(at, "over the footing at the exit");
}

/// The building drain's vent is half of the size that the drain must have as it is laid (IPC 904.1): the
/// drain of quarry-flats carries 42 dfu at 1/8 in per foot, where 3 in carries 36 (Table 710.1(1): 42 only at
/// 1/4 in), so it has to be 4 in and one vent 2 in.
#[test]
fn half_of_the_drain_as_it_is_laid() {
    let quarry = worked("quarry-flats", &common::sample_text("quarry-flats"));
    let (list, _) = list(&quarry);
    let vents = list.measures.iter().filter(|m| m.what == "size of a vent");
    let mut by_drain = vents.filter(|m| m.section == "904.1");
    let vent = by_drain.next().expect("a vent sized by its building drain");
    assert_eq!(
        (vent.at.as_str(), vent.limit.as_str()),
        ("S1.vent.third", "2″")
    );
    assert_eq!(vent.kept, Some(true));
}

/// The vent of a waste stack is as large as its stack, however long it is (IPC 913.3): weir-house's S2 of
/// 3 in. What goes by a length that nobody gave stays unknown, and is counted.
#[test]
fn what_is_known_without_a_length() {
    let weir = worked("weir-house", &common::sample_text("weir-house"));
    let (list, _) = list(&weir);
    let vents = list.measures.iter().filter(|m| m.what == "size of a vent");
    let vents: Vec<(&str, &str, Option<bool>)> = vents
        .map(|m| (m.section.as_str(), m.limit.as_str(), m.kept))
        .collect();
    assert!(vents.contains(&("913.3", "3″", Some(true))), "{vents:?}");
    assert!(vents.contains(&("906.2", "—", None)), "{vents:?}");
    let unknown = list.measures.iter().filter(|m| m.kept.is_none());
    assert!(list.unjudged > unknown.count());
}
