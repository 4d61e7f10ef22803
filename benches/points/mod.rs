//! Maps of the standard point-feature problem: points at random places of a page, each with a label
//! that stands at one of its four corners (Christensen, Marks and Shieber 1995).

use kurbo::Rect;
use stackfall::placement::labeller::{Conflicts, Labels};

/// Size of the page.
const PAGE: (f64, f64) = (792.0, 612.0);
/// Size of a label.
const LABEL: (f64, f64) = (30.0, 7.0);

/// One map: its labels, four candidates each, and which of them touch. Its points depend on its
/// number alone.
pub fn map(points: usize, number: u64) -> (Labels, Conflicts) {
    let mut draw = Draw(number.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ points as u64);
    let mut labels = Labels::new();
    let mut boxes = Vec::with_capacity(points * 4);
    let (w, h) = LABEL;
    for _ in 0..points {
        let (x, y) = (draw.next() * PAGE.0, draw.next() * PAGE.1);
        for (left, top) in [(0.0, h), (w, h), (0.0, 0.0), (w, 0.0)] {
            boxes.push(Rect::new(x - left, y - top, x - left + w, y - top + h));
        }
        labels.add([1; 4]);
    }
    let conflicts = Conflicts::find(&labels, &boxes, |_, _| true);
    (labels, conflicts)
}

/// How many labels of a choice stand and touch no other that stands.
pub fn clean(labels: &Labels, conflicts: &Conflicts, chosen: &[Option<usize>]) -> usize {
    let stands = |c: usize| chosen[labels.label(c)] == Some(c);
    let standing = chosen.iter().flatten();
    let touches = |c: &&usize| conflicts.of(**c).iter().any(|&d| stands(d as usize));
    standing.filter(|c| !touches(c)).count()
}

/// A plain generator (splitmix64, public domain).
struct Draw(u64);

impl Draw {
    /// The next number, from nought to below one.
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        (z >> 11) as f64 / (1u64 << 53) as f64
    }
}
