use kurbo::{Point, Vec2};

use super::*;
use crate::job::CleanoutKind;

const C: f64 = 0.866_025_403_784_438_6;
const WAYS: [(f64, f64); 12] = [
    (C, -0.5),
    (0.5, -C),
    (0.0, -1.0),
    (-0.5, -C),
    (-C, -0.5),
    (-1.0, 0.0),
    (-C, 0.5),
    (-0.5, C),
    (0.0, 1.0),
    (0.5, C),
    (C, 0.5),
    (1.0, 0.0),
];
const KINDS: [&str; 19] = [
    "water closet",
    "lavatory",
    "bathtub",
    "shower",
    "kitchen sink",
    "bar sink",
    "laundry sink",
    "service sink",
    "clothes washer",
    "floor drain",
    "urinal",
    "drinking fountain",
    "bidet",
    "dishwasher",
    "condensate",
    "bathtub with shower",
    "mop sink",
    "toilet",
    "dental chair",
];

fn ends(axes: &Axes) -> Vec<(&'static str, Symbol)> {
    vec![
        ("trap", trap(axes)),
        ("FCO", cleanout(CleanoutKind::Floor, axes)),
        ("WCO", cleanout(CleanoutKind::Wall, axes)),
        ("COTG", cleanout(CleanoutKind::Grade, axes)),
        ("two-way", cleanout(CleanoutKind::TwoWay, axes)),
        ("end", cleanout(CleanoutKind::End, axes)),
        ("stack", cleanout(CleanoutKind::Stack, axes)),
        ("VTR", vent_terminal(axes)),
        ("AAV", air_valve(axes)),
        ("primer", primer(axes)),
        ("basin", basin(axes)),
        ("vent up", vent_up(axes)),
        ("match", match_mark("12", MARK_CAP, axes)),
    ]
}

fn inline(axes: &Axes) -> Vec<(&'static str, Symbol)> {
    vec![
        ("reducer", reducer(axes)),
        ("backwater", backwater_valve(axes)),
        ("exit", exit_mark(axes)),
        ("arrow", flow_arrow(axes)),
    ]
}

fn extent(hull: &[Point], d: Vec2) -> (f64, f64) {
    hull.iter()
        .map(|p| p.to_vec2().dot(d))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| {
            (a.min(x), b.max(x))
        })
}

#[test]
fn ends_stay_ahead_and_small() {
    for way in WAYS {
        let axes = Axes::along(Vec2::new(way.0, way.1));
        let fixtures = KINDS.iter().map(|k| (*k, fixture(k, &axes)));
        for (name, symbol) in ends(&axes).into_iter().chain(fixtures) {
            let (behind, ahead) = extent(&symbol.hull, axes.along);
            assert!(behind >= -0.3, "{name} {way:?} lies {behind} behind");
            assert!(ahead < 15.5, "{name} {way:?} reaches {ahead}");
            let wide = extent(&symbol.hull, Vec2::new(1.0, 0.0));
            assert!(wide.1 - wide.0 < 13.0, "{name} {way:?} is {wide:?} wide");
        }
    }
}

#[test]
fn hulls_are_convex_and_hold_the_ports() {
    for way in WAYS {
        let axes = Axes::along(Vec2::new(way.0, way.1));
        let all = KINDS.iter().map(|k| (*k, fixture(k, &axes)));
        for (name, symbol) in all.chain(ends(&axes)).chain(inline(&axes)) {
            let n = symbol.hull.len();
            assert!(n >= 3, "{name}");
            for i in 0..n {
                let (a, b) = (symbol.hull[i], symbol.hull[(i + 1) % n]);
                let c = symbol.hull[(i + 2) % n];
                assert!((b - a).cross(c - b) > 0.0, "{name} {way:?} not convex");
                for p in symbol.ports.iter().chain([&symbol.heart]) {
                    let out = (b - a).cross(*p - a) / (b - a).hypot();
                    assert!(out > -0.4, "{name} {way:?} port {p:?} outside by {out}");
                }
            }
        }
    }
}

#[test]
fn kinds_are_told_apart() {
    let axes = Axes::along(Vec2::new(C, -0.5));
    let drawn = |word: &str| format!("{:?}", fixture(word, &axes).shapes);
    assert_eq!(drawn("water closet"), drawn("WC"));
    assert_eq!(drawn("bathtub"), drawn("bathtub with shower"));
    assert_ne!(drawn("clothes washer"), drawn("lavatory"));
    assert_ne!(drawn("bar sink"), drawn("kitchen sink"));
    assert_ne!(drawn("dental chair"), drawn("kitchen sink"));
    assert_ne!(drawn("laundry tub"), drawn("bathtub"));
}

#[test]
fn across_is_the_other_plan_axis() {
    let axes = Axes::along(Vec2::new(C, -0.5));
    assert!((axes.across - Vec2::new(C, 0.5)).hypot() < 1e-12);
    let axes = Axes::along(Vec2::new(-C, 0.5));
    assert!((axes.across - Vec2::new(-C, -0.5)).hypot() < 1e-12);
}

/// Draws every symbol in every direction into the temporary folder, to be looked at.
#[test]
fn contact_sheet() {
    let (mut svg, step) = (String::new(), 22.0);
    let mut rows: Vec<(String, Vec<Symbol>)> = Vec::new();
    let all = |f: &dyn Fn(&Axes) -> Symbol| -> Vec<Symbol> {
        WAYS.iter()
            .map(|w| f(&Axes::along(Vec2::new(w.0, w.1))))
            .collect()
    };
    for kind in KINDS {
        rows.push((kind.into(), all(&|a| fixture(kind, a))));
    }
    for i in 0..12 {
        let name = ends(&Axes::UP)[i].0;
        rows.push((name.into(), all(&|a| ends(a).swap_remove(i).1)));
    }
    for i in 0..4 {
        let name = inline(&Axes::UP)[i].0;
        rows.push((name.into(), all(&|a| inline(a).swap_remove(i).1)));
    }
    for (r, (_, symbols)) in rows.iter().enumerate() {
        for (c, symbol) in symbols.iter().enumerate() {
            let at = Vec2::new(step * (c as f64 + 0.5), step * (r as f64 + 0.5));
            let back = at - Vec2::new(WAYS[c].0, WAYS[c].1) * 7.0;
            svg += &format!(
                "<path d='M{} {}L{} {}' stroke='#000' stroke-width='.7' stroke-linecap='round'/>",
                back.x, back.y, at.x, at.y
            );
            for shape in symbol.clone().moved(at).shapes {
                let fill = shape
                    .fill
                    .map_or("none".into(), |g| format!("rgb({0},{0},{0})", g.0));
                let width = shape.stroke.map_or(0.0, |s| s.width);
                svg += &format!(
                    "<path d='{}' fill='{fill}' stroke='#000' stroke-width='{width}' \
                     stroke-linejoin='round' stroke-linecap='round'/>",
                    shape.path.to_svg()
                );
            }
        }
    }
    let (w, h) = (step * 12.0, step * rows.len() as f64);
    let svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{w}mm' height='{h}mm' \
         viewBox='0 0 {w} {h}'><rect width='{w}' height='{h}' fill='#fff'/>{svg}</svg>"
    );
    let dir = std::env::temp_dir();
    std::fs::write(dir.join("symbols.svg"), &svg).unwrap();
    let tree = resvg::usvg::Tree::from_str(&svg, &resvg::usvg::Options::default()).unwrap();
    let scale = 7.0 * 25.4 / 96.0;
    let (pw, ph) = ((w * 7.0) as u32, (h * 7.0) as u32);
    // In bands of six rows, so that an eye can take each in.
    let band = (step * 6.0 * 7.0) as u32;
    for (i, top) in (0..ph).step_by(band as usize).enumerate() {
        let mut map = resvg::tiny_skia::Pixmap::new(pw, band.min(ph - top)).unwrap();
        let t = resvg::tiny_skia::Transform::from_scale(scale, scale)
            .post_translate(0.0, -(top as f32));
        resvg::render(&tree, t, &mut map.as_mut());
        map.save_png(dir.join(format!("symbols-{i}.png"))).unwrap();
    }
}
