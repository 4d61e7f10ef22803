//! Trap primer.

use super::body::Body;
use super::stand::{Stem, stand};
use super::{Axes, Symbol};

/// A small valve with the drop that it gives.
pub fn primer(axes: &Axes) -> Symbol {
    let mut b = Body::default();
    b.line(&[(0.0, 0.0, 0.0), (0.0, 0.0, 1.0)]);
    b.cuboid((-0.8, -0.8, 1.0), (0.8, 0.8, 2.6));
    b.dot((0.0, 0.0, 2.6), 0.35);
    stand("primer", axes, b, Stem::Bend)
}
