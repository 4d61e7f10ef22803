//! PNG: the SVG rasterised in bands, streamed row by row into an 8-bit grey picture, so that a
//! large sheet at a high resolution needs little memory.

use std::io::{self, Write};
use std::sync::{Arc, OnceLock};

use png::{BitDepth, ColorType, Compression, Encoder, PixelDimensions, Unit};
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{self, fontdb};

use super::svg;
use crate::assets::{self, FAMILY};
use crate::at_once;
use crate::sheets::{Sheet, Weight};

/// Resolutions that can be asked for, in dots per inch.
pub const DPI: std::ops::RangeInclusive<u32> = 20..=1200;
/// The resolution when none is asked for.
pub const DEFAULT_DPI: u32 = 150;
/// Rows painted at once. Fixed: the edges of bands are anti-aliased a hair differently.
const BAND: u32 = 512;

/// Bands painted at once, at most: each takes memory.
const TOGETHER: usize = 2;

/// Width and height in pixels.
pub fn size(sheet: &Sheet, dpi: u32) -> (u32, u32) {
    let pixels = |mm: f64| (mm / 25.4 * f64::from(dpi)).round().max(1.0) as u32;
    (pixels(sheet.paper.width), pixels(sheet.paper.height))
}

/// Paints a sheet.
///
/// # Errors
/// When `out` does not take it, or the sheet's paper has no size.
pub fn png(sheet: &Sheet, dpi: u32, out: &mut dyn Write) -> io::Result<()> {
    let tree = usvg::Tree::from_str(&svg::without_font("", sheet), &options())
        .map_err(|e| io::Error::other(format!("the sheet's SVG does not read: {e}")))?;
    let (width, height) = size(sheet, dpi);
    let mut encoder = Encoder::new(out, width, height);
    encoder.set_color(ColorType::Grayscale);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::Fast);
    let per_metre = (f64::from(dpi) / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: Unit::Meter,
    }));
    let mut writer = encoder.write_header()?;
    let mut rows = writer.stream_writer()?;
    let scale = (
        width as f32 / tree.size().width(),
        height as f32 / tree.size().height(),
    );
    let band = |top: &u32| {
        let mut band = Pixmap::new(width, BAND.min(height))?;
        band.fill(Color::WHITE);
        let place = Transform::from_row(scale.0, 0.0, 0.0, scale.1, 0.0, -(*top as f32));
        resvg::render(&tree, place, &mut band.as_mut());
        // Opaque and grey: any colour channel will do.
        let used = width as usize * BAND.min(height - top) as usize;
        let grey = band.pixels().iter().take(used).map(|p| p.red());
        Some(grey.collect::<Vec<u8>>())
    };
    let tops: Vec<u32> = (0..height).step_by(BAND as usize).collect();
    let band = |i: usize| tops.get(i).and_then(band);
    at_once::in_order(tops.len(), TOGETHER, band, |grey| {
        let grey = grey.ok_or_else(|| io::Error::other("the sheet is too large to paint"))?;
        rows.write_all(&grey)
    })?;
    rows.finish()?;
    writer.finish()?;
    Ok(())
}

/// Only the bundled font, whatever the machine has.
fn options() -> usvg::Options<'static> {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    let fonts = FONTS.get_or_init(|| {
        let mut db = fontdb::Database::new();
        for weight in [Weight::Regular, Weight::Bold] {
            db.load_font_source(fontdb::Source::Binary(Arc::new(assets::truetype(weight))));
        }
        Arc::new(db)
    });
    usvg::Options {
        font_family: FAMILY.to_owned(),
        fontdb: Arc::clone(fonts),
        ..usvg::Options::default()
    }
}
