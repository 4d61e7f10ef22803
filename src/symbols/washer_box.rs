//! Clothes washer: the box in the wall and its standpipe.

use super::body::Body;

/// A box with two valves, on its standpipe.
pub(super) fn body() -> Body {
    let mut b = Body::default();
    b.outlet((0.5, 0.0, 0.0));
    b.line(&[(0.5, 0.0, 0.0), (0.5, 0.0, 2.0)]);
    b.cuboid((0.0, -1.9, 2.0), (0.9, 1.9, 5.0));
    b.face(&[
        (0.9, -1.4, 2.5),
        (0.9, 1.4, 2.5),
        (0.9, 1.4, 4.5),
        (0.9, -1.4, 4.5),
    ]);
    for s in [-0.65, 0.65] {
        b.line(&[(0.9, s, 3.9), (0.9, s, 3.3)]);
    }
    b
}
