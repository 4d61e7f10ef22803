//! Ejector basin.

use super::body::{Body, on_paper};
use super::stand::{Stem, stand};
use super::{Axes, Symbol};

/// A covered basin; its second port is the pumped discharge, its third the vent, both on the
/// cover.
pub fn basin(axes: &Axes) -> Symbol {
    const HIGH: f64 = 4.4;
    let mut b = Body::default();
    b.outlet((0.0, 0.0, HIGH * 0.6));
    b.turned(((0.0, 0.0, 0.0), 2.5, 2.5), ((0.0, 0.0, HIGH), 2.5, 2.5));
    b.disc((0.0, 0.0, HIGH), 2.0, 2.0);
    for s in [1.0, -1.0] {
        b.dot((0.0, s, HIGH), 0.4);
        b.ports.push(on_paper((0.0, s, HIGH)));
    }
    stand("basin", axes, b, Stem::Bend)
}
