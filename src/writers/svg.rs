//! SVG, as the drawing contract has it: real paper size, a `viewBox` in millimetres, text as
//! text, and beside every shape the attributes that say what it is.
//!
//! The frame is built of the `svg` crate's nodes; the items, of which there are thousands, are
//! written straight into one string.

use std::sync::OnceLock;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use kurbo::{BezPath, PathEl, Point, Shape as _};
use svg::Document;
use svg::node::element::{Rectangle, Style, Title};

use super::{fixed, xml};
use crate::assets::{self, FAMILY};
use crate::sheets::{
    Anchor, DrawingKind, Grey, Item, Role, Shape, Sheet, Slant, Stroke, Text, Weight,
};

/// A sheet as an SVG file that stands on its own: the font travels inside it.
pub fn svg(set: &str, sheet: &Sheet) -> String {
    document(set, sheet, true)
}

/// The same without the font, for a painter that has it already.
pub(super) fn without_font(set: &str, sheet: &Sheet) -> String {
    document(set, sheet, false)
}

fn document(set: &str, sheet: &Sheet, with_font: bool) -> String {
    let paper = sheet.paper;
    let number = |value: f64| {
        let mut out = String::new();
        fixed::push(&mut out, value);
        out
    };
    let real = |mm: f64| {
        if paper.inches {
            number(mm / 25.4) + "in"
        } else {
            number(mm) + "mm"
        }
    };
    let drawing = match sheet.drawing {
        DrawingKind::Isometric => "isometric",
        DrawingKind::Plan => "plan",
        DrawingKind::Section => "section",
        DrawingKind::Tables => "tables",
    };
    let mut root = Document::new()
        .set("width", real(paper.width))
        .set("height", real(paper.height))
        .set(
            "viewBox",
            format!("0 0 {} {}", number(paper.width), number(paper.height)),
        )
        .set("data-drawing", drawing)
        .set("data-sheet", sheet.purpose)
        .set("data-set", xml::holdable(set))
        .set("data-number", xml::holdable(&sheet.number))
        .set("font-family", FAMILY)
        // Letters keep the places they were measured at, whatever the zoom.
        .set("text-rendering", "geometricPrecision")
        .add(Title::new(xml::holdable(
            format!("{} {}", sheet.number, sheet.title).trim(),
        )));
    if with_font {
        root = root.add(Style::new(FACES));
    }
    // The paper itself, so that a viewer with a dark page shows the sheet white.
    let ground = Rectangle::new()
        .set("data-role", "mark")
        .set("width", number(paper.width))
        .set("height", number(paper.height))
        .set("fill", "#fff");
    let frame = root.add(ground).to_string();
    // The fonts and the items go straight into the one string, the items before the end of the
    // frame: there may be megabytes of them, and each copy is memory that must be fetched.
    const END: &str = "</svg>";
    let frame = frame.strip_suffix(END).unwrap_or(&frame);
    let mut out = String::with_capacity(frame.len() + FONTS + room(&sheet.items));
    match frame.rsplit_once(FACES).filter(|_| with_font) {
        Some((before, after)) => {
            out.push_str(before);
            push_font_faces(&mut out, sheet);
            out.push_str(after);
        }
        None => out.push_str(frame),
    }
    for item in &sheet.items {
        push_item(&mut out, item);
        out.push('\n');
    }
    out.push_str(END);
    out.push('\n');
    out
}

/// Stands in the frame where the rules of the fonts go.
const FACES: &str = "@font-face";
/// About what both fonts take.
const FONTS: usize = 100_000;

/// `@font-face` rules for the weights that a sheet uses.
fn push_font_faces(out: &mut String, sheet: &Sheet) {
    for (weight, number) in [(Weight::Regular, 400), (Weight::Bold, 700)] {
        let mut texts = sheet.items.iter().flat_map(|i| &i.texts);
        if texts.any(|t| t.weight == weight) {
            out.push_str(&format!(
                "@font-face{{font-family:\"{FAMILY}\";font-weight:{number};src:url(data:font/woff2;base64,"
            ));
            out.push_str(encoded(weight));
            out.push_str(") format(\"woff2\")}");
        }
    }
}

fn encoded(weight: Weight) -> &'static str {
    static REGULAR: OnceLock<String> = OnceLock::new();
    static BOLD: OnceLock<String> = OnceLock::new();
    let cell = match weight {
        Weight::Regular => &REGULAR,
        Weight::Bold => &BOLD,
    };
    cell.get_or_init(|| STANDARD.encode(assets::woff2(weight)))
}

/// About what items take, so that the string need not grow: a rule or a short text, and what a
/// pipe says of itself.
fn room(list: &[Item]) -> usize {
    let paths = list.iter().flat_map(|i| &i.shapes);
    let points: usize = paths.map(|s| 100 + s.path.elements().len() * 20).sum();
    let texts: usize = list.iter().map(|i| i.texts.len() * 110).sum();
    let marks: usize = list.iter().map(|i| 60 + i.data.len() * 28).sum();
    points + texts + marks
}

fn push_item(out: &mut String, item: &Item) {
    match (item.role, item.shapes.as_slice(), item.texts.as_slice()) {
        (Role::Field, [shape], []) => push_field(out, item, shape),
        (Role::Pipe | Role::Leader, [shape], []) => push_path(out, shape, Some(item)),
        (Role::Label, [], [text]) if item.title.is_none() => push_text(out, text, Some(item)),
        (_, shapes, texts) => {
            out.push_str("<g");
            push_marks(out, item);
            out.push('>');
            push_title(out, item);
            for shape in shapes {
                push_path(out, shape, None);
            }
            for text in texts {
                push_text(out, text, None);
            }
            out.push_str("</g>");
        }
    }
}

/// The attributes that say what an item is.
fn push_marks(out: &mut String, item: &Item) {
    if let Some(word) = item.role.word() {
        attribute(out, "data-role", word);
    }
    if !item.id.is_empty() {
        attribute(out, "id", &item.id);
    }
    for (key, value) in &item.data {
        out.push_str(" data-");
        out.push_str(key);
        out.push_str("=\"");
        xml::push(out, value);
        out.push('"');
    }
}

fn attribute(out: &mut String, key: &str, value: &str) {
    out.push(' ');
    out.push_str(key);
    out.push_str("=\"");
    xml::push(out, value);
    out.push('"');
}

fn numeric(out: &mut String, key: &str, value: f64) {
    out.push(' ');
    out.push_str(key);
    out.push_str("=\"");
    fixed::push(out, value);
    out.push('"');
}

fn push_title(out: &mut String, item: &Item) {
    if let Some(title) = &item.title {
        out.push_str("<title>");
        xml::push(out, title);
        out.push_str("</title>");
    }
}

fn push_field(out: &mut String, item: &Item, shape: &Shape) {
    let box_of = shape.path.bounding_box();
    out.push_str("<rect");
    push_marks(out, item);
    numeric(out, "x", box_of.x0);
    numeric(out, "y", box_of.y0);
    numeric(out, "width", box_of.width());
    numeric(out, "height", box_of.height());
    push_paint(out, shape);
    close(out, "rect", Some(item));
}

fn push_path(out: &mut String, shape: &Shape, item: Option<&Item>) {
    out.push_str("<path");
    if let Some(item) = item {
        push_marks(out, item);
    }
    push_paint(out, shape);
    out.push_str(" d=\"");
    push_outline(out, &shape.path);
    out.push('"');
    close(out, "path", item);
}

/// Ends an element that holds a title or nothing.
fn close(out: &mut String, name: &str, item: Option<&Item>) {
    match item.filter(|i| i.title.is_some()) {
        Some(item) => {
            out.push('>');
            push_title(out, item);
            out.push_str("</");
            out.push_str(name);
            out.push('>');
        }
        None => out.push_str("/>"),
    }
}

fn push_paint(out: &mut String, shape: &Shape) {
    match shape.fill {
        Some(grey) => {
            out.push_str(" fill=\"");
            push_grey(out, grey);
            out.push('"');
        }
        None => out.push_str(" fill=\"none\""),
    }
    if let Some(stroke) = &shape.stroke {
        push_stroke(out, stroke);
    }
}

fn push_stroke(out: &mut String, stroke: &Stroke) {
    out.push_str(" stroke=\"");
    push_grey(out, stroke.grey);
    out.push('"');
    numeric(out, "stroke-width", stroke.width);
    if !stroke.dash.is_empty() {
        out.push_str(" stroke-dasharray=\"");
        for (i, d) in stroke.dash.iter().enumerate() {
            if i > 0 {
                out.push(' ');
            }
            fixed::push(out, *d);
        }
        out.push('"');
    }
    if stroke.round {
        out.push_str(" stroke-linecap=\"round\" stroke-linejoin=\"round\"");
    }
}

fn push_grey(out: &mut String, grey: Grey) {
    const HEX: &[u8; 16] = b"0123456789abcdef";
    out.push('#');
    let (high, low) = (HEX[usize::from(grey.0 >> 4)], HEX[usize::from(grey.0 & 15)]);
    // `#abc` stands for `#aabbcc`.
    for _ in 0..3 {
        out.push(char::from(high));
        if high != low {
            out.push(char::from(low));
        }
    }
}

/// Path commands M, L, H, V, Q, C and Z, absolute.
fn push_outline(out: &mut String, path: &BezPath) {
    let rounded = |p: Point| (fixed::thousandths(p.x), fixed::thousandths(p.y));
    let mut at = None;
    let mut start = None;
    for element in path.elements() {
        let end = element.end_point().map(rounded);
        match element {
            PathEl::MoveTo(p) => {
                push_points(out, 'M', &[*p]);
                start = end;
            }
            PathEl::LineTo(p) => match (at, end) {
                (Some((x, _)), Some((to_x, to_y))) if x == to_x => {
                    out.push('V');
                    fixed::push_thousandths(out, to_y);
                }
                (Some((_, y)), Some((to_x, to_y))) if y == to_y => {
                    out.push('H');
                    fixed::push_thousandths(out, to_x);
                }
                _ => push_points(out, 'L', &[*p]),
            },
            PathEl::QuadTo(a, p) => push_points(out, 'Q', &[*a, *p]),
            PathEl::CurveTo(a, b, p) => push_points(out, 'C', &[*a, *b, *p]),
            PathEl::ClosePath => out.push('Z'),
        }
        at = if matches!(element, PathEl::ClosePath) {
            start
        } else {
            end
        };
    }
}

fn push_points(out: &mut String, command: char, points: &[Point]) {
    out.push(command);
    for (i, p) in points.iter().enumerate() {
        if i > 0 {
            out.push(' ');
        }
        fixed::push(out, p.x);
        out.push(' ');
        fixed::push(out, p.y);
    }
}

fn push_text(out: &mut String, text: &Text, item: Option<&Item>) {
    out.push_str("<text");
    if let Some(item) = item {
        push_marks(out, item);
    }
    match turn(text.slant) {
        None => {
            numeric(out, "x", text.at.x);
            numeric(out, "y", text.at.y);
        }
        Some(matrix) => {
            out.push_str(" transform=\"matrix(");
            out.push_str(matrix);
            out.push(' ');
            fixed::push(out, text.at.x);
            out.push(' ');
            fixed::push(out, text.at.y);
            out.push_str(")\"");
        }
    }
    numeric(out, "font-size", text.em);
    if text.weight == Weight::Bold {
        out.push_str(" font-weight=\"700\"");
    }
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
        Anchor::End => out.push_str(" text-anchor=\"end\""),
    }
    if text.grey != Grey::BLACK {
        out.push_str(" fill=\"");
        push_grey(out, text.grey);
        out.push('"');
    }
    // Two spaces side by side were measured as two.
    if text.text.contains("  ") || text.text.starts_with(' ') || text.text.ends_with(' ') {
        out.push_str(" xml:space=\"preserve\"");
    }
    out.push('>');
    xml::push(out, &text.text);
    out.push_str("</text>");
}

/// The first four numbers of the matrix that turns a text: [`Slant::cos_sin`], to the last digit
/// that a single-precision painter keeps.
fn turn(slant: Slant) -> Option<&'static str> {
    Some(match slant {
        Slant::Level => return None,
        Slant::Up30 => "0.8660254 -0.5 0.5 0.8660254",
        Slant::Down30 => "0.8660254 0.5 -0.5 0.8660254",
        Slant::Up60 => "0.5 -0.8660254 0.8660254 0.5",
        Slant::Down60 => "0.5 0.8660254 -0.8660254 0.5",
        Slant::Up90 => "0 -1 1 0",
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(f: impl Fn(&mut String)) -> String {
        let mut out = String::new();
        f(&mut out);
        out
    }

    #[test]
    fn matrices_are_those_of_the_slants() {
        use Slant::{Down30, Down60, Level, Up30, Up60, Up90};
        assert_eq!(turn(Level), None);
        for slant in [Up30, Down30, Up60, Down60, Up90] {
            let (c, s) = slant.cos_sin();
            let numbers: Vec<f64> = turn(slant)
                .unwrap_or("")
                .split(' ')
                .filter_map(|n| n.parse().ok())
                .collect();
            assert_eq!(numbers.len(), 4);
            for (have, want) in numbers.iter().zip([c, s, -s, c]) {
                assert!((have - want).abs() < 5e-8, "{slant:?}");
            }
        }
    }

    #[test]
    fn greys_are_hex() {
        assert_eq!(written(|o| push_grey(o, Grey::BLACK)), "#000");
        assert_eq!(written(|o| push_grey(o, Grey::WHITE)), "#fff");
        assert_eq!(written(|o| push_grey(o, Grey(0x5c))), "#5c5c5c");
    }

    #[test]
    fn outlines_are_short() {
        let mut path = BezPath::new();
        path.move_to((1.0, 2.0));
        path.line_to((1.000_01, 5.0));
        path.line_to((4.5, 5.0));
        path.line_to((6.0, 7.0));
        path.close_path();
        path.line_to((1.0, 3.0));
        path.curve_to((1.0, 1.0), (2.0, 2.0), (3.0, 3.0));
        path.quad_to((4.0, 4.0), (5.0, 3.0));
        assert_eq!(
            written(|o| push_outline(o, &path)),
            "M1 2V5H4.5L6 7ZV3C1 1 2 2 3 3Q4 4 5 3"
        );
    }
}
