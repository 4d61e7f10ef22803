//! Drinking fountain.

use super::body::Body;

/// A wall-hung fountain with its jet.
pub(super) fn body() -> Body {
    let mut b = Body::default();
    b.outlet((1.3, 0.0, 0.0));
    b.cuboid((0.0, -1.6, 0.0), (2.8, 1.6, 2.4));
    b.disc((1.5, 0.0, 2.4), 0.9, 1.15);
    b.curve(
        (0.6, -0.5, 2.4),
        (0.6, -0.3, 4.4),
        (1.2, 0.3, 4.4),
        (1.6, 0.6, 2.5),
    );
    b
}
