//! Sheets as pictures, the difference of two, and a page that shows both beside it.

use std::fmt::Write as _;
use std::sync::{Arc, OnceLock};

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{self, fontdb};
use stackfall::assets::{self, FAMILY};
use stackfall::sheets::Weight;

/// Pixels a mm of paper: 76 to the inch.
const PIXELS: f32 = 3.0;
/// How much darker one picture must be than the other to be told of, of 255.
const DARKER: i32 = 40;

/// A picture in grey, 0 black to 255 white.
pub struct Picture {
    wide: usize,
    grey: Vec<u8>,
}

fn options() -> &'static usvg::Options<'static> {
    static OPTIONS: OnceLock<usvg::Options<'static>> = OnceLock::new();
    OPTIONS.get_or_init(|| {
        let mut fonts = fontdb::Database::new();
        for weight in [Weight::Regular, Weight::Bold] {
            fonts.load_font_data(assets::truetype(weight).to_vec());
        }
        usvg::Options {
            fontdb: Arc::new(fonts),
            font_family: FAMILY.to_owned(),
            ..usvg::Options::default()
        }
    })
}

/// Paints an SVG; nothing where it does not read.
pub fn paint(svg: &str) -> Option<Picture> {
    let tree = usvg::Tree::from_str(svg, options()).ok()?;
    // SVG has 96 pixels to the inch.
    let scale = PIXELS * 25.4 / 96.0;
    let size = tree.size();
    let (w, h) = (size.width() * scale, size.height() * scale);
    let mut map = Pixmap::new(w.ceil() as u32, h.ceil() as u32)?;
    map.fill(Color::WHITE);
    resvg::render(
        &tree,
        Transform::from_scale(scale, scale),
        &mut map.as_mut(),
    );
    Some(Picture {
        wide: map.width() as usize,
        grey: map.pixels().iter().map(|p| p.green()).collect(),
    })
}

impl Picture {
    fn high(&self) -> usize {
        self.grey.len() / self.wide.max(1)
    }
    fn at(&self, x: usize, y: usize) -> i32 {
        let inside = x < self.wide && y < self.high();
        match inside {
            true => i32::from(self.grey[y * self.wide + x]),
            false => 255,
        }
    }
    fn as_rgb(&self) -> Vec<u8> {
        self.grey.iter().flat_map(|g| [*g; 3]).collect()
    }
}

/// What went in red, what is new in blue, what stayed pale.
fn difference(before: &Picture, after: &Picture) -> (usize, Vec<u8>) {
    let (wide, high) = (before.wide.max(after.wide), before.high().max(after.high()));
    let mut rgb = Vec::with_capacity(wide * high * 3);
    for y in 0..high {
        for x in 0..wide {
            let (b, a) = (before.at(x, y), after.at(x, y));
            let ink = |v: i32| v.clamp(0, 255) as u8;
            rgb.extend(match b - a {
                d if d < -DARKER => [230, ink(b / 2), ink(b / 2)],
                d if d > DARKER => [ink(a / 2), ink(a / 2), 230],
                _ => [ink(170 + a / 3); 3],
            });
        }
    }
    (wide, rgb)
}

fn image(wide: usize, rgb: &[u8], words: &str) -> String {
    let mut file = Vec::new();
    let high = rgb.len() / 3 / wide.max(1);
    let mut encoder = png::Encoder::new(&mut file, wide as u32, high as u32);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let written = encoder
        .write_header()
        .and_then(|mut w| w.write_image_data(rgb));
    written.expect("a picture in memory");
    let data = STANDARD.encode(file);
    format!(
        "<figure><figcaption>{words}</figcaption><img src=\"data:image/png;base64,{data}\"></figure>"
    )
}

/// A sheet as it was and as it is; either may be missing.
pub struct Changed {
    pub name: String,
    pub before: Option<String>,
    pub after: Option<String>,
    /// Changed lines of the dump, each after its sign.
    pub lines: Vec<String>,
    /// What else is to be said.
    pub said: String,
}

const STYLE: &str = "body{font:15px sans-serif;margin:16px;background:#fff;color:#111}\
section{border-top:3px solid #111;margin-top:24px}\
.three{display:grid;grid-template-columns:repeat(3,1fr);gap:8px}figure{margin:0;overflow:auto;border:1px solid #999}\
figcaption{position:sticky;left:0;background:#eee;padding:2px 6px}img{width:100%}img:active{width:auto}\
pre{overflow:auto;max-height:24em;background:#f6f6f6;padding:8px}.gone{color:#b00}.new{color:#00b}";

/// The page: it needs no script and no network.
pub fn page(changed: &[Changed]) -> String {
    let mut html = format!(
        "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>Changed drawings</title>\
         <style>{STYLE}</style><h1>Changed drawings: {}</h1><p>Red is gone, blue is new. Press and hold a \
         picture to see it at its own size.</p>\n",
        changed.len()
    );
    for c in changed {
        let _ = write!(
            html,
            "<section><h2>{}</h2><p>{}</p>",
            escaped(&c.name),
            escaped(&c.said)
        );
        let before = c.before.as_deref().and_then(paint);
        let after = c.after.as_deref().and_then(paint);
        html += "<div class=\"three\">";
        let shown = |p: &Option<Picture>, words: &str| match p {
            Some(p) => image(p.wide, &p.as_rgb(), words),
            None => format!("<figure><figcaption>{words}: no such sheet</figcaption></figure>"),
        };
        html += &shown(&before, "before");
        if let (Some(b), Some(a)) = (&before, &after) {
            let (wide, rgb) = difference(b, a);
            html += &image(wide, &rgb, "difference");
        } else {
            html += "<figure><figcaption>difference: one side only</figcaption></figure>";
        }
        html += &shown(&after, "after");
        html += "</div><pre>";
        for line in &c.lines {
            let class = if line.starts_with('-') { "gone" } else { "new" };
            let _ = writeln!(html, "<span class=\"{class}\">{}</span>", escaped(line));
        }
        html += "</pre></section>\n";
    }
    html + "</html>\n"
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
