//! Air admittance valve.

use super::body::Body;
use super::stand::{Stem, stand};
use super::{Axes, Symbol};

/// A cap over a neck, with the slots that air enters by.
pub fn air_valve(axes: &Axes) -> Symbol {
    let mut b = Body::default();
    b.turned(((0.0, 0.0, 0.0), 0.7, 0.7), ((0.0, 0.0, 1.2), 0.7, 0.7));
    b.turned(((0.0, 0.0, 1.2), 1.45, 1.45), ((0.0, 0.0, 2.7), 1.2, 1.2));
    for (f, s) in [(1.45, -0.55), (1.2, -1.2), (0.55, -1.45)] {
        let k = 0.92;
        b.line(&[(f * k, s * k, 1.75), (f * k, s * k, 2.35)]);
    }
    stand("valve", axes, b, Stem::Bend)
}
