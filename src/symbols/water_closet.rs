//! Water closet and bidet.

use super::body::Body;

/// A closet with its tank.
pub(super) fn body() -> Body {
    let mut b = Body::default();
    b.outlet((2.0, 0.0, 0.0));
    b.cuboid((0.0, -1.75, 1.9), (1.35, 1.75, 4.8));
    b.turned(((2.4, 0.0, 0.0), 1.35, 0.85), ((3.0, 0.0, 2.1), 2.0, 1.45));
    b.disc((3.2, 0.0, 2.15), 1.3, 0.85);
    b
}

/// A bidet: a bowl without a tank.
pub(super) fn bidet() -> Body {
    let mut b = Body::default();
    b.outlet((2.0, 0.0, 0.0));
    b.turned(((2.0, 0.0, 0.0), 1.35, 0.85), ((2.2, 0.0, 2.1), 2.2, 1.5));
    b.disc((2.5, 0.0, 2.15), 1.35, 0.9);
    b.spout((0.55, 0.0, 2.1), 1.0, 0.9);
    b
}
