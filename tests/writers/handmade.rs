//! A set made by hand: every role, slant, anchor and weight, fractions, and words that XML,
//! file systems and PDFs are picky about.

use kurbo::{BezPath, Point, Rect, Shape as _};
use stackfall::sheets::{
    Anchor, DrawingKind, Grey, Item, Role, Shape, Sheet, SheetSet, Slant, Stroke, Table, Text,
    Weight, paper,
};

/// Words that must come out of every format again.
pub const WORDS: [&str; 8] = [
    "1½″ @ ¼″/FT",
    "4″ SAN · IE -10′-8″",
    "VTR ⅛ ⅜ ⅝ ⅞ ¾",
    "DN 100 – 2.0 %",
    "AVATAR F.D. To & from <S1>",
    "F.F. EL. +10′-1″",
    "CO-1 → GRADE",
    "Ø 110 × 3.2",
];

pub fn pen(width: f64, dash: &[f64], round: bool) -> Stroke {
    Stroke {
        width,
        dash: dash.to_vec(),
        grey: Grey::BLACK,
        round,
    }
}

pub fn line(points: &[(f64, f64)], stroke: Stroke) -> Shape {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        if i == 0 {
            path.move_to(*p);
        } else {
            path.line_to(*p);
        }
    }
    Shape {
        path,
        stroke: Some(stroke),
        fill: None,
    }
}

fn rect(r: Rect, width: f64) -> Shape {
    Shape {
        path: r.to_path(0.1),
        stroke: Some(pen(width, &[], false)),
        fill: None,
    }
}

pub fn text(words: &str, at: (f64, f64), slant: Slant, anchor: Anchor, weight: Weight) -> Text {
    let em = stackfall::assets::em_for_cap(2.5);
    Text {
        text: words.to_owned(),
        at: Point::new(at.0, at.1),
        em,
        weight,
        anchor,
        slant,
        grey: Grey::BLACK,
    }
}

/// A sheet with one of everything; it has no defect under the proof.
pub fn isometric() -> Sheet {
    let paper = paper("arch-b").expect("a paper");
    let field = Rect::new(15.0, 15.0, 440.0, 240.0);
    let mut items = vec![Item {
        role: Role::None,
        shapes: vec![rect(field.inflate(5.0, 5.0), 0.7)],
        ..Item::default()
    }];
    items.push(Item {
        role: Role::Field,
        shapes: vec![rect(field, 0.25)],
        ..Item::default()
    });
    items.push(Item {
        role: Role::Mark,
        shapes: vec![line(
            &[(30.0, 200.0), (430.0, 200.0)],
            pen(0.25, &[6.0, 1.5, 1.0, 1.5], false),
        )],
        texts: vec![text(
            WORDS[5],
            (32.0, 199.0),
            Slant::Level,
            Anchor::Start,
            Weight::Regular,
        )],
        ..Item::default()
    });
    items.extend(pipes());
    items.extend(symbols());
    items.extend(labels());
    items.push(Item {
        role: Role::Panel,
        id: "legend".to_owned(),
        shapes: vec![rect(Rect::new(330.0, 20.0, 430.0, 60.0), 0.35)],
        texts: vec![
            text(
                WORDS[2],
                (335.0, 30.0),
                Slant::Level,
                Anchor::Start,
                Weight::Bold,
            ),
            Text {
                grey: Grey(80),
                ..text(
                    WORDS[7],
                    (380.0, 40.0),
                    Slant::Level,
                    Anchor::Middle,
                    Weight::Regular,
                )
            },
        ],
        ..Item::default()
    });
    items.push(Item {
        role: Role::Note,
        data: vec![("note", "1".to_owned())],
        texts: vec![text(
            WORDS[4],
            (425.0, 50.0),
            Slant::Level,
            Anchor::End,
            Weight::Regular,
        )],
        ..Item::default()
    });
    Sheet {
        number: "P-901".to_owned(),
        title: "Isometric of <drains> & \"vents\"".to_owned(),
        paper,
        drawing: DrawingKind::Isometric,
        purpose: "permit",
        items,
    }
}

fn pipes() -> Vec<Item> {
    let c30 = 0.866_025_403_784_438_6;
    // The main from its upper end to the exit, and a vent that it passes in front of.
    let (top, low) = ((100.0, 100.0), (100.0 + 120.0 * c30, 160.0));
    let cross = (100.0 + 60.0 * c30, 130.0);
    let main = pipe("main.S1", "main", "waste", "3", ["S1", "exit"], "2 2");
    let main = Item {
        title: Some("3″ building drain".to_owned()),
        data: [main.data, vec![("fall", "1/4".to_owned())]].concat(),
        shapes: vec![line(&[top, low], pen(0.7, &[], true))],
        ..main
    };
    let vent = pipe("V1.X", "V1", "vent", "1 1/2", ["X", "Y"], "5 5");
    let mut path = BezPath::new();
    path.move_to((cross.0, 180.0));
    path.line_to((cross.0, 130.0 + 2.0));
    path.move_to((cross.0, 130.0 - 2.0));
    path.line_to((cross.0, 80.0));
    let vent = Item {
        shapes: vec![Shape {
            path,
            stroke: Some(pen(0.35, &[3.0, 1.2], false)),
            fill: None,
        }],
        ..vent
    };
    vec![vent, main]
}

fn pipe(id: &str, run: &str, system: &str, size: &str, ends: [&str; 2], depth: &str) -> Item {
    let data = [
        ("run", run),
        ("system", system),
        ("size", size),
        ("from", ends[0]),
        ("to", ends[1]),
        ("state", "stated"),
        ("depth", depth),
    ];
    Item {
        role: Role::Pipe,
        id: id.to_owned(),
        data: data.map(|(k, v)| (k, v.to_owned())).into(),
        ..Item::default()
    }
}

/// Name, place, index of its words, direction and anchor of its label.
type Labelled = (&'static str, (f64, f64), usize, Slant, Anchor);

/// Fixtures, one for each direction and anchor of a label.
const FIXTURES: [Labelled; 6] = [
    ("WC-1", (250.0, 100.0), 3, Slant::Level, Anchor::Start),
    ("WC-2", (260.0, 150.0), 0, Slant::Up30, Anchor::Start),
    ("WC-3", (300.0, 150.0), 1, Slant::Down30, Anchor::Middle),
    ("WC-4", (350.0, 150.0), 6, Slant::Up60, Anchor::End),
    ("WC-5", (370.0, 150.0), 3, Slant::Down60, Anchor::Start),
    ("WC-6", (400.0, 160.0), 1, Slant::Up90, Anchor::Middle),
];

fn symbols() -> Vec<Item> {
    FIXTURES
        .iter()
        .map(|(id, at, ..)| Item {
            role: Role::Symbol,
            id: (*id).to_owned(),
            data: vec![("kind", "fixture".to_owned()), ("for", (*id).to_owned())],
            title: Some(format!("{id} water closet")),
            shapes: vec![Shape {
                path: kurbo::Circle::new(*at, 3.0).to_path(0.01),
                stroke: Some(pen(0.25, &[], true)),
                fill: Some(Grey::WHITE),
            }],
            ..Item::default()
        })
        .collect()
}

/// A label that starts or ends 4.5 mm from a fixture's middle, in its direction.
fn beside(at: (f64, f64), words: &str, slant: Slant, anchor: Anchor) -> Text {
    let mut text = text(words, at, slant, anchor, Weight::Regular);
    let width = stackfall::assets::width(words, text.weight) * text.em;
    let along = match anchor {
        Anchor::Start => 4.5,
        Anchor::Middle => 4.5 + width / 2.0,
        Anchor::End => -4.5,
    };
    let (c, s) = slant.cos_sin();
    let down = text.em * stackfall::assets::CAP / 2.0;
    text.at += kurbo::Vec2::new(c, s) * along + kurbo::Vec2::new(-s, c) * down;
    text
}

fn label(of: &str, texts: Vec<Text>) -> Item {
    Item {
        role: Role::Label,
        data: vec![("for", of.to_owned())],
        texts,
        ..Item::default()
    }
}

fn labels() -> Vec<Item> {
    let mut items = vec![
        label(
            "main.S1",
            vec![
                text(
                    "3″",
                    (163.0, 142.6),
                    Slant::Down30,
                    Anchor::Middle,
                    Weight::Bold,
                ),
                text(
                    "@ ¼″/FT",
                    (161.0, 146.0),
                    Slant::Down30,
                    Anchor::Middle,
                    Weight::Regular,
                ),
            ],
        ),
        label(
            "V1",
            vec![text(
                "1½″",
                (150.5, 105.0),
                Slant::Up90,
                Anchor::Start,
                Weight::Regular,
            )],
        ),
    ];
    for (id, at, words, slant, anchor) in FIXTURES {
        items.push(label(id, vec![beside(at, WORDS[words], slant, anchor)]));
    }
    // A second label of the first fixture stands off, with a leader from its ink to the fixture.
    let far = text(
        "TO WC-1",
        (300.0, 85.0),
        Slant::Level,
        Anchor::Start,
        Weight::Regular,
    );
    items.push(label("WC-1", vec![far]));
    items.push(Item {
        role: Role::Leader,
        data: vec![("for", "WC-1".to_owned())],
        shapes: vec![line(
            &[(299.6, 83.75), (270.0, 83.75), (252.1, 97.9)],
            pen(0.18, &[], false),
        )],
        ..Item::default()
    });
    items
}

/// A set of two sheets: one of everything, and a metric one of words only.
pub fn set() -> SheetSet {
    let tables = Sheet {
        number: "P-601".to_owned(),
        title: "Tables".to_owned(),
        paper: paper("a3").expect("a paper"),
        drawing: DrawingKind::Tables,
        purpose: "permit",
        items: vec![Item {
            texts: WORDS
                .iter()
                .enumerate()
                .map(|(i, w)| {
                    text(
                        w,
                        (20.0, 30.0 + 8.0 * i as f64),
                        Slant::Level,
                        Anchor::Start,
                        Weight::Regular,
                    )
                })
                .collect(),
            ..Item::default()
        }],
    };
    SheetSet {
        name: "handmade".to_owned(),
        title: "Made by hand & looked at".to_owned(),
        sheets: vec![isometric(), tables],
    }
}

/// A table with a cell that CSV must quote.
pub fn table() -> Table {
    Table {
        name: "fixtures",
        title: "FIXTURES".to_owned(),
        head: vec!["Tag".to_owned(), "Room".to_owned()],
        rows: vec![vec!["WC-1".to_owned(), "Bath, hall".to_owned()]],
        foot: vec!["All invented.".to_owned()],
        ..Table::default()
    }
}
