//! Shower.

use super::body::Body;

/// A pan with its drain, and a head on its pipe behind.
pub(super) fn body() -> Body {
    let mut b = Body::default();
    b.outlet((2.0, 0.0, 0.0));
    b.cuboid((0.0, -2.0, 0.0), (4.0, 2.0, 0.7));
    b.line(&[(0.2, 0.0, 0.7), (0.2, 0.0, 4.9), (1.3, 0.0, 4.9)]);
    b.face(&[(1.3, 0.0, 4.9), (1.75, 0.75, 4.35), (1.75, -0.75, 4.35)]);
    for s in [-0.6, 0.0, 0.6] {
        b.line(&[(1.9, s, 3.75), (2.05, s, 3.1)]);
    }
    b.disc((2.0, 0.0, 0.7), 0.6, 0.6);
    b
}
