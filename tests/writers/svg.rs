//! SVG: it reads, it carries its attributes, what is measured is what is painted.

use std::sync::Arc;

use resvg::usvg;
use stackfall::assets;
use stackfall::sheets::{Anchor, DrawingKind, Item, Role, Sheet, Slant, Weight, paper};
use stackfall::writers::svg::svg;

use crate::handmade;

fn options() -> usvg::Options<'static> {
    let mut fonts = usvg::fontdb::Database::new();
    for weight in [Weight::Regular, Weight::Bold] {
        fonts.load_font_data(assets::truetype(weight).to_vec());
    }
    usvg::Options {
        fontdb: Arc::new(fonts),
        ..usvg::Options::default()
    }
}

/// All text nodes of a tree.
fn texts(group: &usvg::Group, found: &mut Vec<usvg::Text>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(g) => texts(g, found),
            usvg::Node::Text(t) => found.push((**t).clone()),
            _ => {}
        }
    }
}

#[test]
fn every_sheet_reads_as_svg_of_its_size() {
    let set = handmade::set();
    for (sheet, (w, h)) in set.sheets.iter().zip([
        (18.0 * 96.0, 12.0 * 96.0),
        (420.0 / 25.4 * 96.0, 297.0 / 25.4 * 96.0),
    ]) {
        let tree = usvg::Tree::from_str(&svg(&set.name, sheet), &options()).expect("it reads");
        assert!((tree.size().width() - w).abs() < 0.01, "{:?}", tree.size());
        assert!((tree.size().height() - h).abs() < 0.01, "{:?}", tree.size());
        let mut found = Vec::new();
        texts(tree.root(), &mut found);
        assert_eq!(
            found.len(),
            sheet.items.iter().map(|i| i.texts.len()).sum::<usize>()
        );
    }
}

#[test]
fn items_are_the_elements_of_the_contract() {
    let words = svg("handmade", &handmade::isometric());
    let document = usvg::roxmltree::Document::parse(&words).expect("well-formed");
    let root = document.root_element();
    assert_eq!(root.attribute("width"), Some("18in"));
    assert_eq!(root.attribute("height"), Some("12in"));
    assert_eq!(root.attribute("viewBox"), Some("0 0 457.2 304.8"));
    assert_eq!(root.attribute("data-drawing"), Some("isometric"));
    assert_eq!(root.attribute("data-sheet"), Some("permit"));
    assert_eq!(root.attribute("data-set"), Some("handmade"));
    let names = |role: &str| {
        let all = document
            .descendants()
            .filter(|n| n.attribute("data-role") == Some(role));
        all.map(|n| n.tag_name().name().to_owned())
            .collect::<std::collections::BTreeSet<_>>()
    };
    let only = |name: &str| [name.to_owned()].into();
    assert_eq!(names("pipe"), only("path"));
    assert_eq!(names("leader"), only("path"));
    assert_eq!(names("field"), only("rect"));
    assert_eq!(names("symbol"), only("g"));
    assert_eq!(names("panel"), only("g"));
    assert_eq!(names("note"), only("g"));
    assert_eq!(names("label"), ["g".to_owned(), "text".to_owned()].into());
    let main = document
        .descendants()
        .find(|n| n.attribute("id") == Some("main.S1"))
        .expect("it");
    assert_eq!(main.attribute("data-fall"), Some("1/4"));
    let title = main.first_element_child().expect("a title");
    assert_eq!(
        (title.tag_name().name(), title.text()),
        ("title", Some("3″ building drain"))
    );
}

#[test]
fn words_survive_escaping() {
    let words = svg("handmade", &handmade::isometric());
    let document = usvg::roxmltree::Document::parse(&words).expect("well-formed");
    for wanted in handmade::WORDS {
        assert!(
            document
                .descendants()
                .any(|n| n.is_text() && n.text() == Some(wanted)),
            "{wanted}"
        );
    }
}

#[test]
fn hostile_words_stay_words() {
    let mut sheet = handmade::isometric();
    let hostile = "\"/><script>x</script>]]>&#0;\u{0}\u{1}\u{ffff}'";
    sheet.number = hostile.to_owned();
    sheet.title = hostile.to_owned();
    for item in &mut sheet.items {
        item.id = format!("{}{hostile}", item.id);
        item.title = Some(hostile.to_owned());
        item.data.push(("hostile", hostile.to_owned()));
        for text in &mut item.texts {
            text.text = hostile.to_owned();
        }
    }
    let words = svg(hostile, &sheet);
    let document = usvg::roxmltree::Document::parse(&words).expect("well-formed");
    assert!(!document.descendants().any(|n| n.has_tag_name("script")));
}

#[test]
fn only_the_weights_in_use_travel_along() {
    let set = handmade::set();
    let faces = |s: &Sheet| svg("x", s).matches("@font-face").count();
    assert_eq!(set.sheets.iter().map(faces).collect::<Vec<_>>(), [2, 1]);
    assert!(
        !svg("x", &set.sheets[0]).contains("http://www.w3.org/1999"),
        "nothing from outside"
    );
}

#[test]
fn what_is_measured_is_what_is_painted() {
    let more = [
        "W",
        "IE",
        "1 1/2",
        "KITCHEN SINK",
        "Wye, rolled To.",
        "((11))",
        "a  b",
    ];
    for weight in [Weight::Regular, Weight::Bold] {
        for words in handmade::WORDS.iter().chain(&more) {
            let sheet = Sheet {
                number: "P-1".to_owned(),
                title: String::new(),
                paper: paper("a0").expect("a paper"),
                drawing: DrawingKind::Tables,
                purpose: "permit",
                items: vec![Item {
                    role: Role::Label,
                    texts: vec![handmade::text(
                        words,
                        (300.0, 300.0),
                        Slant::Level,
                        Anchor::Start,
                        weight,
                    )],
                    ..Item::default()
                }],
            };
            let em = sheet.items[0].texts[0].em;
            let tree = usvg::Tree::from_str(&svg("x", &sheet), &options()).expect("it reads");
            let mut found = Vec::new();
            texts(tree.root(), &mut found);
            let painted = f64::from(found[0].bounding_box().width());
            let measured = assets::width(words, weight) * em;
            assert!(
                (painted / measured - 1.0).abs() < 1e-3,
                "{words}: {painted} {measured}"
            );
            // The ink's height: half a percent of an em for the painter's own rounding.
            let (up, down) = assets::ink(words, weight);
            let outlines = found[0].flattened().bounding_box();
            let baseline = 300.0;
            assert!(
                (baseline - f64::from(outlines.top()) - up * em).abs() < 0.005 * em,
                "{words}: above"
            );
            if down > 0.0 {
                assert!(
                    (f64::from(outlines.bottom()) - baseline - down * em).abs() < 0.005 * em,
                    "{words}: below"
                );
            }
        }
    }
}

#[test]
fn the_same_set_gives_the_same_bytes() {
    let (a, b) = (handmade::isometric(), handmade::isometric());
    assert_eq!(svg("x", &a), svg("x", &b));
}

/// `.ci/run` puts this sheet, which has one of everything, before the proof.
#[test]
fn leaves_its_sheet_for_the_proof() {
    let at = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("handmade.svg");
    std::fs::write(at, svg("handmade", &handmade::isometric())).expect("written");
}
