//! The bundled font and its licence, and the measuring of text set in it.
//!
//! IBM Plex Sans Condensed, Regular and Bold, under the SIL Open Font Licence (`fonts/LICENSE-OFL.txt`).
//! Measured with the shaper that the rasteriser itself uses, so that what is measured is what is
//! painted; no system font is ever read.

use std::sync::OnceLock;

use harfrust::{
    Direction, FontRef, GlyphBuffer, ShapeOptions, ShapePlan, ShaperData, UnicodeBuffer, script,
};

use crate::sheets::Weight;

/// The family name that sheets ask for.
pub const FAMILY: &str = "IBM Plex Sans Condensed";
/// Height of a capital, in em.
pub const CAP: f64 = 0.698;

/// The font file of a weight, as TrueType.
pub fn truetype(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => include_bytes!("fonts/IBMPlexSansCondensed-Regular.ttf"),
        Weight::Bold => include_bytes!("fonts/IBMPlexSansCondensed-Bold.ttf"),
    }
}

/// The font file of a weight, as WOFF2: the same font, whole, as it travels inside an SVG.
pub fn woff2(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => include_bytes!("fonts/IBMPlexSansCondensed-Regular.woff2"),
        Weight::Bold => include_bytes!("fonts/IBMPlexSansCondensed-Bold.woff2"),
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

/// Shapes one line, left to right.
pub fn shape(text: &str, weight: Weight) -> Option<GlyphBuffer> {
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
    Some(shaper.shape(buffer, ShapeOptions::new().plan(Some(plan))))
}

/// Width of a line of text, in em.
pub fn width(text: &str, weight: Weight) -> f64 {
    const UNITS_PER_EM: f64 = 1000.0;
    shape(text, weight).map_or(0.0, |glyphs| {
        let units: i64 = glyphs
            .glyph_positions()
            .iter()
            .map(|p| i64::from(p.x_advance))
            .sum();
        units as f64 / UNITS_PER_EM
    })
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
    fn knows_what_the_font_lacks() {
        assert_eq!(missing("¼″ @ ½′ × · – →"), None);
        assert_eq!(missing("a △"), Some('△'));
    }
}
