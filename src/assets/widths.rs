//! Widths of lines, put together from the advances of letters before one another.
//!
//! The font kerns letters two by two and has nothing that looks farther, but for ligatures and
//! combining marks. So the advance of a letter before another is asked of the shaper once for
//! each pair and kept, and a line's width is a sum of those. A line with anything else in it is
//! shaped whole. A test holds both against each other.

use std::sync::atomic::{AtomicI32, Ordering};

use super::shape;
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

/// Not asked for yet.
const UNKNOWN: i32 = i32::MIN;
/// The two are set as something else than one after the other.
const JOINED: i32 = i32::MAX;

/// Advances, row by row: of a letter, before each other letter. What one thread finds is what any
/// other would find, so that it does not matter which of them writes it down.
type Table = [AtomicI32; LETTERS * LETTERS];
static REGULAR: Table = [const { AtomicI32::new(UNKNOWN) }; LETTERS * LETTERS];
static BOLD: Table = [const { AtomicI32::new(UNKNOWN) }; LETTERS * LETTERS];
/// The same with room for any digit in the place of each; digits stand in the row of nought.
static REGULAR_ROOM: Table = [const { AtomicI32::new(UNKNOWN) }; LETTERS * LETTERS];
static BOLD_ROOM: Table = [const { AtomicI32::new(UNKNOWN) }; LETTERS * LETTERS];

/// Width of a line in font units, by pairs; none if it cannot be had that way.
pub(super) fn by_pairs(text: &str, weight: Weight) -> Option<i64> {
    let table = match weight {
        Weight::Regular => &REGULAR,
        Weight::Bold => &BOLD,
    };
    sum(text.chars(), table, |a, b| ask(a, b, weight))
}

/// Width that a line needs with any digits in the place of its own, in font units, by pairs; none
/// if it cannot be had that way. Lines that differ only in digits need the same.
pub(super) fn room(text: &str, weight: Weight) -> Option<i64> {
    let table = match weight {
        Weight::Regular => &REGULAR_ROOM,
        Weight::Bold => &BOLD_ROOM,
    };
    let digits = |c: char| match c {
        '0' => '0'..='9',
        c => c..=c,
    };
    let most = |a: char, b: Option<char>| {
        let firsts = digits(a);
        let pairs = firsts.flat_map(|a| {
            let seconds = b.into_iter().flat_map(digits).map(Some);
            let none = b.is_none().then_some(None);
            seconds.chain(none).map(move |b| (a, b))
        });
        let all: Option<Vec<i32>> = pairs.map(|(a, b)| ask(a, b, weight)).collect();
        all?.into_iter().max()
    };
    let text = text.chars().map(|c| match c.is_ascii_digit() {
        true => '0',
        false => c,
    });
    sum(text, table, most)
}

/// The sum of the advances of some letters, each before the next.
fn sum(
    text: impl Iterator<Item = char>,
    table: &Table,
    ask: impl Fn(char, Option<char>) -> Option<i32>,
) -> Option<i64> {
    let mut units = 0i64;
    let mut before: Option<(usize, char)> = None;
    for c in text {
        let place = place(c)?;
        if let Some((last, letter)) = before {
            let asked = || ask(letter, Some(c));
            units += i64::from(advance(table, last * LETTERS + place, asked)?);
        }
        before = Some((place, c));
    }
    if let Some((last, letter)) = before {
        let asked = || ask(letter, None);
        units += i64::from(advance(table, last * LETTERS + END, asked)?);
    }
    Some(units)
}

fn place(c: char) -> Option<usize> {
    match c {
        ' '..='~' => Some(c as usize - ' ' as usize),
        _ => Some(ASCII + MARKS.iter().position(|m| *m == c)?),
    }
}

/// The advance at a place of a table, asked for once.
fn advance(table: &Table, at: usize, ask: impl Fn() -> Option<i32>) -> Option<i32> {
    let kept = table.get(at)?;
    let known = kept.load(Ordering::Relaxed);
    let found = if known == UNKNOWN {
        let asked = ask().unwrap_or(JOINED);
        kept.store(asked, Ordering::Relaxed);
        asked
    } else {
        known
    };
    (found != JOINED).then_some(found)
}

/// Asks the shaper.
fn ask(letter: char, next: Option<char>, weight: Weight) -> Option<i32> {
    let pair: String = std::iter::once(letter).chain(next).collect();
    let glyphs = shape(&pair, weight)?;
    let positions = glyphs.glyph_positions();
    (positions.len() == pair.chars().count()).then_some(())?;
    Some(positions.first()?.x_advance)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shaped(text: &str, weight: Weight) -> i64 {
        let glyphs = shape(text, weight).expect("the font shapes");
        let advances = glyphs.glyph_positions().iter();
        advances.map(|p| i64::from(p.x_advance)).sum()
    }

    fn letters() -> Vec<char> {
        (' '..='~').chain(MARKS).collect()
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
