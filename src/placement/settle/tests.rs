//! The last resort, tried where nothing else can help: words far longer than the drawing has room
//! for.

use std::collections::BTreeSet;
use std::path::Path;

use super::settle;
use crate::captions::{Caption, Captions};
use crate::pipeline::{Options, Placed, placed_text};

fn placed(job: &str) -> Placed {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(job);
    let text = std::fs::read_to_string(&path).expect("a sample");
    let shown = path.display().to_string();
    placed_text("job", &shown, &text, &Options::default()).expect("it is drawn")
}

/// Captions with every line so many times as long.
fn longer(captions: &Captions, times: usize) -> Captions {
    let mut longer = captions.clone();
    for caption in &mut longer.all {
        let lines = caption.lines.iter().map(|l| l.repeat(times)).collect();
        let cap = caption.em * crate::assets::CAP;
        *caption = Caption::new(caption.names.as_str(), lines, caption.weight, cap).into();
    }
    longer
}

/// A label that finds no place becomes a key; none is dropped, none is both, and keys are numbered
/// as they are read.
#[test]
fn what_finds_no_place_becomes_a_keyed_note() {
    let Placed {
        net,
        captions,
        figures,
        plans,
        ..
    } = placed("samples/alder-court/job.toml");
    let captions = longer(&captions, 6);
    let mut placement = plans[0].placement.clone();
    let before: BTreeSet<usize> = placement.labels.iter().map(|l| l.caption).collect();
    settle(&mut placement, &net, &captions, &figures, None);
    let labels: BTreeSet<usize> = placement.labels.iter().map(|l| l.caption).collect();
    let keys: BTreeSet<usize> = placement.keyed.iter().map(|k| k.label.caption).collect();
    assert!(!keys.is_empty(), "{} labels, no key", labels.len());
    assert!(labels.is_disjoint(&keys));
    assert!(
        before
            .iter()
            .all(|c| labels.contains(c) || keys.contains(c))
    );
    let numbers: Vec<usize> = placement.keyed.iter().map(|k| k.number).collect();
    assert_eq!(numbers, (1..=numbers.len()).collect::<Vec<_>>());
    let high = placement.keyed.windows(2);
    assert!(high.into_iter().all(|k| k[0].label.at.y <= k[1].label.at.y));
}
