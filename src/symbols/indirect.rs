//! Dishwasher, condensate and other indirect wastes, and the cabinet for any other kind.

use super::body::Body;

/// A dishwasher.
pub(super) fn dishwasher() -> Body {
    let mut b = Body::default();
    b.outlet((1.6, 0.0, 0.0));
    b.cuboid((0.0, -1.7, 0.0), (3.1, 1.7, 4.2));
    b.line(&[(3.1, -1.7, 3.3), (3.1, 1.7, 3.3)]);
    b.line(&[(3.1, -0.7, 2.7), (3.1, 0.7, 2.7)]);
    b
}

/// An open end over a funnel, with its air gap.
pub(super) fn condensate() -> Body {
    let mut b = Body::default();
    b.outlet((0.0, 0.0, 0.0));
    b.turned(((0.0, 0.0, 0.0), 0.4, 0.4), ((0.0, 0.0, 1.6), 1.5, 1.5));
    b.line(&[(-1.6, 0.0, 5.0), (0.0, 0.0, 5.0), (0.0, 0.0, 3.1)]);
    b.line(&[(0.0, 0.0, 2.5), (0.0, 0.0, 1.7)]);
    b
}

/// A plain cabinet, for a kind that has no drawing.
pub(super) fn cabinet() -> Body {
    let mut b = Body::default();
    b.outlet((1.6, 0.0, 0.0));
    b.cuboid((0.0, -1.6, 0.0), (3.2, 1.6, 2.8));
    b.line(&[(3.2, -1.6, 0.0), (3.2, 1.6, 2.8)]);
    b.line(&[(3.2, 1.6, 0.0), (3.2, -1.6, 2.8)]);
    b
}
