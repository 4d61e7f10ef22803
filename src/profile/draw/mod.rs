//! A long section on paper: lengths to one scale, heights to a larger one.

mod bands;
mod frame;
mod ground;
mod ink;
mod parts;
mod pipes;
mod scales;
mod words;

pub use scales::Scales;

use kurbo::{Point, Rect};

use super::model::Profile;
use crate::placement::Scale;
use crate::sheets::{DrawingKind, Inputs, Item, ScaledDrawing, layout};
use crate::units::{Length, Printer, number};
use bands::Bands;
use frame::Frame;
use ink::{Hand, mark_words};
use words::Letters;

/// Room for the level axis and the heads of the bands, left of the section, mm.
const HEADS: f64 = 31.0;
/// Room for what the drawing is and its scales, over it, mm.
const TITLE: f64 = 14.0;
/// Room over the highest level for the words of pipes, mm.
const WORDS: f64 = 19.0;
/// From the lowest level down to the bands, mm.
const DROP: f64 = 11.0;

/// The section on sheets of the paper, in parts where it has more places than there is room for below
/// it; none where nothing of it is known, or where it fits at no scale.
pub fn drawings(set: &Inputs<'_>, profile: &Profile) -> Vec<ScaledDrawing> {
    let field = layout(set.paper).field;
    let parts = parts::parts(profile, Bands::most(field.width() - HEADS));
    let count = parts.len();
    let drawn = parts.iter().enumerate().map(|(i, part)| {
        let words = match count {
            1 => String::new(),
            _ => format!(", part {} of {count}", i + 1),
        };
        drawing(set, part, &words)
    });
    drawn.flatten().collect()
}

fn drawing(set: &Inputs<'_>, profile: &Profile, part: &str) -> Option<ScaledDrawing> {
    let field = layout(set.paper).field;
    let print = Printer {
        units: set.job.units,
    };
    let letters = Letters::of(set);
    let bands = Bands::of(profile, &letters, print);
    let room = Rect::new(
        field.x0 + HEADS,
        field.y0 + TITLE + if profile.unfit.is_some() { 5.0 } else { 0.0 } + WORDS,
        field.x1 - 8.0,
        field.y1 - bands.height() - DROP,
    );
    let (wide, high) = extent(profile)?;
    let sizes = (wide.1 - wide.0, high.1 - high.0);
    let scales = Scales::fitting(set.job.units, sizes, (room.width(), room.height()))?;
    // What is narrower than the field stands in its middle, what is lower rests on the bands.
    let across = sizes.0.mm() * scales.across.ratio;
    let left = room.x0 + ((room.width() - across) / 2.0).clamp(0.0, 20.0);
    let frame = Frame {
        scales,
        origin: Point::new(left, room.y1),
        from: wide.0,
        low: high.0,
        high: high.1,
    };
    let mut items = title((profile, part), &frame, &letters, field);
    items.extend(ground::items(profile, &frame, &letters, print, field));
    items.extend(frame.axis(print, field.x0 + HEADS - 2.0));
    let (drawn, labels) = pipes::items(profile, &frame, print, &items, field);
    items.extend(bands.items(profile, &frame, field, room.y1 + DROP));
    items.extend(drawn);
    items.extend(labels);
    Some(ScaledDrawing {
        title: letters.lettered(&format!("levels profile, {}{part}", profile.called)),
        shows: profile.called.clone(),
        kind: DrawingKind::Section,
        scale: Scale {
            ratio: scales.across.ratio,
            words: "AS NOTED",
        },
        items,
        north: None,
        tables: Vec::new(),
        away: Vec::new(),
    })
}

/// How far the section goes along and up; none where nothing of it is known.
fn extent(profile: &Profile) -> Option<((Length, Length), (Length, Length))> {
    let pipes = || profile.pipes.iter();
    let points = || pipes().flat_map(|p| p.points.iter());
    let distances = points().map(|p| p.distance);
    let distances = distances.chain(profile.over.iter().map(|o| o.to));
    let low = pipes().flat_map(|p| p.points.iter().map(move |q| q.invert - p.wall));
    let high = pipes().flat_map(|p| p.points.iter().map(move |q| q.invert + p.high));
    let tops = profile.over.iter().map(|o| o.top);
    let grounds = profile.grounds.iter().map(|g| g.level);
    let footings = || profile.footings.iter();
    let bottoms = footings().filter_map(|f| f.bottom.or(f.top));
    let heads = footings().filter_map(|f| f.top.or(f.bottom));
    points().next()?;
    let least = |all: &mut dyn Iterator<Item = Length>| all.min_by(Length::total_cmp);
    let most = |all: &mut dyn Iterator<Item = Length>| all.max_by(Length::total_cmp);
    let wide = (
        least(&mut distances.clone())?,
        most(&mut distances.clone())?,
    );
    let low = least(&mut low.chain(bottoms))?;
    let high = most(
        &mut high
            .chain(tops)
            .chain(grounds)
            .chain(heads)
            .chain(profile.rim),
    )?;
    Some((wide, (low, high)))
}

fn title(
    (profile, part): (&Profile, &str),
    frame: &Frame,
    letters: &Letters,
    field: Rect,
) -> Vec<Item> {
    let scales = frame.scales;
    let at = Point::new(field.x0 + 2.0, field.y0 + 5.0);
    let words = format!(
        "long section of the {} from {} up{part}",
        profile.called,
        match profile.exit.as_str() {
            "exit" => "the exit",
            name => name,
        }
    );
    let head = Hand::HEADING.line(letters.lettered(&words), at);
    let times = number(scales.up.ratio / scales.across.ratio, 2, false);
    let words = match times.as_str() {
        "1" => format!("LENGTHS AND HEIGHTS {}", scales.across.words),
        _ => format!(
            "LENGTHS {}, HEIGHTS {}: HEIGHTS {times} TIMES AS LARGE AS LENGTHS",
            scales.across.words, scales.up.words
        ),
    };
    let note = Hand::BODY.line(words, Point::new(at.x, at.y + 5.0));
    let mut words = vec![head, note];
    words.extend(
        (profile.unfit.as_ref())
            .map(|w| Hand::STRONG.line(letters.lettered(w), Point::new(at.x, at.y + 10.0))),
    );
    vec![mark_words("title", words)]
}
