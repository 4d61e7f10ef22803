//! The inspector's list against the rules that it measures, and against a case worked by hand.

mod common;

use common::{Worked, worked};
use stackfall::findings::{self, Findings, RULES};
use stackfall::inspection::{Inspection, Measure, inspection};
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
            assert_eq!(
                measures.iter().all(|m| m.kept == Some(true)),
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
