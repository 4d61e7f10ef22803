//! Lettering: sizes, measuring, wrapping, and the lines and rules that go with it.

use std::sync::OnceLock;

use kurbo::{BezPath, Point, Rect};

use super::{Anchor, Grey, Shape, Slant, Stroke, Text, Weight};
use crate::assets;

/// Capital height of running text and tables, mm: just over 3/32 in.
pub(super) const BODY: f64 = 2.5;
const _: () = assert!(BODY >= 25.4 * 3.0 / 32.0);
/// Capital height of the titles of tables and notes, mm.
pub(super) const HEADING: f64 = 3.5;
/// From one line to the next of running text, mm.
pub(super) const PITCH: f64 = 3.9;
/// A thin rule, mm.
pub(super) const THIN: f64 = 0.18;
/// A plain rule, mm.
pub(super) const PLAIN: f64 = 0.25;
/// A heavy rule, mm.
pub(super) const HEAVY: f64 = 0.5;
/// Rules between rows: dark enough to print, lighter than the words.
pub(super) const SOFT: Grey = Grey(110);

/// How a line of text is lettered.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
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
    /// Width of a space between words, mm.
    pub fn space(self) -> f64 {
        static EM: [OnceLock<f64>; 2] = [OnceLock::new(), OnceLock::new()];
        let measure = || assets::width("n n", self.weight) - assets::width("nn", self.weight);
        let em = match self.weight {
            Weight::Regular => EM[0].get_or_init(measure),
            Weight::Bold => EM[1].get_or_init(measure),
        };
        em * self.em() * 1.008
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
    /// Breaks a text at its spaces, but not between a figure and its unit; a word that is wider
    /// than the line is broken within.
    pub fn wrap(self, text: &str, width: f64) -> Vec<String> {
        if self.wide(text) <= width {
            return vec![text.to_owned()];
        }
        let space = self.space();
        let (mut lines, mut line, mut used) = (Vec::new(), String::new(), 0.0);
        for word in held(text).into_iter().flat_map(|w| self.broken(w, width)) {
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
        // A figure is torn from its unit before it is torn itself.
        if word.contains(' ') {
            let parts = word.split_whitespace();
            return parts.flat_map(|w| self.broken(w, width)).collect();
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

/// The words of a text, a figure and its unit as one.
pub(super) fn held(text: &str) -> Vec<&str> {
    let mut words: Vec<&str> = Vec::new();
    // Where the last of them starts.
    let mut start = 0;
    for word in text.split_whitespace() {
        let at = word.as_ptr() as usize - text.as_ptr() as usize;
        let end = at + word.len();
        match words.last_mut() {
            Some(last) if belong(last, word) => *last = &text[start..end],
            _ => {
                start = at;
                words.push(word);
            }
        }
    }
    words
}

/// Whether two words are a figure and its unit.
fn belong(before: &str, after: &str) -> bool {
    const UNITS: [&str; 12] = [
        "mm", "cm", "m", "ft", "in", "psi", "kPa", "gpm", "dfu", "L/s", "L", "%",
    ];
    let bare = |w: &str| {
        w.trim_matches(|c| matches!(c, ',' | '.' | ';' | ':' | '(' | ')'))
            .to_owned()
    };
    let figure = |w: &str| w.chars().next_back().is_some_and(char::is_numeric);
    let starts = |w: &str| w.chars().next().is_some_and(char::is_numeric);
    // What ends a clause does not go on into a unit.
    let unit = figure(before) && UNITS.iter().any(|u| u.eq_ignore_ascii_case(&bare(after)));
    unit || bare(before).eq_ignore_ascii_case("DN") && starts(after)
}

/// Characters that the font is known to have; a test sees to it.
const USUAL: &str = "½¼¾⅛⅜⅝⅞′″·—–×°…";

/// No text on a sheet is longer than this; a job file may say anything.
const MOST: usize = 900;

/// A text that the bundled font can letter: one line, anything it lacks as a question mark.
pub(super) fn clean(text: &str) -> String {
    cleaned(text, MOST)
}

fn cleaned(text: &str, most: usize) -> String {
    if is_clean(text, most) {
        return text.to_owned();
    }
    let cut: String = text
        .chars()
        .take(most)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let words: Vec<&str> = cut.split_whitespace().collect();
    let known = |c: char| c.is_ascii() || USUAL.contains(c);
    let mut bytes = [0; 4];
    let mut has = |c: char| known(c) || assets::missing(c.encode_utf8(&mut bytes)).is_none();
    words
        .join(" ")
        .chars()
        .map(|c| if has(c) { c } else { '?' })
        .collect()
}

/// Whether a text is clean as it is, as almost all are.
fn is_clean(text: &str, most: usize) -> bool {
    let mut count = 0;
    let mut before = ' ';
    let all = text.chars().all(|c| {
        let single = c != ' ' || before != ' ';
        count += 1;
        before = c;
        single && (c == ' ' || c.is_ascii_graphic() || (!c.is_ascii() && USUAL.contains(c)))
    });
    all && count <= most && (count == 0 || before != ' ')
}

/// The same, cut short where a box of the title block has room for no more.
pub(super) fn brief(text: &str, most: usize) -> String {
    let text = clean(text);
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", text[..end].trim_end()),
        None => text,
    }
}

/// A long text in pieces of at most so many letters, broken between words where it has any. No
/// row is then higher than the smallest paper, and nothing is cut off.
pub(super) fn pieces(text: &str, most: usize) -> Vec<String> {
    let most = most.max(1);
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some((end, _)) = rest.char_indices().nth(most) {
        let head = &rest[..end];
        let at = head.rfind(' ').filter(|at| *at > 0).unwrap_or(end);
        let (piece, after) = rest.split_at(at);
        pieces.push(piece.to_owned());
        rest = after.trim_start();
    }
    if !rest.is_empty() || pieces.is_empty() {
        pieces.push(rest.to_owned());
    }
    pieces
}

/// Stands before and after words that [`capitals`] leaves as they are.
pub(super) const KEPT: char = '\u{2}';

/// A name or a figure within a text that is to be lettered in capitals: a name keeps its letters,
/// a figure its unit.
pub(super) fn kept(text: &str) -> String {
    format!("{KEPT}{text}{KEPT}")
}

/// A text without the marks of [`kept`].
pub(super) fn unmarked(text: &str) -> String {
    match text.contains(KEPT) {
        true => text.replace(KEPT, ""),
        false => text.to_owned(),
    }
}

/// The same in capitals, as drawings are lettered.
pub(super) fn capitals(text: &str) -> String {
    clean(&raised(text))
}

/// The same for a cell of a table, which may be longer: it can go on in a further row.
pub(super) fn cell_words(text: &str, capitals: bool) -> String {
    const CELL: usize = 4000;
    let text = if capitals {
        raised(text)
    } else {
        unmarked(text)
    };
    cleaned(&text, CELL)
}

fn raised(text: &str) -> String {
    let parts = text.split(KEPT).enumerate();
    let parts = parts.map(|(i, t)| {
        if i % 2 == 0 {
            t.to_uppercase()
        } else {
            t.to_owned()
        }
    });
    parts.collect()
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

/// The same, open between two places of its upper edge, from left to right: words stand there.
pub(super) fn open_outline(r: Rect, (from, to): (f64, f64), width: f64) -> Shape {
    let mut path = BezPath::new();
    path.move_to((from, r.y0));
    for corner in [
        (r.x0, r.y0),
        (r.x0, r.y1),
        (r.x1, r.y1),
        (r.x1, r.y0),
        (to, r.y0),
    ] {
        path.line_to(corner);
    }
    Shape {
        path,
        ..outline(r, width)
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
    fn a_figure_keeps_its_unit_on_its_line() {
        let text = "rises 1.07 m, falls (20 mm) on DN 100 pipe; stack 4, in wall 2, 5 DFU";
        let units = ["M", "MM", "100", "DFU"];
        for width in 14..120 {
            for line in Hand::BODY.wrap(text, f64::from(width)) {
                let first = line.split(' ').next().unwrap_or_default();
                let first = first.trim_matches(|c: char| !c.is_alphanumeric());
                assert!(
                    !units.contains(&first.to_uppercase().as_str()),
                    "{line:?} at {width}"
                );
            }
        }
        assert_eq!(held("4, in 5 in by 3"), ["4,", "in", "5 in", "by", "3"]);
    }

    #[test]
    fn letters_only_what_the_font_has() {
        assert_eq!(pieces("abcdef", 4), ["abcd", "ef"]);
        assert_eq!(pieces("ab cd ef", 6), ["ab cd", "ef"]);
        assert_eq!(pieces("", 6), [""]);
        assert_eq!(assets::missing(USUAL), None);
        assert_eq!(clean(" a\n△ 1½″ "), "a ? 1½″");
        for (text, is) in [("a 1½″", true), ("", true), ("a  b", false), (" a", false)] {
            assert_eq!(is_clean(text, 9), is, "{text:?}");
        }
        assert!(!is_clean("a ", 9) && !is_clean("abc", 2) && !is_clean("a\tb", 9));
        assert!(!is_clean("△", 9));
        assert_eq!(capitals("Hall bath"), "HALL BATH");
        assert_eq!(
            capitals(&format!("falls {} on {}", kept("¼″/ft"), kept("bb"))),
            "FALLS ¼″/ft ON bb"
        );
    }
}
