//! Vent terminal through the roof.

use super::body::Body;
use super::stand::{Stem, stand};
use super::{Axes, Symbol};

/// An open pipe above its flashing.
pub fn vent_terminal(axes: &Axes) -> Symbol {
    let mut b = Body::default();
    b.turned(((0.0, 0.0, 0.0), 1.7, 1.7), ((0.0, 0.0, 1.1), 0.75, 0.75));
    b.turned(((0.0, 0.0, 1.1), 0.75, 0.75), ((0.0, 0.0, 3.6), 0.75, 0.75));
    b.dot((0.0, 0.0, 3.6), 0.35);
    stand("terminal", axes, b, Stem::Bend)
}
