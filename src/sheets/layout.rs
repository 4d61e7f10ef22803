//! Where border, field and title strip are on a paper. Placement asks here for its field.

use kurbo::Rect;

use super::Paper;

/// Margin on three sides, in mm (ISO 5457).
pub(super) const MARGIN: f64 = 10.0;
/// Margin on the binding edge, in mm.
pub(super) const BINDING: f64 = 20.0;
/// Clear paper between border and field.
pub(super) const INSET: f64 = 4.0;

/// The fixed parts of a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// The border line.
    pub border: Rect,
    /// What the drawing, or the tables of a sheet of tables, may use.
    pub field: Rect,
    /// The title strip, down the right side: stamp space, notes, title block.
    pub title: Rect,
}

/// The frame of a paper.
///
/// The strip takes the notes that every riser carries, so that they leave the field alone. On the
/// papers that a permit office takes it is wide enough for a stamp of 5.75 × 3.75 in.
pub fn layout(paper: Paper) -> Frame {
    let strip = match paper.width {
        w if w >= 800.0 => 150.0,
        w if w >= 520.0 => 112.0,
        w if w >= 380.0 => 82.0,
        w => (w * 0.25).max(60.0),
    };
    framed(paper, |_| strip)
}

/// The frame of a paper whose strip is so wide, by the border.
pub(super) fn framed(paper: Paper, strip: impl FnOnce(Rect) -> f64) -> Frame {
    let border = Rect::new(BINDING, MARGIN, paper.width - MARGIN, paper.height - MARGIN);
    let title = Rect::new(border.x1 - strip(border), border.y0, border.x1, border.y1);
    let field = Rect::new(
        border.x0 + INSET,
        border.y0 + INSET,
        title.x0 - INSET,
        border.y1 - INSET,
    );
    Frame {
        border,
        field,
        title,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ARCH_D: Paper = Paper {
        name: "arch-d",
        width: 914.4,
        height: 609.6,
        inches: true,
    };

    #[test]
    fn a_permit_sheet_has_room_for_the_stamp() {
        let frame = layout(ARCH_D);
        assert!(frame.title.width() >= 5.75 * 25.4);
        assert!(frame.field.width() > 700.0 && frame.field.height() > 570.0);
    }

    #[test]
    fn the_parts_stand_clear_of_each_other() {
        for (width, height) in [
            (914.4, 609.6),
            (431.8, 279.4),
            (297.0, 210.0),
            (1219.2, 914.4),
        ] {
            let frame = layout(Paper {
                width,
                height,
                ..ARCH_D
            });
            assert!(frame.field.x1 < frame.title.x0);
            assert!(frame.border.union(frame.title).union(frame.field) == frame.border);
            assert!(frame.field.width() > 150.0);
        }
    }
}
