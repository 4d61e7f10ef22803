//! Keyed notes: the last resort of a label. Its key stands at what it names, its words in a list on
//! the sheet, outside the drawing.

use std::collections::BTreeSet;

use super::cells::Cells;
use super::named::World;
use super::take;
use crate::assets;
use crate::captions::{Caption, Captions};
use crate::placement::assemble::{PlacedKey, Placement};
use crate::placement::block::PlacedLabel;
use crate::sheets::Weight;

/// Longest leader of a key, mm: a key is never left out for want of a longer one.
const LONGEST_LEADER: f64 = 300.0;
/// The key of a caption as the drawing keeps room for it where there are so many keys.
pub(super) fn words(captions: &Captions, caption: usize, keys: usize) -> Caption {
    let whole = &captions.all[caption];
    // No digit is wider than another: eights stand for any number of as many digits.
    let eights = "8".repeat(keys.to_string().len());
    let key = PlacedKey::printed(eights);
    let cap = whole.em * assets::CAP;
    Caption::new(whole.names.as_str(), vec![key], Weight::Bold, cap)
}

/// Sets keys for labels that found no place. They are numbered as they are read, from the top.
pub(super) fn place(
    placement: &mut Placement,
    world: &World<'_>,
    cells: &mut Cells,
    lost: Vec<usize>,
) {
    let mut keys: Vec<PlacedLabel> = Vec::new();
    let mut gone = BTreeSet::new();
    let count = lost.len();
    for i in lost {
        let label = &placement.labels[i];
        let words = words(world.captions, label.caption, count);
        let places = world.places(placement, cells, &words, label, LONGEST_LEADER);
        // Without even that it stays where it was: it is never dropped.
        if let Some(form) = places.into_iter().next() {
            take(&form, i, cells);
            keys.push(form.label(label.caption));
            gone.insert(i);
        }
    }
    let mut index = 0..;
    placement
        .labels
        .retain(|_| index.next().is_none_or(|i| !gone.contains(&i)));
    keys.sort_by(|a, b| a.at.y.total_cmp(&b.at.y).then(a.at.x.total_cmp(&b.at.x)));
    let keys = keys.into_iter().enumerate();
    placement.keyed = keys
        .map(|(i, label)| PlacedKey {
            number: i + 1,
            label,
        })
        .collect();
}
