//! Urinal.

use super::body::Body;

/// A wall-hung bowl under its back.
pub(super) fn body() -> Body {
    let mut b = Body::default();
    b.outlet((1.1, 0.0, 0.0));
    b.cuboid((0.0, -1.3, 0.4), (0.7, 1.3, 5.0));
    b.turned(((0.9, 0.0, 0.3), 0.7, 0.6), ((1.2, 0.0, 2.2), 1.4, 1.2));
    b.disc((1.3, 0.0, 2.2), 0.85, 0.7);
    b
}
