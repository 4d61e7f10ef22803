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

/// Width of a line in font units, by pairs; none if it cannot be had that way.
pub(super) fn by_pairs(text: &str, weight: Weight) -> Option<i64> {
    let table = match weight {
        Weight::Regular => &REGULAR,
        Weight::Bold => &BOLD,
    };
    let mut units = 0i64;
    let mut before: Option<(usize, char)> = None;
    for c in text.chars() {
        let place = place(c)?;
        if let Some((last, letter)) = before {
            units += i64::from(advance(
                table,
                last * LETTERS + place,
                letter,
                Some(c),
                weight,
            )?);
        }
        before = Some((place, c));
    }
    if let Some((last, letter)) = before {
        units += i64::from(advance(table, last * LETTERS + END, letter, None, weight)?);
    }
    Some(units)
}

fn place(c: char) -> Option<usize> {
    match c {
        ' '..='~' => Some(c as usize - ' ' as usize),
        _ => Some(ASCII + MARKS.iter().position(|m| *m == c)?),
    }
}

/// The advance of a letter before another, or at the end of a line.
fn advance(
    table: &Table,
    at: usize,
    letter: char,
    next: Option<char>,
    weight: Weight,
) -> Option<i32> {
    let kept = table.get(at)?;
    let known = kept.load(Ordering::Relaxed);
    let found = if known == UNKNOWN {
        let asked = ask(letter, next, weight).unwrap_or(JOINED);
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

    #[test]
    fn knows_what_is_no_sum_of_pairs() {
        assert_eq!(by_pairs("fitting", Weight::Regular), None);
        assert_eq!(by_pairs("a\u{301}", Weight::Regular), None);
        assert_eq!(by_pairs("", Weight::Bold), Some(0));
    }
}
