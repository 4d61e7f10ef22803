//! Lettering: sizes, measuring, wrapping, and the lines and rules that go with it.

use kurbo::{BezPath, Point, Rect};

use super::{Anchor, Grey, Shape, Slant, Stroke, Text, Weight};
use crate::assets;

/// Capital height of running text and tables, mm: just over 3/32 in.
pub(super) const BODY: f64 = 2.5;
/// Capital height of the titles of tables and notes, mm.
pub(super) const HEADING: f64 = 3.5;
/// From one line to the next of running text, mm.
pub(super) const PITCH: f64 = 4.1;
/// A thin rule, mm.
pub(super) const THIN: f64 = 0.18;
/// A plain rule, mm.
pub(super) const PLAIN: f64 = 0.25;
/// A heavy rule, mm.
pub(super) const HEAVY: f64 = 0.5;
/// Rules between rows: dark enough to print, lighter than the words.
pub(super) const SOFT: Grey = Grey(110);

/// How a line of text is lettered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hand {
    pub cap: f64,
    pub weight: Weight,
}

impl Hand {
    pub const BODY: Hand = Hand {
        cap: BODY,
        weight: Weight::Regular,
    };
    pub const STRONG: Hand = Hand {
        cap: BODY,
        weight: Weight::Bold,
    };
    pub const HEADING: Hand = Hand {
        cap: HEADING,
        weight: Weight::Bold,
    };

    /// Width of a line, mm, with what browsers add to it.
    pub fn wide(self, text: &str) -> f64 {
        assets::width(text, self.weight) * self.em() * 1.008
    }
    pub fn em(self) -> f64 {
        self.cap / assets::CAP
    }
    /// One line of text; its point is on the baseline.
    pub fn line(self, text: impl Into<String>, at: Point, anchor: Anchor) -> Text {
        Text {
            text: text.into(),
            at,
            em: self.em(),
            weight: self.weight,
            anchor,
            slant: Slant::Level,
            grey: Grey::BLACK,
        }
    }
    /// Breaks a text at its spaces; a word that is wider than the line is broken within.
    pub fn wrap(self, text: &str, width: f64) -> Vec<String> {
        let space = self.wide("n n") - self.wide("nn");
        let (mut lines, mut line, mut used) = (Vec::new(), String::new(), 0.0);
        for word in text.split_whitespace().flat_map(|w| self.broken(w, width)) {
            let w = self.wide(&word);
            if !line.is_empty() && used + space + w > width {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            }
            if !line.is_empty() {
                line.push(' ');
                used += space;
            }
            line.push_str(&word);
            used += w;
        }
        if !line.is_empty() || lines.is_empty() {
            lines.push(line);
        }
        lines
    }
    /// A word cut into pieces that fit a line.
    fn broken(self, word: &str, width: f64) -> Vec<String> {
        if self.wide(word) <= width {
            return vec![word.to_owned()];
        }
        let mut pieces = vec![String::new()];
        for c in word.chars() {
            let last = pieces.len() - 1;
            let longer = format!("{}{c}", pieces[last]);
            if pieces[last].is_empty() || self.wide(&longer) <= width {
                pieces[last] = longer;
            } else {
                pieces.push(c.to_string());
            }
        }
        pieces
    }
}

/// No text on a sheet is longer than this; a job file may say anything.
const MOST: usize = 900;

/// A text that the bundled font can letter: one line, anything it lacks as a question mark.
pub(super) fn clean(text: &str) -> String {
    let plain = |c: char| {
        if c.is_control() || c.is_whitespace() {
            ' '
        } else {
            c
        }
    };
    let text: String = text.chars().take(MOST).map(plain).collect();
    let text = text.trim();
    if text.is_ascii() || assets::missing(text).is_none() {
        return text.to_owned();
    }
    let mut bytes = [0; 4];
    text.chars()
        .map(|c| {
            if assets::missing(c.encode_utf8(&mut bytes)).is_none() {
                c
            } else {
                '?'
            }
        })
        .collect()
}

/// The same, cut short where it would make a cell as long as a sheet.
pub(super) fn brief(text: &str, most: usize) -> String {
    let text = clean(text);
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", text[..end].trim_end()),
        None => text,
    }
}

/// The same in capitals, as drawings are lettered.
pub(super) fn capitals(text: &str) -> String {
    clean(&text.to_uppercase())
}

pub(super) fn pen(width: f64, grey: Grey) -> Option<Stroke> {
    Some(Stroke {
        width,
        dash: Vec::new(),
        grey,
        round: false,
    })
}

/// A line between two points.
pub(super) fn rule(a: (f64, f64), b: (f64, f64), width: f64, grey: Grey) -> Shape {
    let mut path = BezPath::new();
    path.move_to(a);
    path.line_to(b);
    Shape {
        path,
        stroke: pen(width, grey),
        fill: None,
    }
}

/// The outline of a rectangle.
pub(super) fn outline(r: Rect, width: f64) -> Shape {
    let mut path = BezPath::new();
    path.move_to((r.x0, r.y0));
    for p in [(r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)] {
        path.line_to(p);
    }
    path.close_path();
    Shape {
        path,
        stroke: pen(width, Grey::BLACK),
        fill: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wraps_within_the_line() {
        let text = "Vents rise to 6″ above the flood level rim before they turn level";
        for width in [12.0, 30.0, 60.0, 500.0] {
            let lines = Hand::BODY.wrap(text, width);
            assert!(
                lines.iter().all(|l| Hand::BODY.wide(l) <= width + 0.05),
                "{lines:?}"
            );
            assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
        }
        assert_eq!(Hand::BODY.wrap("", 10.0), [""]);
    }

    #[test]
    fn letters_only_what_the_font_has() {
        assert_eq!(brief("abcdef", 4), "abcd…");
        assert_eq!(clean("…"), "…");
        assert_eq!(clean(" a\n△ 1½″ "), "a ? 1½″");
        assert_eq!(capitals("Hall bath"), "HALL BATH");
    }

    #[test]
    fn the_smallest_capitals_are_3_32_in() {
        assert!(BODY >= 25.4 * 3.0 / 32.0 && HEADING > BODY);
    }
}
