//! What the libraries cost by themselves, on what is prepared for them.

use krilla::Document;
use krilla::color::luma;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use kurbo::PathEl;
use resvg::tiny_skia::{Color, Pixmap, Transform as Turn};
use resvg::usvg::{self, fontdb};
use stackfall::assets::{self, FAMILY};
use stackfall::sheets::{Anchor, Grey, Sheet, Weight};
use std::sync::{Arc, OnceLock};

/// Reads an SVG with the bundled font only.
pub fn tree(svg: &str) -> usvg::Tree {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    let fonts = FONTS.get_or_init(|| {
        let mut db = fontdb::Database::new();
        for weight in [Weight::Regular, Weight::Bold] {
            db.load_font_source(fontdb::Source::Binary(Arc::new(assets::truetype(weight))));
        }
        Arc::new(db)
    });
    let options = usvg::Options {
        font_family: FAMILY.to_owned(),
        fontdb: Arc::clone(fonts),
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(svg, &options).expect("it reads")
}

/// Paints a tree whole, and encodes the picture.
pub fn png(tree: &usvg::Tree, (width, height): (u32, u32)) -> Vec<u8> {
    let mut picture = Pixmap::new(width, height).expect("a size");
    picture.fill(Color::WHITE);
    let scale = Turn::from_scale(
        width as f32 / tree.size().width(),
        height as f32 / tree.size().height(),
    );
    resvg::render(tree, scale, &mut picture.as_mut());
    let grey: Vec<u8> = picture.pixels().iter().map(|p| p.red()).collect();
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, width, height);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().expect("it encodes");
    writer.write_image_data(&grey).expect("it encodes");
    writer.finish().expect("it encodes");
    out
}

/// A shape or a text as the PDF library takes it.
pub enum Prepared {
    /// A path with its fill and stroke.
    Path(Path, Option<Fill>, Option<Stroke>),
    /// Glyphs, where they start, how they are turned, and the text they stand for.
    Glyphs(
        Vec<KrillaGlyph>,
        Point,
        Transform,
        String,
        f32,
        Weight,
        Fill,
    ),
}

fn fill(grey: Grey) -> Fill {
    Fill {
        paint: luma::Color::new(grey.0).into(),
        ..Fill::default()
    }
}

/// Everything on a sheet, ready to be handed over.
pub fn prepared(sheet: &Sheet) -> Vec<Prepared> {
    let mut all = Vec::new();
    for item in &sheet.items {
        for shape in &item.shapes {
            let mut b = PathBuilder::new();
            for element in shape.path.elements() {
                match *element {
                    PathEl::MoveTo(p) => b.move_to(p.x as f32, p.y as f32),
                    PathEl::LineTo(p) => b.line_to(p.x as f32, p.y as f32),
                    PathEl::QuadTo(a, p) => {
                        b.quad_to(a.x as f32, a.y as f32, p.x as f32, p.y as f32)
                    }
                    PathEl::CurveTo(a, c, p) => b.cubic_to(
                        a.x as f32, a.y as f32, c.x as f32, c.y as f32, p.x as f32, p.y as f32,
                    ),
                    PathEl::ClosePath => b.close(),
                }
            }
            let stroke = shape.stroke.as_ref().map(|s| Stroke {
                paint: luma::Color::new(s.grey.0).into(),
                width: s.width as f32,
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
                ..Stroke::default()
            });
            if let Some(path) = b.finish()
                && (shape.fill.is_some() || stroke.is_some())
            {
                all.push(Prepared::Path(path, shape.fill.map(fill), stroke));
            }
        }
        for text in &item.texts {
            let Some(shaped) = assets::shape(&text.text, text.weight) else {
                continue;
            };
            let (infos, at) = (shaped.glyph_infos(), shaped.glyph_positions());
            let ends = infos.iter().skip(1).map(|i| i.cluster as usize);
            let ends = ends.chain([text.text.len()]);
            let glyphs: Vec<KrillaGlyph> = (infos.iter().zip(at).zip(ends))
                .map(|((info, at), end)| {
                    let unit = |v: i32| v as f32 / 1000.0;
                    let range = info.cluster as usize..end.max(info.cluster as usize);
                    KrillaGlyph::new(
                        GlyphId::new(info.glyph_id),
                        unit(at.x_advance),
                        unit(at.x_offset),
                        unit(at.y_offset),
                        unit(at.y_advance),
                        range,
                        None,
                    )
                })
                .collect();
            let em = text.em as f32;
            let width: f32 = glyphs.iter().map(|g| g.x_advance).sum::<f32>() * em;
            let back = match text.anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => width / 2.0,
                Anchor::End => width,
            };
            let (c, s) = text.slant.cos_sin();
            let (c, s) = (c as f32, s as f32);
            let turn = Transform::from_row(c, s, -s, c, text.at.x as f32, text.at.y as f32);
            let start = Point::from_xy(-back, 0.0);
            let words = text.text.clone();
            all.push(Prepared::Glyphs(
                glyphs,
                start,
                turn,
                words,
                em,
                text.weight,
                fill(text.grey),
            ));
        }
    }
    all
}

/// Hands it over.
pub fn pdf(sheet: &Sheet, all: &[Prepared]) -> Vec<u8> {
    let font = |weight| Font::new(assets::truetype(weight).into(), 0).expect("a font");
    let (regular, bold) = (font(Weight::Regular), font(Weight::Bold));
    let points = (72.0 / 25.4) as f32;
    let (width, height) = (sheet.paper.width as f32, sheet.paper.height as f32);
    let mut document = Document::new();
    let settings = PageSettings::from_wh(width * points, height * points).expect("a size");
    let mut page = document.start_page_with(settings);
    let mut surface = page.surface();
    surface.push_transform(&Transform::from_scale(points, points));
    for one in all {
        match one {
            Prepared::Path(path, fill, stroke) => {
                surface.set_fill(fill.clone());
                surface.set_stroke(stroke.clone());
                surface.draw_path(path);
            }
            Prepared::Glyphs(glyphs, start, turn, words, em, weight, fill) => {
                surface.set_stroke(None);
                surface.set_fill(Some(fill.clone()));
                surface.push_transform(turn);
                let font = match weight {
                    Weight::Regular => regular.clone(),
                    Weight::Bold => bold.clone(),
                };
                surface.draw_glyphs(*start, glyphs, font, words, *em, false);
                surface.pop();
            }
        }
    }
    surface.pop();
    surface.finish();
    page.finish();
    document.finish().expect("it is written")
}
