//! Sinks: kitchen, bar, laundry, service.

use super::body::Body;

/// Two bowls in a counter.
pub(super) fn kitchen() -> Body {
    let mut b = Body::default();
    b.outlet((1.9, 0.0, 0.0));
    b.cuboid((0.0, -2.9, 0.0), (3.6, 2.9, 1.0));
    b.rounded((0.95, -2.45, 1.0), (3.1, -0.25), 0.5);
    b.rounded((0.95, 0.25, 1.0), (3.1, 2.45), 0.5);
    b.spout((0.45, 0.0, 1.0), 1.5, 1.3);
    b
}

/// One bowl in a counter.
pub(super) fn bar() -> Body {
    let mut b = Body::default();
    b.outlet((1.9, 0.0, 0.0));
    b.cuboid((0.0, -1.9, 0.0), (3.5, 1.9, 1.0));
    b.rounded((0.95, -1.4, 1.0), (3.0, 1.4), 0.5);
    b.spout((0.45, 0.0, 1.0), 1.5, 1.3);
    b
}

/// A deep tub on legs.
pub(super) fn laundry() -> Body {
    let mut b = Body::default();
    b.outlet((1.9, 0.0, 1.0));
    for (f, s) in [(3.2, 1.6), (0.4, -1.6), (3.2, -1.6)] {
        b.line(&[(f, s, 1.6), (f, s, -0.4)]);
    }
    b.cuboid((0.0, -2.0, 1.0), (3.6, 2.0, 3.1));
    b.rounded((0.8, -1.5, 3.1), (3.1, 1.5), 0.5);
    b.spout((0.4, 0.0, 3.1), 1.1, 1.1);
    b
}

/// A low basin with a splash back.
pub(super) fn service() -> Body {
    let mut b = Body::default();
    b.outlet((1.9, 0.0, 0.0));
    b.cuboid((0.0, -2.0, 0.0), (0.45, 2.0, 3.1));
    b.cuboid((0.45, -2.0, 0.0), (3.8, 2.0, 1.5));
    b.rounded((0.95, -1.5, 1.5), (3.3, 1.5), 0.4);
    b.spout((0.45, 0.0, 2.2), 0.2, 1.4);
    b
}
