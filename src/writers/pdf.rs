//! PDF: one page a sheet at its exact size, real text in embedded subset fonts with a way back
//! to Unicode, sheet numbers as page labels and bookmarks. No date, so the same set gives the
//! same bytes.

use std::collections::HashMap;

use krilla::Document;
use krilla::color::luma;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::{PageLabel, PageSettings};
use krilla::paint::{Fill, LineCap, LineJoin, Stroke as PdfStroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use kurbo::{BezPath, PathEl};

use crate::assets;
use crate::at_once;
use crate::sheets::{Anchor, Grey, Shape, Sheet, SheetSet, Stroke, Text, Weight};

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;
const UNITS_PER_EM: f32 = 1000.0;

/// The whole set as one document.
///
/// # Errors
/// In words, when the set cannot be held by a PDF: no sheet, or paper of no size.
pub fn pdf(set: &SheetSet) -> Result<Vec<u8>, String> {
    if set.sheets.is_empty() {
        return Err("there is no sheet to put into a PDF".to_owned());
    }
    let fonts = Fonts::load()?;
    let mut document = Document::new();
    let mut outline = Outline::new();
    for (page_index, sheet) in set.sheets.iter().enumerate() {
        let size = PageSettings::from_wh(points(sheet.paper.width), points(sheet.paper.height));
        let settings = size
            .ok_or_else(|| format!("sheet {} has paper of no size", sheet.number))?
            .with_page_label(PageLabel::new(None, Some(sheet.number.clone()), None));
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        // From here on everything is in millimetres, like the scene.
        surface.push_transform(&Transform::from_scale(POINTS as f32, POINTS as f32));
        paint(&mut surface, &fonts, sheet);
        surface.pop();
        surface.finish();
        page.finish();
        let words = format!("{} {}", sheet.number, sheet.title);
        let top = XyzDestination::new(page_index, Point::from_xy(0.0, 0.0));
        outline.push_child(OutlineNode::new(words, top));
    }
    document.set_outline(outline);
    let title = if set.title.is_empty() {
        &set.name
    } else {
        &set.title
    };
    document.set_metadata(
        Metadata::new()
            .title(title.clone())
            .creator(concat!("stackfall ", env!("CARGO_PKG_VERSION")).to_owned())
            .language("en".to_owned()),
    );
    document
        .finish()
        .map_err(|e| format!("the PDF cannot be written: {e}"))
}

/// Paper sizes are whole multiples of a point or of a millimetre; a point's ten-thousandth is
/// rounded off, so that 36 in are 2592 points and not a hair more.
fn points(mm: f64) -> f32 {
    ((mm * POINTS * 1e4).round() / 1e4) as f32
}

struct Fonts {
    regular: Font,
    bold: Font,
}

impl Fonts {
    fn load() -> Result<Fonts, String> {
        let font = |weight| {
            Font::new(assets::truetype(weight).into(), 0)
                .ok_or_else(|| "the bundled font does not read".to_owned())
        };
        Ok(Fonts {
            regular: font(Weight::Regular)?,
            bold: font(Weight::Bold)?,
        })
    }

    fn of(&self, weight: Weight) -> Font {
        match weight {
            Weight::Regular => self.regular.clone(),
            Weight::Bold => self.bold.clone(),
        }
    }
}

/// The texts of a sheet, shaped: tables say the same few words over and over.
struct Shaped<'a> {
    /// Looked up only, never gone through.
    places: HashMap<(&'a str, bool), usize>,
    glyphs: Vec<Vec<KrillaGlyph>>,
}

impl<'a> Shaped<'a> {
    fn of(sheet: &'a Sheet) -> Self {
        let mut places = HashMap::new();
        let mut texts: Vec<&Text> = Vec::new();
        for text in sheet.items.iter().flat_map(|i| &i.texts) {
            places.entry(key(text)).or_insert_with(|| {
                texts.push(text);
                texts.len() - 1
            });
        }
        let shape = |i: usize| texts.get(i).map(|t| glyphs(&t.text, t.weight));
        Shaped {
            places,
            glyphs: at_once::many(texts.len(), |i| shape(i).unwrap_or_default()),
        }
    }

    fn glyphs(&self, text: &Text) -> &[KrillaGlyph] {
        let place = self.places.get(&key(text));
        place
            .and_then(|p| self.glyphs.get(*p))
            .map_or(&[], Vec::as_slice)
    }
}

/// All that the shape of a text follows from.
fn key(text: &Text) -> (&str, bool) {
    (text.text.as_str(), text.weight == Weight::Bold)
}

fn paint(surface: &mut Surface<'_>, fonts: &Fonts, sheet: &Sheet) {
    let shaped = Shaped::of(sheet);
    for item in &sheet.items {
        for shape in &item.shapes {
            paint_shape(surface, shape);
        }
        for text in &item.texts {
            paint_text(surface, fonts, text, shaped.glyphs(text));
        }
    }
}

fn fill(grey: Grey) -> Fill {
    Fill {
        paint: luma::Color::new(grey.0).into(),
        ..Fill::default()
    }
}

fn paint_shape(surface: &mut Surface<'_>, shape: &Shape) {
    // With neither fill nor stroke the library would fill it black.
    if shape.fill.is_none() && shape.stroke.is_none() {
        return;
    }
    let Some(path) = outline_of(&shape.path) else {
        return;
    };
    surface.set_fill(shape.fill.map(fill));
    surface.set_stroke(shape.stroke.as_ref().map(stroke));
    surface.draw_path(&path);
}

fn stroke(s: &Stroke) -> PdfStroke {
    PdfStroke {
        paint: luma::Color::new(s.grey.0).into(),
        width: s.width as f32,
        // SVG's own limit, so that both look alike at sharp corners.
        miter_limit: 4.0,
        line_cap: if s.round {
            LineCap::Round
        } else {
            LineCap::Butt
        },
        line_join: if s.round {
            LineJoin::Round
        } else {
            LineJoin::Miter
        },
        dash: (!s.dash.is_empty()).then(|| StrokeDash {
            array: s.dash.iter().map(|d| *d as f32).collect(),
            offset: 0.0,
        }),
        ..PdfStroke::default()
    }
}

fn outline_of(path: &BezPath) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => builder.move_to(p.x as f32, p.y as f32),
            PathEl::LineTo(p) => builder.line_to(p.x as f32, p.y as f32),
            PathEl::QuadTo(a, p) => {
                builder.quad_to(a.x as f32, a.y as f32, p.x as f32, p.y as f32);
            }
            PathEl::CurveTo(a, b, p) => builder.cubic_to(
                a.x as f32, a.y as f32, b.x as f32, b.y as f32, p.x as f32, p.y as f32,
            ),
            PathEl::ClosePath => builder.close(),
        }
    }
    builder.finish()
}

fn paint_text(surface: &mut Surface<'_>, fonts: &Fonts, text: &Text, glyphs: &[KrillaGlyph]) {
    if glyphs.is_empty() {
        return;
    }
    let em = text.em as f32;
    let width: f32 = glyphs.iter().map(|g| g.x_advance).sum::<f32>() * em;
    let back = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    };
    let (c, s) = text.slant.cos_sin();
    let (c, s) = (c as f32, s as f32);
    let (x, y) = (text.at.x as f32, text.at.y as f32);
    surface.set_stroke(None);
    surface.set_fill(Some(fill(text.grey)));
    surface.push_transform(&Transform::from_row(c, s, -s, c, x, y));
    let start = Point::from_xy(-back, 0.0);
    surface.draw_glyphs(start, glyphs, fonts.of(text.weight), &text.text, em, false);
    surface.pop();
}

/// The shaped glyphs, each with the letters of the text that it stands for.
fn glyphs(text: &str, weight: Weight) -> Vec<KrillaGlyph> {
    let Some(shaped) = assets::shape(text, weight) else {
        return Vec::new();
    };
    let (infos, positions) = (shaped.glyph_infos(), shaped.glyph_positions());
    // Left to right, clusters only ever rise: a glyph's letters end where the next cluster starts.
    let ends = infos.iter().enumerate().map(|(i, info)| {
        let next = infos
            .iter()
            .skip(i)
            .map(|n| n.cluster)
            .find(|c| *c > info.cluster);
        next.map_or(text.len(), |c| c as usize)
    });
    infos
        .iter()
        .zip(positions)
        .zip(ends)
        .map(|((info, at), end)| {
            KrillaGlyph::new(
                GlyphId::new(info.glyph_id),
                at.x_advance as f32 / UNITS_PER_EM,
                at.x_offset as f32 / UNITS_PER_EM,
                at.y_offset as f32 / UNITS_PER_EM,
                at.y_advance as f32 / UNITS_PER_EM,
                info.cluster as usize..end,
                None,
            )
        })
        .collect()
}
