//! Lavatory.

use super::body::Body;

/// A basin in a slab, with its spout.
pub(super) fn body() -> Body {
    let mut b = Body::default();
    b.outlet((2.0, 0.0, 0.0));
    b.cuboid((0.0, -2.5, 0.0), (3.7, 2.5, 1.0));
    b.disc((2.15, 0.0, 1.0), 1.15, 1.7);
    b.spout((0.55, 0.0, 1.0), 1.1, 1.2);
    b
}
