//! Made-up jobs and sheets of any size.

use std::fmt::Write as _;

use kurbo::{BezPath, Circle, Point, Shape as _};
use stackfall::sheets::{
    Anchor, DrawingKind, Grey, Item, Role, Shape, Sheet, SheetSet, Slant, Stroke, Text, Weight,
    paper,
};

/// Fixtures of one bath and kitchen.
const FLAT: [(&str, &str); 5] = [
    ("WC", "water closet"),
    ("LAV", "lavatory"),
    ("BT", "bathtub"),
    ("SH", "shower"),
    ("KS", "kitchen sink"),
];
/// Most storeys of a stack.
const STOREYS: usize = 8;

/// A block of flats with about so many fixtures: one flat a storey and stack.
pub fn tower(fixtures: usize) -> String {
    let flats = fixtures.div_ceil(FLAT.len());
    let storeys = flats.min(STOREYS);
    let stacks = flats.div_ceil(storeys);
    let mut text = String::from(
        "[job]\ntitle = \"Bench\"\ncode = \"ipc-2021\"\n\n[exit]\ninvert = \"-6'\"\nheading = \"south\"\n\n[floors]\n",
    );
    for storey in 0..storeys {
        let slab = if storey == 0 {
            "slab = \"4in\""
        } else {
            "joists = \"11 7/8in\""
        };
        let _ = writeln!(
            text,
            "\"{storey}\" = {{ level = \"{}'\", {slab} }}",
            storey * 10
        );
    }
    let _ = writeln!(
        text,
        "roof = {{ level = \"{}'\" }}\n\n[stacks]",
        storeys * 10
    );
    for stack in 0..stacks {
        let _ = writeln!(text, "S{stack} = {{}}");
    }
    text.push_str("\n[fixtures]\n");
    let places = (0..stacks).flat_map(|s| (0..storeys).map(move |f| (s, f)));
    let all = places.flat_map(|(s, f)| FLAT.iter().map(move |x| (s, f, x)));
    for (stack, floor, (tag, kind)) in all.take(fixtures) {
        let _ = writeln!(
            text,
            "{tag}-{stack}-{floor} = {{ kind = \"{kind}\", floor = \"{floor}\", into = \"S{stack}\" }}"
        );
    }
    text
}

/// A sheet with a pipe, a symbol, a label and a leader for each of so many fixtures.
pub fn sheet_of(fixtures: usize) -> SheetSet {
    let pen = |width, round| Stroke {
        width,
        dash: Vec::new(),
        grey: Grey::BLACK,
        round,
    };
    let mut items = Vec::with_capacity(fixtures * 4);
    for i in 0..fixtures {
        let at = Point::new(
            20.0 + (i % 100) as f64 * 8.5,
            20.0 + (i / 100 % 70) as f64 * 8.0,
        );
        let slant = [Slant::Level, Slant::Up30, Slant::Down30, Slant::Up90][i % 4];
        let id = format!("WC-{i}");
        let stroke = |path, width, round| Shape {
            path,
            stroke: Some(pen(width, round)),
            fill: None,
        };
        let mut path = BezPath::new();
        path.move_to(at);
        path.line_to(at + (6.062, 3.5));
        path.line_to(at + (6.062, 10.5));
        items.push(Item {
            role: Role::Pipe,
            id: format!("{id}.arm"),
            data: [
                ("run", format!("{id}.arm")),
                ("system", "waste".to_owned()),
                ("size", "1 1/2".to_owned()),
                ("from", id.clone()),
                ("to", format!("bath{i}")),
                ("state", "proposed".to_owned()),
                ("depth", "12.25 14.5".to_owned()),
                ("fall", "1/4".to_owned()),
                ("load", "3".to_owned()),
            ]
            .into(),
            title: Some(format!("{id}.arm 1½″ waste, 3 dfu")),
            shapes: vec![stroke(path, 0.7, true)],
            texts: Vec::new(),
        });
        items.push(Item {
            role: Role::Symbol,
            id: id.clone(),
            data: vec![("kind", "fixture".to_owned()), ("for", id.clone())],
            title: Some(format!("{id} water closet")),
            shapes: vec![stroke(Circle::new(at, 1.8).to_path(0.01), 0.25, true)],
            ..Item::default()
        });
        items.push(Item {
            role: Role::Label,
            data: vec![("for", id.clone())],
            texts: vec![Text {
                text: format!("{id} 1½″ @ ¼″/FT"),
                at: at + (2.0, -1.0),
                em: 3.58,
                weight: Weight::Regular,
                anchor: Anchor::Start,
                slant,
                grey: Grey::BLACK,
            }],
            ..Item::default()
        });
        let mut path = BezPath::new();
        path.move_to(at + (2.0, -1.0));
        path.line_to(at);
        items.push(Item {
            role: Role::Leader,
            data: vec![("for", id)],
            shapes: vec![stroke(path, 0.18, false)],
            ..Item::default()
        });
    }
    SheetSet {
        name: "bench".to_owned(),
        title: "Bench".to_owned(),
        sheets: vec![Sheet {
            number: "P-901".to_owned(),
            title: "Bench".to_owned(),
            paper: paper("arch-d").expect("a paper"),
            drawing: DrawingKind::Isometric,
            purpose: "permit",
            items,
        }],
    }
}
