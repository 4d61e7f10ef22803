//! Widths of lines, put together from the advances of letters before one another.
//!
//! The font kerns letters two by two and has nothing that looks farther, but for ligatures and
//! combining marks. So the advance of a letter before another is asked of the shaper for each pair
//! once and for all, and a line's width is a sum of those; asking as they come up took a twentieth
//! of the time of a house. A line with anything else in it is shaped whole. Tests hold both
//! against each other, and write the tables anew where the font has changed (`BLESS=1`).

use std::sync::atomic::{AtomicI32, Ordering};

use crate::sheets::Weight;

/// What sheets letter beside printable ASCII.
const MARKS: [char; 32] = [
    '′', '″', '½', '¼', '¾', '⅛', '⅜', '⅝', '⅞', '⅓', '⅔', '·', '–', '—', '×', '°', '±', 'Ø', '…',
    '→', '←', '↑', '↓', '²', '³', '“', '”', '‘', '’', 'é', 'ü', 'ö',
];
/// Printable ASCII.
const ASCII: usize = 95;
/// Letters with a place in the table, and one more: the end of the line.
const LETTERS: usize = ASCII + MARKS.len() + 1;
const END: usize = LETTERS - 1;

/// The two are set as something else than one after the other.
const JOINED: i16 = i16::MAX;

/// Advances, row by row: of a letter, before each other letter, two bytes each, the lower first.
type Pairs = [u8; LETTERS * LETTERS * 2];
static REGULAR: &Pairs = include_bytes!("fonts/pairs-Regular.bin");
static BOLD: &Pairs = include_bytes!("fonts/pairs-Bold.bin");

/// The advance of a letter before another or before the end, by their places; none if the two
/// are joined.
fn pair(a: usize, b: usize, weight: Weight) -> Option<i32> {
    let pairs = match weight {
        Weight::Regular => REGULAR,
        Weight::Bold => BOLD,
    };
    let at = (a * LETTERS + b) * 2;
    let advance = i16::from_le_bytes([*pairs.get(at)?, *pairs.get(at + 1)?]);
    (advance != JOINED).then_some(i32::from(advance))
}

/// Advances with room for any digit in the place of each; digits stand in the row of nought. What
/// one thread finds is what any other would find, so that it does not matter which of them writes
/// it down.
type Rooms = [AtomicI32; LETTERS * LETTERS];
static REGULAR_ROOM: Rooms = [const { AtomicI32::new(UNKNOWN) }; LETTERS * LETTERS];
static BOLD_ROOM: Rooms = [const { AtomicI32::new(UNKNOWN) }; LETTERS * LETTERS];
/// Not asked for yet.
const UNKNOWN: i32 = i32::MIN;
/// There is none: two that may stand there are joined.
const NONE: i32 = i32::MAX;

/// Width of a line in font units, by pairs; none if it cannot be had that way.
pub(super) fn by_pairs(text: &str, weight: Weight) -> Option<i64> {
    sum(text.chars(), |a, b| pair(a, b, weight))
}

/// Width that a line needs with any digits in the place of its own, in font units, by pairs; none
/// if it cannot be had that way. Lines that differ only in digits need the same.
pub(super) fn room(text: &str, weight: Weight) -> Option<i64> {
    let rooms = match weight {
        Weight::Regular => &REGULAR_ROOM,
        Weight::Bold => &BOLD_ROOM,
    };
    let text = text.chars().map(|c| match c.is_ascii_digit() {
        true => '0',
        false => c,
    });
    sum(text, |a, b| {
        let kept = rooms.get(a * LETTERS + b)?;
        let known = kept.load(Ordering::Relaxed);
        let found = if known == UNKNOWN {
            let most = most(a, b, weight).unwrap_or(NONE);
            kept.store(most, Ordering::Relaxed);
            most
        } else {
            known
        };
        (found != NONE).then_some(found)
    })
}

/// The most that a letter advances before another, where nought stands for any digit.
fn most(a: usize, b: usize, weight: Weight) -> Option<i32> {
    const NOUGHT: usize = '0' as usize - ' ' as usize;
    let digits = |place: usize| match place {
        NOUGHT => NOUGHT..NOUGHT + 10,
        other => other..other + 1,
    };
    let pairs = digits(a).flat_map(|a| digits(b).map(move |b| (a, b)));
    let all: Option<Vec<i32>> = pairs.map(|(a, b)| pair(a, b, weight)).collect();
    all?.into_iter().max()
}

/// The sum of the advances of some letters, each before the next, by their places.
fn sum(
    text: impl Iterator<Item = char>,
    advance: impl Fn(usize, usize) -> Option<i32>,
) -> Option<i64> {
    let mut units = 0i64;
    let mut before: Option<usize> = None;
    for c in text {
        let place = place(c)?;
        if let Some(last) = before {
            units += i64::from(advance(last, place)?);
        }
        before = Some(place);
    }
    if let Some(last) = before {
        units += i64::from(advance(last, END)?);
    }
    Some(units)
}

fn place(c: char) -> Option<usize> {
    match c {
        ' '..='~' => Some(c as usize - ' ' as usize),
        _ => Some(ASCII + MARKS.iter().position(|m| *m == c)?),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assets::shape;

    fn shaped(text: &str, weight: Weight) -> i64 {
        let glyphs = shape(text, weight).expect("the font shapes");
        let advances = glyphs.glyph_positions().iter();
        advances.map(|p| i64::from(p.x_advance)).sum()
    }

    fn letters() -> Vec<char> {
        (' '..='~').chain(MARKS).collect()
    }

    /// The advance of a letter before another, as the shaper says.
    fn asked(letter: char, next: Option<char>, weight: Weight) -> i16 {
        let pair: String = std::iter::once(letter).chain(next).collect();
        let glyphs = shape(&pair, weight).expect("the font shapes");
        let positions = glyphs.glyph_positions();
        match positions.len() == pair.chars().count() {
            true => i16::try_from(positions[0].x_advance).expect("a letter is not so wide"),
            false => JOINED,
        }
    }

    /// The tables are what the shaper says of the font; `BLESS=1` writes them anew, and then
    /// fails.
    #[test]
    fn tables_are_of_this_font() {
        let mut stale = Vec::new();
        for (weight, kept, name) in [
            (Weight::Regular, REGULAR, "Regular"),
            (Weight::Bold, BOLD, "Bold"),
        ] {
            let letters = letters();
            let ends = || letters.iter().map(|c| Some(*c)).chain([None]);
            let mut pairs: Vec<u8> = Vec::with_capacity(kept.len());
            for letter in &letters {
                let row = ends().map(|next| asked(*letter, next, weight));
                pairs.extend(row.flat_map(i16::to_le_bytes));
            }
            // Nothing stands before the end of a line.
            pairs.resize(kept.len(), 0);
            if pairs != kept {
                if std::env::var_os("BLESS").is_some() {
                    let fonts = concat!(env!("CARGO_MANIFEST_DIR"), "/src/assets/fonts");
                    let path = format!("{fonts}/pairs-{name}.bin");
                    std::fs::write(path, &pairs).expect("the table is written");
                }
                stale.push(name);
            }
        }
        assert!(
            stale.is_empty(),
            "{stale:?} not of the font: BLESS=1 writes them anew"
        );
    }

    /// Lines of letters drawn by a small generator, so that every run tries the same ones.
    #[test]
    fn is_what_the_shaper_says() {
        let letters = letters();
        let mut seed = 1u64;
        let mut draw = |n: usize| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) as usize % n
        };
        let mut by_pairs_alone = 0;
        for _ in 0..4000 {
            let length = 1 + draw(14);
            let line: String = (0..length).map(|_| letters[draw(letters.len())]).collect();
            for weight in [Weight::Regular, Weight::Bold] {
                if let Some(units) = by_pairs(&line, weight) {
                    assert_eq!(units, shaped(&line, weight), "{line:?} {weight:?}");
                    by_pairs_alone += 1;
                }
            }
        }
        assert!(by_pairs_alone > 7800, "{by_pairs_alone}");
    }

    #[test]
    fn every_pair_is_what_the_shaper_says_within_a_line() {
        for weight in [Weight::Regular, Weight::Bold] {
            for a in letters() {
                for b in letters() {
                    let line = format!("H{a}{b}o");
                    if let Some(units) = by_pairs(&line, weight) {
                        assert_eq!(units, shaped(&line, weight), "{line:?} {weight:?}");
                    }
                }
            }
        }
    }

    /// Whatever the digits of a line, it is no wider than its room, and the room hardly wider.
    #[test]
    fn room_holds_any_digits() {
        for weight in [Weight::Regular, Weight::Bold] {
            for line in [
                "WC-{}@A1-{}",
                "S{}.{}: {}″ @ ¼″/ft · {} DFU",
                "IE -{}′-{}½″",
            ] {
                let needs = |d: &str| room(&line.replace("{}", d), weight).expect("a sum of pairs");
                for d in ["11", "17", "74", "40", "99"] {
                    let text = line.replace("{}", d);
                    let wide = shaped(&text, weight);
                    assert!(wide <= needs(d), "{text:?}");
                    assert!((needs(d) - wide) as f64 <= 0.05 * wide as f64, "{text:?}");
                    assert_eq!(needs(d), needs("00"));
                }
            }
        }
    }

    #[test]
    fn knows_what_is_no_sum_of_pairs() {
        assert_eq!(by_pairs("fitting", Weight::Regular), None);
        assert_eq!(by_pairs("a\u{301}", Weight::Regular), None);
        assert_eq!(by_pairs("", Weight::Bold), Some(0));
    }
}
