//! The bands below a section: at each place what joins there, and its figures.

use kurbo::{Point, Rect};

use super::super::model::{Place, Profile};
use super::frame::Frame;
use super::ink::{Hand, PLAIN, THIN, line, mark};
use super::words::Letters;
use crate::catalogue;
use crate::sheets::{Anchor, Form, Item, Say, Slant};
use crate::units::Printer;

/// From one column to the next at the least, mm.
const PITCH: f64 = 4.6;
/// Clear paper at both ends of a cell, mm.
const PAD: f64 = 1.6;
/// A line of words in a cell is no longer than this, mm: longer ones take two.
const LONGEST: f64 = 52.0;

/// A band.
struct Band {
    head: &'static str,
    /// Of each place that is drawn, by lines.
    cells: Vec<Vec<String>>,
    height: f64,
}

/// All bands, from the upper one down.
pub(super) struct Bands {
    all: Vec<Band>,
}

/// The places that have a place in the section.
pub(super) fn drawn(profile: &Profile) -> impl Iterator<Item = &Place> {
    let known = |p: &&Place| p.distance.is_some() && p.invert.is_some();
    profile.places.iter().filter(known)
}

impl Bands {
    pub fn of(profile: &Profile, letters: &Letters, print: Printer) -> Bands {
        let say = Say {
            print,
            form: Form::Sheet,
        };
        let invert = |p: &Place| {
            let own = say.level(p.invert);
            match p.invert_in {
                Some(_) => vec![own, format!("{} IN", say.level(p.invert_in))],
                None => vec![own],
            }
        };
        let room = |p: &Place| {
            let held = p.held.iter().map(|h| letters.lettered(h));
            let own = std::iter::once(say.room(p.room)).chain(held);
            let own = own.collect::<Vec<String>>().join(" · ");
            match p.room.is_some_and(|r| -r > catalogue::fine()) {
                true => vec![own, "DOES NOT FIT".to_owned()],
                false => vec![own],
            }
        };
        type Cell<'a> = Box<dyn Fn(&Place) -> Vec<String> + 'a>;
        let survey = |p: &Place| {
            let at = p.invert.zip(profile.survey).map(|(i, zero)| zero + i);
            lines(&say.elevation(at))
        };
        let down = |p: &Place| {
            let at = p.invert.zip(profile.benchmark).map(|(i, b)| b - i);
            lines(&say.length(at))
        };
        let mut cells: Vec<(&'static str, Cell<'_>)> = vec![
            (
                "PLACE",
                Box::new(|p: &Place| lines(&letters.lettered(&p.what))),
            ),
            (
                "STATION",
                Box::new(|p: &Place| lines(&say.length(p.station))),
            ),
            ("INVERT", Box::new(invert)),
            (
                "TOP OF PIPE",
                Box::new(|p: &Place| lines(&say.level(p.top))),
            ),
            ("COVER", Box::new(|p: &Place| lines(&say.short(p.cover)))),
            ("ROOM TO SPARE", Box::new(room)),
        ];
        // What a level or a rod reads, where the job ties its zero to something that stands there.
        if profile.benchmark.is_some() {
            cells.insert(3, ("BELOW BM", Box::new(down)));
        }
        if profile.survey.is_some() {
            cells.insert(3, ("ELEVATION", Box::new(survey)));
        }
        let band = |(head, cell): (&'static str, Cell<'_>)| {
            let cells: Vec<Vec<String>> = drawn(profile).map(&cell).collect();
            let longest = cells
                .iter()
                .flatten()
                .map(|w| Hand::BODY.wide(w))
                .fold(8.0, f64::max);
            Band {
                head,
                cells,
                height: longest + 2.0 * PAD,
            }
        };
        Bands {
            all: cells.into_iter().map(band).collect(),
        }
    }

    /// How many places have room in a width, of which some take two lines.
    pub fn most(width: f64) -> usize {
        ((width / PITCH * 0.85).floor() as usize).max(2)
    }

    /// Height of all, mm.
    pub fn height(&self) -> f64 {
        self.all.iter().map(|b| b.height).sum()
    }

    /// The bands with their upper edge here, and from each place a line down to its column.
    pub fn items(&self, profile: &Profile, frame: &Frame, field: Rect, top: f64) -> Vec<Item> {
        let places: Vec<(Point, usize)> = drawn(profile)
            .enumerate()
            .filter_map(|(i, p)| {
                let at = frame.at(p.distance?, p.invert?);
                let lines = self.all.iter().filter_map(|b| b.cells.get(i)).map(Vec::len);
                Some((at, lines.max().unwrap_or(1)))
            })
            .collect();
        let heads = frame.heads(field);
        let columns = spread(&places, heads + PITCH * 0.8, field.x1 - PITCH * 0.8);
        let mut ordinates = Vec::new();
        let mut seen: Vec<f64> = Vec::new();
        for ((at, _), x) in places.iter().zip(&columns) {
            // Of places that stand over each other each has its own line.
            let beside = seen.iter().filter(|s| (**s - at.x).abs() < 1e-6).count();
            seen.push(at.x);
            let down = at.x + beside as f64 * 1.2;
            let from = Point::new(down, at.y);
            let knee = Point::new(down, frame.origin.y + 3.0);
            ordinates.push(line(&[*at, from, knee, Point::new(*x, top)], THIN));
        }
        let mut items = vec![mark("ordinates", ordinates)];
        let mut y = top;
        let mut rules = vec![rule(field, y)];
        let mut texts = Vec::new();
        for band in &self.all {
            let middle = y + band.height / 2.0;
            let head = Point::new(field.x0 + 1.0, middle + 1.2);
            texts.push(Hand::STRONG.set(band.head, head, Anchor::Start, Slant::Level));
            for (cell, x) in band.cells.iter().zip(&columns) {
                let left = x - (cell.len().max(1) - 1) as f64 * PITCH * 0.45;
                for (i, words) in cell.iter().enumerate() {
                    let x = left + i as f64 * PITCH * 0.9 + 1.25;
                    let at = Point::new(x, y + PAD);
                    texts.push(Hand::BODY.set(words.clone(), at, Anchor::End, Slant::Up90));
                }
            }
            y += band.height;
            rules.push(rule(field, y));
        }
        let mut bands = mark("bands", rules);
        bands.texts = texts;
        items.push(bands);
        items
    }
}

fn rule(field: Rect, y: f64) -> crate::sheets::Shape {
    line(&[Point::new(field.x0, y), Point::new(field.x1, y)], PLAIN)
}

/// Words in one line, or in two of about the same length.
fn lines(words: &str) -> Vec<String> {
    if Hand::BODY.wide(words) <= LONGEST {
        return vec![words.to_owned()];
    }
    let half = words.len() / 2;
    let breaks = words.match_indices(' ').map(|(i, _)| i);
    match breaks.min_by_key(|i| i.abs_diff(half)) {
        Some(i) => vec![words[..i].to_owned(), words[i + 1..].to_owned()],
        None => vec![words.to_owned()],
    }
}

/// Where the columns stand: over their places as nearly as their widths let them, between two bounds.
fn spread(places: &[(Point, usize)], low: f64, high: f64) -> Vec<f64> {
    // From the first column to each, at the least.
    let mut offsets = Vec::with_capacity(places.len());
    let mut at = 0.0;
    for (i, (_, lines)) in places.iter().enumerate() {
        let before = i
            .checked_sub(1)
            .and_then(|b| places.get(b))
            .map_or(0, |p| p.1);
        if i > 0 {
            at += PITCH * (before + lines) as f64 / 2.0;
        }
        offsets.push(at);
    }
    // Places that would crowd form a cluster, which stands where it is nearest to all of them.
    let mut clusters: Vec<(f64, usize)> = Vec::new();
    for ((point, _), offset) in places.iter().zip(&offsets) {
        clusters.push((point.x - offset, 1));
        while let [.., (a, n), (b, m)] = clusters.as_slice()
            && a / *n as f64 > b / *m as f64
        {
            let joined = (a + b, n + m);
            clusters.truncate(clusters.len() - 2);
            clusters.push(joined);
        }
    }
    let most = (high - at).max(low);
    let means = clusters.iter().flat_map(|(sum, n)| {
        let mean = (sum / *n as f64).clamp(low, most);
        std::iter::repeat_n(mean, *n)
    });
    means
        .zip(&offsets)
        .map(|(mean, offset)| mean + offset)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_keep_clear_and_near() {
        let places: Vec<(Point, usize)> = [50.0, 51.0, 52.0, 100.0]
            .map(|x| (Point::new(x, 0.0), 1))
            .to_vec();
        let columns = spread(&places, 40.0, 200.0);
        // Three round 51, a pitch apart; the fourth over its place.
        let wanted = [51.0 - PITCH, 51.0, 51.0 + PITCH, 100.0];
        for (column, wanted) in columns.iter().zip(wanted) {
            assert!((column - wanted).abs() < 1e-9, "{columns:?}");
        }
        let bounded = spread(&places, 50.0, 60.0);
        assert!(bounded[0] >= 50.0, "{bounded:?}");
    }

    #[test]
    fn long_words_take_two_lines() {
        assert_eq!(lines("EXIT"), ["EXIT"]);
        let two = lines("JUNCTION OF LAV-1, LAV-2, LAV-3 AND THE CLEANOUT CO-12");
        assert_eq!(two.len(), 2, "{two:?}");
    }
}
