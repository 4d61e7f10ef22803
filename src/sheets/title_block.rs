//! The title strip: stamp space, title block, north arrow, sheet number (ISO 7200's fields).

use kurbo::{BezPath, Point, Rect, Shape as _, Vec2};

use super::lettering::{BODY, HEAVY, Hand, PITCH, PLAIN, THIN, brief, capitals, outline, rule};
use super::{Anchor, Frame, Grey, Inputs, Item, Paper, Purpose, Shape, Weight, scale_bar};
use crate::placement::Scale;
use crate::symbols;

/// What differs from sheet to sheet.
pub(super) struct Heading {
    pub number: String,
    pub title: String,
    /// For whom it is.
    pub purpose: Purpose,
    pub index: usize,
    pub count: usize,
    /// Paper direction of plan north; none on a sheet of tables.
    pub north: Option<(f64, f64)>,
    /// The scale of a plan or section, whose north arrow then lies flat on the paper.
    pub scale: Option<Scale>,
}

/// From a cell's edge to its words.
pub(super) const PAD: f64 = 1.8;

/// A band of the title block: cells side by side, with the part of the width that each takes.
struct Band {
    cells: Vec<Field>,
    height: f64,
}

struct Field {
    part: f64,
    caption: &'static str,
    lines: Vec<(String, Hand)>,
}

/// The strip's items, and the room between stamp space and title block.
pub(super) fn title_strip(set: &Inputs<'_>, frame: &Frame, heading: &Heading) -> (Vec<Item>, Rect) {
    let strip = frame.title;
    let mut fixed = fixed_heights(set.paper);
    if !heading.purpose.is_stamped() {
        fixed = fixed.unstamped(heading);
    }
    // Long words are cut to fewer lines on a small sheet before anything leaves the strip.
    let mut bands = Vec::new();
    for most in [3, 2, 1] {
        bands = make_bands(set, strip.width(), heading, most);
        let words: f64 = bands.iter().map(|b| b.height).sum();
        if words + fixed.least() <= strip.height() {
            break;
        }
    }
    let words: f64 = bands.iter().map(|b| b.height).sum();
    fixed.fit(strip.height() - words);

    let mut item = Item::default();
    let edge = [
        outline(frame.border, HEAVY),
        rule_down(strip.x0, strip.y0, strip.y1),
    ];
    item.shapes.extend(edge);
    let mut y = strip.y1 - words - fixed.seal - fixed.number - fixed.revisions();
    let top = y;
    for band in &bands {
        draw_band(&mut item, strip, y, band);
        y += band.height;
    }
    revisions(
        &mut item,
        set,
        Rect::new(strip.x0, y, strip.x1, y + fixed.revisions()),
        &fixed,
        heading.purpose,
    );
    y += fixed.revisions();
    if fixed.seal > 0.0 {
        seal(
            &mut item,
            Rect::new(strip.x0, y, strip.x1, y + fixed.seal),
            set,
            heading,
        );
    }
    y += fixed.seal;
    number(
        &mut item,
        Rect::new(strip.x0, y, strip.x1, strip.y1),
        heading,
    );
    if fixed.stamp > 0.0 {
        let stamp = Rect::new(strip.x0, strip.y0, strip.x1, strip.y0 + fixed.stamp);
        item.shapes.push(rule(
            (stamp.x0, stamp.y1),
            (stamp.x1, stamp.y1),
            PLAIN,
            Grey::BLACK,
        ));
        let at = Point::new(stamp.x0 + PAD, stamp.y0 + PAD + BODY);
        let words = "THIS SPACE FOR APPROVAL STAMP";
        let lines = Hand::BODY.wrap(words, stamp.width() - 2.0 * PAD);
        put(&mut item, lines.into_iter().map(|l| (l, Hand::BODY)), at);
    }
    let column = Rect::new(
        strip.x0 + 4.0,
        strip.y0 + fixed.stamp + 4.0,
        strip.x1 - 4.0,
        top - 4.0,
    );
    (vec![item], column)
}

/// Heights that do not follow from words.
struct Fixed {
    stamp: f64,
    seal: f64,
    number: f64,
    rows: usize,
}

const REVISION: f64 = 5.6;

fn fixed_heights(paper: Paper) -> Fixed {
    match paper.height {
        h if h >= 550.0 => Fixed {
            stamp: 3.75 * 25.4 + 1.5,
            seal: 46.0,
            number: 22.0,
            rows: 3,
        },
        h if h >= 400.0 => Fixed {
            stamp: 70.0,
            seal: 40.0,
            number: 20.0,
            rows: 3,
        },
        h if h >= 260.0 => Fixed {
            stamp: 52.0,
            seal: 32.0,
            number: 17.0,
            rows: 2,
        },
        _ => Fixed {
            stamp: 0.0,
            seal: 24.0,
            number: 15.0,
            rows: 1,
        },
    }
}

impl Fixed {
    /// Of a paper that nobody stamps or seals.
    fn unstamped(self, heading: &Heading) -> Fixed {
        // What a plan or section is read by stands where the seal would.
        let seal = match heading.scale {
            Some(_) => self.seal.min(26.0),
            None => 0.0,
        };
        Fixed {
            stamp: 0.0,
            seal,
            rows: 1,
            ..self
        }
    }
    fn revisions(&self) -> f64 {
        REVISION * (self.rows + 1) as f64
    }
    fn least(&self) -> f64 {
        self.number + self.seal * 0.6 + REVISION * 2.0
    }
    /// Gives way until it fits: first the stamp's space, then blank revisions, then the seal's.
    fn fit(&mut self, room: f64) {
        let all = |f: &Fixed| f.stamp + f.seal + f.number + f.revisions();
        if all(self) > room {
            self.stamp = (self.stamp - (all(self) - room)).max(0.0);
            if self.stamp < 30.0 {
                self.stamp = 0.0;
            }
        }
        while all(self) > room && self.rows > 1 {
            self.rows -= 1;
        }
        if all(self) > room {
            self.seal = (self.seal - (all(self) - room)).max(10.0);
        }
    }
}

fn make_bands(set: &Inputs<'_>, width: f64, heading: &Heading, most: usize) -> Vec<Band> {
    let t = &set.job.title;
    let said = |s: &Option<String>| s.as_deref().map(capitals).unwrap_or_default();
    let large = if width > 100.0 { 4.2 } else { 3.2 };
    let title = Hand {
        cap: large,
        weight: Weight::Bold,
    };
    let sheet = Hand {
        cap: large - 0.4,
        weight: Weight::Bold,
    };
    let code = capitals(&format!(
        "{} {}. {}",
        set.book.title(),
        set.book.edition(),
        super::notes::amendments(set)
    ));
    let field = |part: f64, caption: &'static str, words: &str, hand: Hand, most: usize| Field {
        part,
        caption,
        lines: cut(
            hand.wrap(words, width * part - 2.0 * PAD),
            most,
            hand,
            width * part - 2.0 * PAD,
        )
        .into_iter()
        .filter(|l| !l.is_empty())
        .map(|l| (l, hand))
        .collect(),
    };
    let half = |caption, words: &str| field(0.5, caption, words, Hand::STRONG, most.min(2));
    let mut project = field(1.0, "PROJECT", &capitals(&t.title), title, most);
    let address = field(1.0, "", &said(&t.address), Hand::BODY, most.min(2));
    project.lines.extend(address.lines);
    let mut drawn_by = half("DRAWN BY", &said(&t.drawn_by));
    let from = field(0.5, "", &said(&t.drawn_by_address), Hand::BODY, most.min(2));
    drawn_by.lines.extend(from.lines);
    let mut drawing = field(1.0, "SHEET TITLE", &heading.title, sheet, most);
    drawing
        .lines
        .push((heading.purpose.line().to_owned(), Hand::BODY));
    let date = said(&t.date);
    vec![
        band(vec![project]),
        band(vec![
            half("CLIENT", &said(&t.client)),
            half("PROJECT NO.", &said(&t.number)),
        ]),
        band(vec![drawn_by, half("LICENSE NO.", &said(&t.license))]),
        band(vec![
            half("CHECKED BY", &said(&t.checked_by)),
            half("DATE", &date),
        ]),
        band(vec![
            half("PERMIT NO.", &said(&t.permit)),
            half("SCALE", scale(set, heading)),
        ]),
        band(vec![field(
            1.0,
            "CODE AND AMENDMENTS",
            &code,
            Hand::STRONG,
            most,
        )]),
        band(vec![drawing]),
    ]
}

fn scale(set: &Inputs<'_>, heading: &Heading) -> &'static str {
    let own = heading.scale.map(|s| s.words);
    own.or(set.scale.map(|s| s.words)).unwrap_or("NOT TO SCALE")
}

/// At most so many lines; what is cut off is shown to be.
fn cut(mut lines: Vec<String>, most: usize, hand: Hand, width: f64) -> Vec<String> {
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            while hand.wide(&format!("{last}…")) > width && last.pop().is_some() {}
            last.push('…');
        }
    }
    lines
}

fn band(cells: Vec<Field>) -> Band {
    let high = |f: &Field| {
        let lines: f64 = f.lines.iter().map(|l| l.1.cap * 1.64).sum();
        PAD + BODY + 1.7 + lines.max(PITCH) + 0.6
    };
    let height = cells.iter().map(high).fold(0.0, f64::max);
    Band { cells, height }
}

fn draw_band(item: &mut Item, strip: Rect, y: f64, band: &Band) {
    item.shapes
        .push(rule((strip.x0, y), (strip.x1, y), PLAIN, Grey::BLACK));
    let mut x = strip.x0;
    for f in &band.cells {
        if x > strip.x0 {
            item.shapes
                .push(rule((x, y), (x, y + band.height), THIN, Grey::BLACK));
        }
        let at = Point::new(x + PAD, y + PAD + BODY);
        item.texts
            .push(Hand::BODY.line(f.caption, at, Anchor::Start));
        put(
            item,
            f.lines.iter().cloned(),
            Point::new(at.x, at.y + 1.7 + first_cap(f)),
        );
        x += f.part * strip.width();
    }
}

fn first_cap(f: &Field) -> f64 {
    f.lines.first().map_or(BODY, |l| l.1.cap)
}

/// Lines under each other from a first baseline.
fn put(item: &mut Item, lines: impl Iterator<Item = (String, Hand)>, mut at: Point) {
    let mut before: Option<f64> = None;
    for (line, hand) in lines {
        if let Some(b) = before {
            at.y += (b * 0.64).max(1.6) + hand.cap;
        }
        before = Some(hand.cap);
        item.texts.push(hand.line(line, at, Anchor::Start));
    }
}

fn revisions(item: &mut Item, set: &Inputs<'_>, r: Rect, fixed: &Fixed, purpose: Purpose) {
    let columns = [0.0, 0.16, 0.46].map(|p| r.x0 + p * r.width() + PAD);
    let t = &set.job.title;
    for i in 0..=fixed.rows {
        let y = r.y0 + REVISION * i as f64;
        let weight = if i == 0 { PLAIN } else { THIN };
        item.shapes
            .push(rule((r.x0, y), (r.x1, y), weight, Grey::BLACK));
        let cells: [String; 3] = match (i, &t.revision) {
            (0, _) => ["REV", "DATE", "DESCRIPTION"].map(str::to_owned),
            (1, Some(rev)) => [
                capitals(&brief(rev, 4)),
                capitals(&brief(t.date.as_deref().unwrap_or(""), 14)),
                purpose.issued().to_owned(),
            ],
            _ => Default::default(),
        };
        for (c, (cell, x)) in cells.into_iter().zip(columns).enumerate() {
            let end = columns.get(c + 1).map_or(r.x1, |x| x - PAD);
            let fits = cut(
                Hand::BODY.wrap(&cell, end - x - 0.8),
                1,
                Hand::BODY,
                end - x - 0.8,
            );
            let at = Point::new(x, y + REVISION - 1.5);
            item.texts.extend(
                fits.into_iter()
                    .filter(|l| !l.is_empty())
                    .map(|l| Hand::BODY.line(l, at, Anchor::Start)),
            );
        }
    }
    for x in &columns[1..] {
        item.shapes
            .push(rule((x - PAD, r.y0), (x - PAD, r.y1), THIN, Grey::BLACK));
    }
}

fn seal(item: &mut Item, r: Rect, set: &Inputs<'_>, heading: &Heading) {
    item.shapes
        .push(rule((r.x0, r.y0), (r.x1, r.y0), PLAIN, Grey::BLACK));
    let mut x = r.x0;
    if let Some(way) = heading.north {
        let wide = (r.width() * 0.36).min(r.height() * 1.25);
        x += wide;
        item.shapes
            .push(rule((x, r.y0), (x, r.y1), THIN, Grey::BLACK));
        let at = Point::new(r.x0 + PAD, r.y0 + PAD + BODY);
        item.texts.push(Hand::BODY.line("NORTH", at, Anchor::Start));
        let room = Rect::new(r.x0, r.y0 + PAD + BODY, x, r.y1);
        let radius = (room.width().min(room.height() * 1.2) * 0.26).min(9.0);
        // Straight up on the paper, the letter stands over the ring.
        let (centre, radius) = match heading.scale {
            Some(_) => (room.center() + Vec2::new(0.0, 2.4), radius * 0.86),
            None => (room.center(), radius),
        };
        let ring = match heading.scale {
            Some(_) => kurbo::Circle::new(centre, radius).to_path(0.01),
            None => symbols::level_circle(centre, radius),
        };
        compass(
            item,
            ring,
            centre,
            Vec2::new(way.0, way.1),
            (radius, Hand::HEADING),
        );
    }
    if let Some(scale) = heading.scale
        && !heading.purpose.is_stamped()
    {
        scale_bar::draw(item, Rect { x0: x, ..r }, scale, set.job.units);
        return;
    }
    let at = Point::new(x + PAD, r.y0 + PAD + BODY);
    let lines = cut(
        Hand::BODY.wrap("SEAL AND SIGNATURE", r.x1 - x - 2.0 * PAD),
        2,
        Hand::BODY,
        r.x1 - x - 2.0 * PAD,
    );
    put(item, lines.into_iter().map(|l| (l, Hand::BODY)), at);
}

/// A north arrow in its ring, which lies in the plan of the drawing.
pub(super) fn compass(
    item: &mut Item,
    ring: BezPath,
    c: Point,
    north: Vec2,
    (radius, hand): (f64, Hand),
) {
    item.shapes.push(Shape {
        path: ring,
        stroke: super::lettering::pen(PLAIN, Grey::BLACK),
        fill: None,
    });
    let side = Vec2::new(-north.y, north.x) * (radius * 0.28);
    let mut head = BezPath::new();
    head.move_to(c + north * radius);
    head.line_to(c - north * (radius * 0.55) + side);
    head.line_to(c - north * (radius * 0.25));
    head.line_to(c - north * (radius * 0.55) - side);
    head.close_path();
    item.shapes.push(Shape {
        path: head,
        stroke: None,
        fill: Some(Grey::BLACK),
    });
    let at = c + north * (radius + 3.2) + Vec2::new(0.0, hand.cap / 2.0);
    item.texts.push(hand.line("N", at, Anchor::Middle));
}

fn number(item: &mut Item, r: Rect, heading: &Heading) {
    item.shapes
        .push(rule((r.x0, r.y0), (r.x1, r.y0), HEAVY, Grey::BLACK));
    let cap = (r.height() * 0.42).min(r.width() * 0.1);
    let hand = Hand {
        cap,
        weight: Weight::Bold,
    };
    let base = r.y1 - (r.height() - cap) / 2.0 + 1.8;
    let at = Point::new(r.x0 + PAD + 1.0, base);
    item.texts
        .push(hand.line(heading.number.as_str(), at, Anchor::Start));
    let at = Point::new(r.x0 + PAD, r.y0 + PAD + BODY);
    item.texts.push(Hand::BODY.line("SHEET", at, Anchor::Start));
    let of = format!("{} OF {}", heading.index + 1, heading.count);
    item.texts
        .push(Hand::STRONG.line(of, Point::new(r.x1 - PAD - 1.0, base), Anchor::End));
}

fn rule_down(x: f64, y0: f64, y1: f64) -> Shape {
    rule((x, y0), (x, y1), HEAVY, Grey::BLACK)
}
