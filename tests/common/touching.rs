//! What on a sheet touches what it must not, by the drawing contract: a small part of the proof that
//! needs no browser. It is a little more lenient than the proof, so whatever it finds is a defect.

use kurbo::{PathEl, Point, Rect, Vec2};
use stackfall::assets;
use stackfall::placement::outline::{Cover, Outline, twelve_sided};
use stackfall::sheets::{Anchor, Item, Role, Sheet, Text};

use super::places::{hull, said};

/// Clear paper round a label's ink, mm: the proof asks for 0.25.
const LABEL_CLEAR: f64 = 0.2;
/// Clear paper between two parallel pipes, mm: the proof asks for 2.0.
const PIPES_CLEAR: f64 = 1.9;

/// A piece of a pipe.
struct Piece<'a> {
    item: &'a Item,
    a: Point,
    b: Point,
    width: f64,
}

impl Piece<'_> {
    fn outline(&self, grow: f64) -> Outline {
        let u = unit(self.b - self.a);
        let n = Vec2::new(-u.y, u.x) * (self.width / 2.0 + grow);
        Outline::new(
            vec![self.a - n, self.b - n, self.b + n, self.a + n],
            Cover::Solid,
        )
    }
    fn shares_joint(&self, other: &Piece<'_>) -> bool {
        let ends = |i| [said(i, "from"), said(i, "to")];
        ends(self.item).iter().any(|j| ends(other.item).contains(j))
    }
}

fn unit(v: Vec2) -> Vec2 {
    v * (1.0 / v.hypot().max(1e-9))
}

fn pieces(sheet: &Sheet) -> Vec<Piece<'_>> {
    let mut all = Vec::new();
    for item in sheet.items.iter().filter(|i| i.role == Role::Pipe) {
        let mut at = Point::ORIGIN;
        for shape in &item.shapes {
            let width = shape.stroke.as_ref().map_or(0.0, |s| s.width);
            for e in shape.path.elements() {
                let next = e.end_point().unwrap_or(at);
                if !matches!(e, PathEl::MoveTo(_)) && (next - at).hypot() > 0.02 {
                    all.push(Piece {
                        item,
                        a: at,
                        b: next,
                        width,
                    });
                }
                at = next;
            }
        }
    }
    all
}

/// The box round the ink of a line of text, grown on all sides.
fn ink(text: &Text, grow: f64) -> Outline {
    let (c, s) = text.slant.cos_sin();
    let u = Vec2::new(c, s);
    let up = Vec2::new(s, -c);
    let width = assets::width(&text.text, text.weight) * text.em;
    let (low, high) = assets::ink(&text.text, text.weight);
    let (low, high) = (
        low.min(high) * text.em - grow,
        low.max(high) * text.em + grow,
    );
    let start = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let (l, r) = (start - grow, start + width + grow);
    let corner = |x: f64, y: f64| text.at + u * x + up * y;
    let corners = vec![
        corner(l, low),
        corner(r, low),
        corner(r, high),
        corner(l, high),
    ];
    Outline::new(corners, Cover::Solid)
}

fn outline_of(item: &Item) -> Outline {
    let mut points = Vec::new();
    for shape in &item.shapes {
        kurbo::flatten(&shape.path, 0.1, |e| points.extend(e.end_point()));
    }
    Outline::new(twelve_sided(&points, -0.1), Cover::Solid)
}

/// What is wrong with a sheet of a drawing, each with its kind first.
pub fn touching(sheet: &Sheet) -> Vec<String> {
    let mut wrong = Vec::new();
    let pipes = pieces(sheet);
    pipes_among_themselves(&pipes, &mut wrong);
    let labels: Vec<(&Item, Vec<Outline>)> = (sheet.items.iter())
        .filter(|i| i.role == Role::Label)
        .map(|i| (i, i.texts.iter().map(|t| ink(t, LABEL_CLEAR)).collect()))
        .collect();
    let symbols: Vec<(&Item, Outline)> = (sheet.items.iter())
        .filter(|i| i.role == Role::Symbol)
        .map(|i| (i, outline_of(i)))
        .collect();
    let panels: Vec<(&Item, Rect)> = (sheet.items.iter())
        .filter(|i| i.role == Role::Panel)
        .map(|i| (i, hull(i)))
        .collect();
    for (i, (a, own)) in labels.iter().enumerate() {
        for (b, other) in &labels[i + 1..] {
            if own.iter().any(|x| other.iter().any(|y| x.meets(y))) {
                wrong.push(format!("labels overlap: {} / {}", words(a), words(b)));
            }
        }
        for p in &pipes {
            if own.iter().any(|x| x.meets(&p.outline(0.0))) {
                wrong.push(format!("label on a pipe: {} on {}", words(a), p.item.id));
            }
        }
        for (s, hull) in &symbols {
            let names = [said(s, "for"), s.id.as_str()].contains(&said(a, "for"));
            if !names && own.iter().any(|x| x.meets(hull)) {
                wrong.push(format!("label on a symbol: {} on {}", words(a), s.id));
            }
        }
    }
    for (i, (a, own)) in symbols.iter().enumerate() {
        for (b, other) in &symbols[i + 1..] {
            if said(a, "for") != said(b, "for") && own.meets(other) {
                wrong.push(format!("symbols overlap: {} / {}", a.id, b.id));
            }
        }
    }
    for p in &pipes {
        for (panel, rect) in &panels {
            if p.outline(0.0)
                .meets(&Outline::new(corners(*rect), Cover::Solid))
            {
                let panel = said(panel, "panel");
                wrong.push(format!("pipe through a panel: {} / {panel}", p.item.id));
            }
        }
    }
    let field = sheet.items.iter().find(|i| i.role == Role::Field).map(hull);
    if let Some(field) = field.map(|f| f.inflate(0.1, 0.1)) {
        let out = |r: Rect| !(field.contains(r.origin()) && field.contains(Point::new(r.x1, r.y1)));
        for p in &pipes {
            if out(Rect::from_points(p.a, p.b)) {
                wrong.push(format!("pipe outside the field: {}", p.item.id));
            }
        }
        for (l, own) in &labels {
            if own.iter().any(|o| out(o.bounds())) {
                wrong.push(format!("label outside the field: {}", words(l)));
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    wrong
}

fn corners(r: Rect) -> Vec<Point> {
    vec![
        r.origin(),
        Point::new(r.x1, r.y0),
        Point::new(r.x1, r.y1),
        Point::new(r.x0, r.y1),
    ]
}

fn words(item: &Item) -> String {
    let lines: Vec<&str> = item.texts.iter().map(|t| t.text.as_str()).collect();
    format!("“{}”", lines.join(" "))
}

fn pipes_among_themselves(pipes: &[Piece<'_>], wrong: &mut Vec<String>) {
    for (i, a) in pipes.iter().enumerate() {
        let (u, long) = (unit(a.b - a.a), (a.b - a.a).hypot());
        let near = Rect::from_points(a.a, a.b).inflate(4.0, 4.0);
        for b in &pipes[i + 1..] {
            let other = Rect::from_points(b.a, b.b);
            if near.x0 > other.x1 || near.x1 < other.x0 || near.y0 > other.y1 || near.y1 < other.y0
            {
                continue;
            }
            let names = || format!("{} / {}", a.item.id, b.item.id);
            let v = unit(b.b - b.a);
            let turn = u.cross(v);
            if turn.abs() > 0.02 {
                // Where they cross, along each.
                let w = b.a - a.a;
                let (t, s) = (w.cross(v) / turn, w.cross(u) / turn);
                let far = (b.b - b.a).hypot();
                if t > 0.15 && t < long - 0.15 && s > 0.15 && s < far - 0.15 {
                    wrong.push(format!("crossing without a gap: {}", names()));
                }
            } else if !std::ptr::eq(a.item, b.item) || !a.shares_joint(b) {
                let off = (b.a - a.a).cross(u).abs();
                let along = [(b.a - a.a).dot(u), (b.b - a.a).dot(u)];
                let shared = long.min(along[0].max(along[1])) - along[0].min(along[1]).max(0.0);
                let clear = off - (a.width + b.width) / 2.0;
                if shared > 0.3 && off < 0.2 {
                    wrong.push(format!("pipes drawn over each other: {}", names()));
                } else if shared > 1.0 && clear < PIPES_CLEAR {
                    wrong.push(format!("parallel pipes too close: {}", names()));
                }
            }
        }
    }
}
