//! Lines of a crew's list that belong together: a place, a step, a heading.

use kurbo::{BezPath, Point, Rect};

use super::{APART, BOX, CrewPlace, GOES_ON, ON_THE_LEFT_AND_ON, PAD, STRONG, WORDS};
use crate::sheets::lettering::{Hand, PLAIN, capitals, outline, pen};
use crate::sheets::{Anchor, Grey, Item, Role, Shape};

/// Some lines that belong together, with or without a box to tick.
#[derive(Clone)]
pub(super) struct Entry {
    pub(super) lines: Vec<(String, Hand)>,
    /// None: no box; else whether it is ticked.
    pub(super) tick: Option<bool>,
    /// The key of a keyed note.
    pub(super) key: Option<String>,
    /// Whether it heads what follows: it is never the last.
    pub(super) heads: bool,
    /// Whether it says what the levels that follow are measured from.
    pub(super) measures: bool,
}

impl Entry {
    pub(super) fn words(hand: Hand, text: &str, width: f64) -> Entry {
        let lines = hand.wrap(&capitals(text), width);
        Entry {
            lines: lines.into_iter().map(|l| (l, hand)).collect(),
            tick: None,
            key: None,
            heads: false,
            measures: false,
        }
    }

    /// A place: its number and fitting, below them the pipe up to it, then its levels.
    pub(super) fn place(place: &CrewPlace, width: f64) -> Entry {
        let own = width - BOX - PAD;
        let first = format!("{} {}", place.key, place.fitting);
        let pipes = place.pipes.iter().map(|p| (p.as_str(), WORDS));
        let all = std::iter::once((first.as_str(), STRONG))
            .chain(pipes)
            .chain(place.levels.iter().map(|l| (l.as_str(), WORDS)));
        let wrapped = all.flat_map(|(words, hand)| {
            let lines = hand.wrap(&capitals(words), own).into_iter();
            lines.map(move |l| (l, hand))
        });
        Entry {
            lines: wrapped.filter(|(l, _)| !l.is_empty()).collect(),
            tick: Some(place.done),
            key: None,
            heads: false,
            measures: false,
        }
    }

    /// Its words.
    pub(super) fn text(&self) -> String {
        let lines: Vec<&str> = self.lines.iter().map(|l| l.0.as_str()).collect();
        lines.join(" ")
    }

    /// Names the sheet that a list goes on on, where this says that it does.
    pub(super) fn point_to(&mut self, sheet: &str) {
        let whole = self.text();
        if [GOES_ON, ON_THE_LEFT_AND_ON]
            .iter()
            .any(|w| capitals(w) == whole)
        {
            for (line, _) in &mut self.lines {
                *line = line.replace('—', sheet);
            }
        }
    }

    pub(super) fn height(&self) -> f64 {
        let lines: f64 = self.lines.iter().map(|(_, h)| h.cap * 1.5).sum();
        lines + APART
    }

    /// Sets it below a point, which goes down past it; a note as an item of its own.
    pub(super) fn set(&self, items: &mut Vec<Item>, at: &mut Point) {
        let mut item = Item::default();
        if let Some(key) = &self.key {
            item.role = Role::Note;
            item.data.push(("note", key.clone()));
        }
        let mut x = at.x;
        if let Some(done) = self.tick {
            let square = Rect::new(at.x, at.y, at.x + BOX, at.y + BOX);
            item.shapes.push(outline(square, PLAIN * 1.6));
            if done {
                item.shapes.push(tick(square));
            }
            x += BOX + PAD;
        }
        let mut y = at.y;
        for (line, hand) in &self.lines {
            item.texts.push(hand.line(
                line.as_str(),
                Point::new(x, y + hand.cap + 0.3),
                Anchor::Start,
            ));
            y += hand.cap * 1.5;
        }
        at.y += self.height();
        items.push(item);
    }
}

/// A stroke down and up.
fn tick(square: Rect) -> Shape {
    let mut path = BezPath::new();
    let c = square.center();
    path.move_to((square.x0 + 0.8, c.y));
    path.line_to((c.x - 0.4, square.y1 - 0.9));
    path.line_to((square.x1 - 0.6, square.y0 + 0.8));
    Shape {
        path,
        stroke: pen(0.9, Grey::BLACK),
        fill: None,
    }
}

pub(super) fn height(entries: &[Entry]) -> f64 {
    entries.iter().map(Entry::height).sum()
}

/// As many entries as a height has room for, and the others. A heading is never the last.
pub(super) fn split(mut entries: Vec<Entry>, room: f64) -> (Vec<Entry>, Vec<Entry>) {
    let mut used = 0.0;
    let fits = entries.iter().take_while(|e| {
        used += e.height();
        used <= room
    });
    let mut fits = fits.count();
    while fits < entries.len() && fits > 0 && entries[fits - 1].heads {
        fits -= 1;
    }
    let later = entries.split_off(fits);
    (entries, later)
}
