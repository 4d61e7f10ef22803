//! The levels profile against a case worked by hand, the arithmetic beside each figure, and every
//! sample drawn.

mod common;

use common::{HAND, SAMPLES, Worked, sample_path, worked};
use kurbo::{PathEl, Point};
use stackfall::pipeline::{self, Working};
use stackfall::profile::{Place, Profile, profiles};
use stackfall::sheets::{DrawingKind, Item, Role, Sheet};
use stackfall::solve::Work;

/// The job that is worked by hand, with a sewer, the ground and a footing stated.
fn hand() -> String {
    HAND.replace(r#"slab = "4in" }"#, r#"slab = "4in", grade = "-6in" }"#)
        .replace(
            "heading = \"south\"\n",
            "heading = \"south\"\nfooting_top = \"-2'\"\nfooting_bottom = \"-3'\"\n\
         sewer = { length = \"20'\", size = 4, tap = \"-5'\", grade = \"-1'\" }\n",
        )
}

fn of(w: &Worked) -> Vec<Profile> {
    profiles(&Work {
        job: &w.job,
        net: &w.net,
        book: &w.book,
        solution: &w.solution,
    })
}

fn place<'p>(profile: &'p Profile, what: &str) -> &'p Place {
    let found = profile.places.iter().find(|p| p.what.contains(what));
    found.unwrap_or_else(|| panic!("no {what} in {:#?}", profile.places))
}

/// The drain falls 1/8 in to the foot from -48 in at the exit; a 4 in pipe has a bore of 4.026 in and
/// is 4.5 in outside (ASTM D1785), so its top lies 4.026 + 0.237 = 4.263 in over its invert. The slab's
/// underside is at -4 in, the ground at the wall at -6 in, over the tap at -12 in:
///
/// | place | distance, ft | invert, in | top, in | cover, in |
/// |---|---|---|---|---|
/// | tap | -20 | -60 | -55.737 | -12 + 55.737 = 43.737 |
/// | exit | 0 | -48 | -43.737 | -6 + 43.737 = 37.737 |
/// | WC-1 | 12 | -48 + 1.5 = -46.5 | -42.237 | -4 + 42.237 = 38.237 |
/// | LAV-1 | 20 | -48 + 2.5 = -45.5 | -41.237 | 37.237 |
/// | end | 22 | -48 + 2.75 = -45.25 | -40.987 | 36.987 |
#[test]
fn stations_by_hand() {
    let w = worked("hand", &hand());
    let all = of(&w);
    let [profile] = all.as_slice() else {
        panic!("one drain: {all:#?}");
    };
    for (what, distance, invert, top, cover) in [
        ("public sewer", -20.0, -60.0, -55.737, 43.737),
        ("exit", 0.0, -48.0, -43.737, 37.737),
        ("WC-1", 12.0, -46.5, -42.237, 38.237),
        ("LAV-1", 20.0, -45.5, -41.237, 37.237),
        ("end of the drain", 22.0, -45.25, -40.987, 36.987),
    ] {
        let what = if what == "public sewer" {
            "sewer"
        } else {
            what
        };
        let p = place(profile, what);
        let near = |got: Option<stackfall::units::Length>, want: f64, what: &str| {
            let got = got.unwrap_or_else(|| panic!("{what} of {p:?}")).inches();
            assert!(
                (got - want).abs() < 0.002,
                "{what}: {got}, by hand {want}: {p:?}"
            );
        };
        near(p.distance, distance * 12.0, "distance");
        near(p.invert, invert, "invert");
        near(p.top, top, "top");
        near(p.cover, cover, "cover");
    }
    assert_eq!(profile.missing, None);
    assert_eq!(profile.over.len(), 1);
    assert_eq!(profile.over[0].to.feet().round(), 22.0);
    assert_eq!(profile.footings.len(), 1);
    // The room is that of the level table.
    for p in profile.places.iter().filter(|p| p.station.is_some()) {
        let row = w
            .solution
            .levels
            .stations
            .iter()
            .find(|s| s.run == "main" && s.station == p.station);
        let row = row.unwrap_or_else(|| panic!("{p:?}"));
        assert_eq!((row.station, row.invert), (p.station, p.invert));
        assert_eq!(row.room.map(|r| r.spare), p.room);
    }
}

/// Where the drain of 4 in goes on as 3 in their middles are on one line: 4.026 / 2 − 3.068 / 2 =
/// 0.479 in from invert to invert. Both stand at the place, and its words say the change.
#[test]
fn both_inverts_stand_where_the_size_changes() {
    let text = hand().replace(
        "\"north 22'\"], size = 4",
        "\"size 4\", \"north 16'\", \"size 3\", \"north 6'\"]",
    );
    let w = worked("reducer", &text);
    let all = of(&w);
    let p = place(&all[0], "4″ to 3″");
    let up = p.invert_in.zip(p.invert).map(|(a, b)| (a - b).inches());
    assert!(up.is_some_and(|up| (up - 0.479).abs() < 0.001), "{p:?}");
    // From there the figures of the smaller pipe add up: 4 ft to LAV-1 at its own fall.
    let lav = place(&all[0], "LAV-1");
    let fall = lav
        .fall
        .expect("a fall")
        .over(lav.distance.expect("known") - p.distance.expect("known"));
    let rise = lav.invert.zip(p.invert_in).map(|(a, b)| (a - b).inches());
    assert!(
        rise.is_some_and(|r| (r - fall.inches()).abs() < 0.01),
        "{rise:?} {fall:?}"
    );
}

/// Where neither job nor catalogue has an outside no top is known, and nothing covers it.
#[test]
fn no_top_without_an_outside() {
    let text = common::sample_text("linden-hof").replace("PP, ring seal", "stoneware");
    let w = worked("linden-hof", &text);
    let profile = &of(&w)[0];
    assert!(profile.places.iter().any(|p| p.invert.is_some()));
    assert!(
        profile
            .places
            .iter()
            .all(|p| p.top.is_none() && p.cover.is_none())
    );
    // DN 100 is drawn 100 mm high, not 4 in.
    let high = profile.pipes[0].high.mm();
    assert!((high - 100.0).abs() < 1e-9, "{high}");
}

fn drawn(path: &str, text: &str) -> Vec<Sheet> {
    let solved = pipeline::solve_text("test", path, text);
    let solved = solved.unwrap_or_else(|f| panic!("{path}: {:#?}", f.problems));
    let paper = solved
        .working(Working::Profile, None)
        .expect("any job has one");
    paper.set.sheets
}

fn points(item: &Item) -> Vec<Point> {
    let path = item.shapes[0].path.elements().iter();
    path.filter_map(PathEl::end_point).collect()
}

/// On tabloid the section has 272.8 mm in its field; from the tap to the end it is 42 ft, at 1/4 in to
/// the foot 42 × 6.35 = 266.7 mm. From the exit to LAV-1 20 × 6.35 = 127 mm. Heights have
/// about 100 mm over the bands; from the tap's pipe to the floor it is 5.02 ft, at 3/4 in to the foot
/// 5.02 × 19.05 = 95.6 mm. 2.5 in from the exit's invert to LAV-1's are 2.5 × 25.4 / 16 = 3.969 mm.
#[test]
fn a_point_stands_where_its_distance_and_its_level_are() {
    let sheets = drawn("hand.toml", &hand());
    assert_eq!(sheets[0].drawing, DrawingKind::Section);
    let pipe = |id: &str| {
        let all = sheets[0].items.iter().filter(|i| i.role == Role::Pipe);
        let ids: Vec<&str> = all.clone().map(|i| i.id.as_str()).collect();
        let pipe = all.into_iter().find(|i| i.id == id);
        points(pipe.unwrap_or_else(|| panic!("{id} in {ids:?}")))
    };
    // Each from its upper end down.
    let (low, high) = (pipe("main.WC-1"), pipe("main.LAV-1"));
    let (exit, lav) = (low[low.len() - 1], high[0]);
    let near = |got: f64, want: f64, what: &str| {
        assert!((got - want).abs() < 0.01, "{what}: {got}, by hand {want}");
    };
    near(lav.x - exit.x, 127.0, "along");
    near(exit.y - lav.y, 3.969, "up");
    // The exit's invert, -4 ft, stands at that mark of the axis.
    let texts = sheets[0].items.iter().flat_map(|i| &i.texts);
    let mark = texts.into_iter().find(|t| {
        t.text == "-4′-0″"
            && t.anchor == stackfall::sheets::Anchor::End
            && t.slant == stackfall::sheets::Slant::Level
    });
    near(mark.expect("a mark at -4 ft").at.y - 1.2, exit.y, "level");
    let said = sheets[0].items.iter().flat_map(|i| &i.texts).any(|t| {
        t.text
            .contains("LENGTHS ¼″ = 1′-0″, HEIGHTS ¾″ = 1′-0″: HEIGHTS 3 TIMES")
    });
    assert!(said, "the scales are said");
}

/// What nobody gave a length is not drawn, and it is said what is missing.
#[test]
fn what_is_not_known_is_not_drawn() {
    let text = hand().replace("\"north 22'\"", "\"north 22'\", \"size 3\"");
    let sketch = text.replace(
        r#"main = { into = "exit", run = ["lies under slab", "north 22'", "size 3"], size = 4 }"#,
        r#"main = { into = "exit" }"#,
    );
    assert_ne!(text, sketch);
    let w = worked(
        "sketch",
        &sketch
            .replace("station = \"12'\", ", "")
            .replace("station = \"20'\", ", ""),
    );
    let all = of(&w);
    assert!(
        all[0]
            .missing
            .as_deref()
            .is_some_and(|m| m.contains("length")),
        "{:?}",
        all[0].missing
    );
    assert!(
        all[0].pipes.iter().all(|p| p.run != "main"),
        "{:#?}",
        all[0].pipes
    );
}

/// A rise is drawn as a rise: two places over each other.
#[test]
fn a_rise_goes_straight_up() {
    let text = common::sample_text("alder-court");
    let w = worked("alder-court", &text);
    let profile = &of(&w)[0];
    let upright = profile.pipes.iter().filter(|p| {
        p.points
            .windows(2)
            .any(|w| w[0].distance == w[1].distance && w[1].invert > w[0].invert)
    });
    assert_eq!(upright.count(), 1);
    let (foot, head) = (
        place(profile, "foot of the rise"),
        place(profile, "head of the rise"),
    );
    assert_eq!(foot.distance, head.distance);
    let up = head.invert.zip(foot.invert).map(|(a, b)| (a - b).feet());
    assert!(
        up.is_some_and(|up| (up - 7.667).abs() < 0.01),
        "7 ft 8 in: {up:?}"
    );
}

/// Forty branches have no room side by side below one section: it goes on on further sheets, each pipe
/// on one of them, and the place where two meet on both.
#[test]
fn a_long_section_goes_on_on_further_sheets() {
    let mut text = common::HAND.replace("north 22'", "north 400'");
    for i in 1..=160 {
        let station = 25.0 + 2.0 * f64::from(i);
        text += &format!(
            "X{i} = {{ kind = \"lavatory\", into = \"main\", station = \"{station}'\", run = [\"east 1'\", \"up 5'\"], arm = \"2'\" }}\n"
        );
    }
    let sheets = drawn("long.toml", &text);
    let sections: Vec<&Sheet> = sheets
        .iter()
        .filter(|s| s.drawing == DrawingKind::Section)
        .collect();
    assert!(sections.len() > 2, "{}", sections.len());
    let of = |s: &Sheet| -> Vec<String> {
        let pipes = s.items.iter().filter(|i| i.role == Role::Pipe);
        pipes.map(|i| i.id.clone()).collect()
    };
    let ids: Vec<String> = sections.iter().flat_map(|s| of(s)).collect();
    let mut once = ids.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), ids.len(), "a pipe is drawn twice");
    assert_eq!(ids.iter().filter(|i| i.starts_with("main.X")).count(), 160);
    for pair in sections.windows(2) {
        let end = |s: &Sheet, place: &str| {
            let texts = s.items.iter().flat_map(|i| &i.texts);
            texts.into_iter().any(|t| t.text == place)
        };
        let last = of(pair[0])
            .last()
            .map(|id| id.replace("main.", "JUNCTION OF "));
        let last = last.expect("pipes");
        assert!(end(pair[0], &last) && end(pair[1], &last), "{last}");
    }
}

/// Every sample has its sheets: each drain that is known from its exit up is drawn once, within its
/// field, with its size and fall beside it.
#[test]
fn every_sample_is_drawn() {
    let mut sections = 0;
    for name in SAMPLES {
        let path = sample_path(name);
        let sheets = drawn(&path, &common::sample_text(name));
        assert!(!sheets.is_empty(), "{name}");
        for sheet in sheets.iter().filter(|s| s.drawing == DrawingKind::Section) {
            sections += 1;
            let field = stackfall::sheets::layout(sheet.paper)
                .field
                .inflate(0.01, 0.01);
            let pipes: Vec<&Item> = sheet
                .items
                .iter()
                .filter(|i| i.role == Role::Pipe)
                .collect();
            assert!(!pipes.is_empty(), "{name} {}", sheet.number);
            for item in sheet
                .items
                .iter()
                .filter(|i| i.role != Role::None && i.role != Role::Panel)
            {
                for p in item
                    .shapes
                    .iter()
                    .flat_map(|s| s.path.elements())
                    .filter_map(PathEl::end_point)
                {
                    assert!(
                        field.contains(p),
                        "{name} {}: {p:?} of {:?}",
                        sheet.number,
                        item.data
                    );
                }
            }
        }
    }
    assert!(sections >= 6, "{sections}");
}
