//! The bundled font and its licence, and the measuring of text set in it.
//!
//! Stackfall Lettering, Regular and Bold: IBM Plex Sans Condensed with fractions that can be read at
//! half size (`fonts/fractions.py` draws them), under the SIL Open Font Licence
//! (`fonts/LICENSE-OFL.txt`).
//! Measured with the shaper that the rasteriser itself uses, so that what is measured is what is
//! painted; no system font is ever read.

mod widths;

use std::sync::OnceLock;

use harfrust::font::{BuiltinFontFuncs, FontFuncs};
use harfrust::{
    Direction, FontRef, GlyphBuffer, GlyphId, ShapeOptions, ShapePlan, ShaperData, UnicodeBuffer,
    script,
};

use crate::sheets::Weight;

/// The family name that sheets ask for.
pub const FAMILY: &str = "Stackfall Lettering";
/// Height of a capital, in em.
pub const CAP: f64 = 0.698;

/// The font file of a weight, as TrueType.
pub fn truetype(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => include_bytes!("fonts/StackfallLettering-Regular.ttf"),
        Weight::Bold => include_bytes!("fonts/StackfallLettering-Bold.ttf"),
    }
}

/// The font file of a weight, as WOFF2: the same font, whole, as it travels inside an SVG.
pub fn woff2(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => include_bytes!("fonts/StackfallLettering-Regular.woff2"),
        Weight::Bold => include_bytes!("fonts/StackfallLettering-Bold.woff2"),
    }
}

struct Face {
    font: FontRef<'static>,
    data: ShaperData,
    plan: OnceLock<ShapePlan>,
}

fn face(weight: Weight) -> Option<&'static Face> {
    static REGULAR: OnceLock<Option<Face>> = OnceLock::new();
    static BOLD: OnceLock<Option<Face>> = OnceLock::new();
    let cell = match weight {
        Weight::Regular => &REGULAR,
        Weight::Bold => &BOLD,
    };
    cell.get_or_init(|| {
        let font = FontRef::new(truetype(weight)).ok()?;
        let data = ShaperData::new(&font);
        Some(Face {
            font,
            data,
            plan: OnceLock::new(),
        })
    })
    .as_ref()
}

/// Em size whose capitals are so high, in the unit of the height.
pub fn em_for_cap(cap: f64) -> f64 {
    cap / CAP
}

/// Shapes one line, left to right.
pub fn shape(text: &str, weight: Weight) -> Option<GlyphBuffer> {
    shape_seeing(text, weight, None)
}

fn shape_seeing(text: &str, weight: Weight, seen: Option<&mut Ink>) -> Option<GlyphBuffer> {
    let face = face(weight)?;
    let shaper = face.data.shaper(&face.font).build();
    let plan = face.plan.get_or_init(|| {
        ShapePlan::new(
            &shaper,
            Direction::LeftToRight,
            Some(script::LATIN),
            None,
            &[],
        )
    });
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.set_direction(Direction::LeftToRight);
    buffer.set_script(script::LATIN);
    let options = ShapeOptions::new()
        .plan(Some(plan))
        .font_funcs(seen.map(|s| s as &mut dyn FontFuncs));
    Some(shaper.shape(buffer, options))
}

const UNITS_PER_EM: f64 = 1000.0;

/// The highest and the lowest ink of the glyphs that the shaper asked an advance of.
#[derive(Default)]
struct Ink {
    up: i32,
    down: i32,
}

impl FontFuncs for Ink {
    fn advance_width(&mut self, builtin: &BuiltinFontFuncs, glyph: GlyphId) -> i32 {
        if let Some(e) = builtin.extents(glyph) {
            self.up = self.up.max(e.y_bearing);
            // Heights of extents run downward, so they are negative.
            self.down = self.down.max(-(e.y_bearing + e.height));
        }
        builtin.advance_width(glyph)
    }
}

/// How far a line's ink stands above its baseline and hangs below it, in em.
pub fn ink(text: &str, weight: Weight) -> (f64, f64) {
    let mut ink = Ink::default();
    shape_seeing(text, weight, Some(&mut ink));
    (
        f64::from(ink.up) / UNITS_PER_EM,
        f64::from(ink.down) / UNITS_PER_EM,
    )
}

/// Width of a line of text, in em.
pub fn width(text: &str, weight: Weight) -> f64 {
    let units = widths::by_pairs(text, weight).or_else(|| {
        let glyphs = shape(text, weight)?;
        let advances = glyphs.glyph_positions().iter();
        Some(advances.map(|p| i64::from(p.x_advance)).sum())
    });
    units.map_or(0.0, |u| u as f64 / UNITS_PER_EM)
}

/// Width that a line of text needs whatever its digits are, in em: what is lettered alike but for
/// its numbers takes the same paper.
pub fn room(text: &str, weight: Weight) -> f64 {
    match widths::room(text, weight) {
        Some(units) => units as f64 / UNITS_PER_EM,
        None => width(text, weight),
    }
}

/// The first character that the bundled font cannot letter, if any.
pub fn missing(text: &str) -> Option<char> {
    text.chars().find(|c| {
        let mut bytes = [0u8; 4];
        shape(c.encode_utf8(&mut bytes), Weight::Regular)
            .is_none_or(|g| g.glyph_infos().iter().any(|i| i.glyph_id == 0))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measures_with_kerning() {
        let plain: f64 = "AVATAR"
            .chars()
            .map(|c| width(&c.to_string(), Weight::Regular))
            .sum();
        assert!(width("AVATAR", Weight::Regular) < plain);
        assert!(width("W", Weight::Bold) > 0.5);
    }

    #[test]
    fn ink_is_that_of_the_letters() {
        let (up, down) = ink("H", Weight::Regular);
        assert!((up - CAP).abs() < 1e-9 && down == 0.0, "{up} {down}");
        let (up, down) = ink("xp", Weight::Bold);
        assert!(
            (0.5..0.6).contains(&up) && (0.15..0.3).contains(&down),
            "{up} {down}"
        );
        assert_eq!(ink("", Weight::Regular), (0.0, 0.0));
        assert!((em_for_cap(2.38) - 3.41).abs() < 0.01);
    }

    /// A sheet that is printed at half size must still tell an eighth from three eighths: the
    /// figures of a fraction stand 0.7 of a capital high, so that its ink goes a little beyond a
    /// capital both ways; yet it takes hardly more of the line than the font's own did.
    #[test]
    fn fractions_have_figures_that_can_be_read() {
        for weight in [Weight::Regular, Weight::Bold] {
            for c in "½¼¾⅛⅜⅝⅞⅓⅔".chars() {
                let wide = width(&c.to_string(), weight);
                assert!((0.74..0.82).contains(&wide), "{c} {wide}");
                let (up, down) = ink(&c.to_string(), weight);
                // No higher than the lettering round it takes itself to be.
                assert!(up <= 0.76 && up > CAP, "{c} {up}");
                assert!(down <= 0.1 && down > 0.03, "{c} {down}");
            }
        }
    }

    #[test]
    fn knows_what_the_font_lacks() {
        assert_eq!(missing("¼″ @ ½′ × · – →"), None);
        assert_eq!(missing("a △"), Some('△'));
    }
}
