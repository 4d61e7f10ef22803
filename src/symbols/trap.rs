//! A trap by itself, where no fixture is drawn over it.

use kurbo::{BezPath, Point, Vec2};

use super::pen::{LINE, Pen};
use super::{Axes, Symbol};

/// The word for a fixture of which no more than its trap is drawn.
pub const PLAIN: &str = "plain trap";

/// The dip of a trap, from its weir at the origin to the tailpiece that rises beyond it.
pub fn trap(axes: &Axes) -> Symbol {
    const WIDE: f64 = 2.2;
    let o = Point::ORIGIN;
    let level = axes.along.x.abs() > 0.3;
    let dip = if level {
        Vec2::new(0.0, WIDE)
    } else {
        Vec2::new(WIDE, 0.0)
    };
    // The dip of a rising arm must not hang back behind its weir.
    let lead = (dip.dot(axes.along) * -0.75).max(0.0) * 0.6 + LINE;
    let (a, b) = (o + axes.along * lead, o + axes.along * (lead + WIDE));
    let mut path = BezPath::new();
    path.move_to(o);
    path.line_to(a);
    path.curve_to(a + dip, b + dip, b);
    path.line_to(b + Vec2::new(0.0, if axes.along.y > 0.3 { 0.0 } else { -1.2 }));
    let mut pen = Pen::default();
    pen.stroke(path);
    pen.finish("trap", vec![o, b], o + axes.along * (lead + WIDE / 2.0))
}
