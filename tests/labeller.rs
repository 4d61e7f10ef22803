//! The labeller alone, on the standard point-feature problem (fewer maps than `cargo bench --bench
//! labeller`). Shares are the same on every machine; times are not looked at.

use stackfall::placement::labeller::{Conflicts, Labels, choose, choose_all};

#[path = "../benches/points/mod.rs"]
mod points;

/// Maps for each share.
const FEW: u64 = 6;

fn share(points: usize, way: impl Fn(&Labels, &Conflicts) -> Vec<Option<usize>>) -> f64 {
    let mut clean = 0;
    for number in 0..FEW {
        let (labels, conflicts) = points::map(points, number);
        let chosen = way(&labels, &conflicts);
        clean += points::clean(&labels, &conflicts, &chosen);
    }
    clean as f64 * 100.0 / (points as f64 * FEW as f64)
}

/// The shares that the product promises (`layout.md`, 3.5: our own goals, set beside published
/// figures that are from memory).
#[test]
fn shares_of_clean_labels() {
    let quick = share(1000, |l, c| choose(l, c, 0));
    assert!(quick >= 88.0, "may be left out, no search: {quick}");
    let searched = share(1000, |l, c| choose(l, c, 100));
    assert!(searched >= 89.5, "may be left out, searched: {searched}");
    let all = share(1000, |l, c| choose_all(l, c, 400));
    assert!(all >= 82.0, "all placed: {all}");
    let sparse = share(500, |l, c| choose(l, c, 0));
    assert!(sparse >= 98.5, "500 points, no search: {sparse}");
}

/// What is left out aside, no chosen label touches another, and each is one of its label's own.
#[test]
fn chosen_labels_touch_nothing() {
    for points in [3, 60, 700] {
        let (labels, conflicts) = points::map(points, 99);
        for effort in [0, 50] {
            let chosen = choose(&labels, &conflicts, effort);
            let standing = chosen.iter().flatten().count();
            assert_eq!(points::clean(&labels, &conflicts, &chosen), standing);
            for (label, c) in chosen.iter().enumerate() {
                assert!(c.is_none_or(|c| labels.of(label).contains(&c)));
            }
        }
    }
}

#[test]
fn all_means_all_and_the_same_each_time() {
    let (labels, conflicts) = points::map(1500, 1);
    let chosen = choose_all(&labels, &conflicts, 20);
    assert!(chosen.iter().all(Option::is_some));
    assert_eq!(chosen, choose_all(&labels, &conflicts, 20));
}

/// The search never gives up what is worth more for what is worth less, and a label that is not
/// needed as much leaves its place.
#[test]
fn what_is_needed_more_stands() {
    // Three labels with one place each; the middle one touches both others.
    let boxes = [(0.0, 10.0), (8.0, 18.0), (16.0, 26.0)];
    let boxes = boxes.map(|(a, b)| kurbo::Rect::new(a, 0.0, b, 5.0));
    let stand = |worth: [u32; 3]| {
        let mut labels = Labels::new();
        worth.iter().for_each(|w| labels.add([*w]));
        let conflicts = Conflicts::find(&labels, &boxes, |_, _| true);
        let chosen = choose(&labels, &conflicts, 20);
        chosen.iter().map(Option::is_some).collect::<Vec<_>>()
    };
    assert_eq!(stand([10, 30, 10]), [false, true, false]);
    assert_eq!(stand([20, 30, 20]), [true, false, true]);
}

/// A label without any place is left out and disturbs nothing.
#[test]
fn a_label_without_a_place_is_left_out() {
    let mut labels = Labels::new();
    labels.add([]);
    labels.add([5]);
    let boxes = [kurbo::Rect::new(0.0, 0.0, 1.0, 1.0)];
    let conflicts = Conflicts::find(&labels, &boxes, |_, _| true);
    assert_eq!(choose(&labels, &conflicts, 9), [None, Some(0)]);
    assert_eq!(choose_all(&labels, &conflicts, 9), [None, Some(0)]);
    let nothing = (Labels::new(), Conflicts::default());
    assert!(choose(&nothing.0, &nothing.1, 9).is_empty());
}
