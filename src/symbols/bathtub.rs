//! Bathtub.

use super::body::Body;

/// A tub, long side to the front.
pub(super) fn body() -> Body {
    let mut b = Body::default();
    b.outlet((1.75, 0.0, 0.0));
    b.cuboid((0.0, -3.3, 0.0), (3.5, 3.3, 1.7));
    b.rounded((0.55, -2.75, 1.7), (2.95, 2.75), 0.9);
    b.dot((1.75, -1.8, 1.7), 0.18);
    b
}
