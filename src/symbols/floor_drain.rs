//! Floor drain.

use super::body::Body;

/// A round grate on its body.
pub(super) fn body() -> Body {
    let mut b = Body::default();
    b.outlet((0.0, 0.0, -1.2));
    b.turned(((0.0, 0.0, -1.2), 0.8, 0.8), ((0.0, 0.0, 0.0), 1.9, 1.9));
    b.disc((0.0, 0.0, 0.0), 1.35, 1.35);
    for (f, s) in [(-0.65, 1.1), (0.0, 1.3), (0.65, 1.1)] {
        b.line(&[(f, -s, 0.0), (f, s, 0.0)]);
    }
    b
}
