//! The crew's sheets: a drawing as large as the paper lets it, and down the right side a strip with
//! what is measured from where and the steps, each with a box to tick. All lettering can be read from
//! a ladder.

use kurbo::{BezPath, Point, Rect};

use super::compose::{field_item, numbered};
use super::layout::{BINDING, INSET, MARGIN};
use super::lettering::{HEAVY, Hand, PLAIN, capitals, outline, pen, rule};
use super::{
    Anchor, DrawingKind, Grey, Inputs, Item, Paper, Purpose, Role, Scene, Shape, Sheet, SheetSet,
    Weight, lettering, tables,
};

/// Capital height of all lettering, mm: 3/16 in and a hair.
pub const CREW_CAP: f64 = 4.8;
const _: () = assert!(CREW_CAP >= 25.4 * 3.0 / 16.0);
/// Width of the strip, mm, and the part of the paper's width that it never takes more of.
const STRIP: f64 = 118.0;
const STRIP_PART: f64 = 0.32;
/// From the strip's edge to its words, mm.
const PAD: f64 = 3.0;
/// Side of a box to tick, mm.
const BOX: f64 = 5.4;
/// From one line to the next, and more between two entries, mm.
const PITCH: f64 = CREW_CAP * 1.5;
const APART: f64 = 3.2;

const WORDS: Hand = Hand {
    cap: CREW_CAP,
    weight: Weight::Regular,
};
const STRONG: Hand = Hand {
    cap: CREW_CAP,
    weight: Weight::Bold,
};
const TITLE: Hand = Hand {
    cap: 6.4,
    weight: Weight::Bold,
};
const NUMBER: Hand = Hand {
    cap: 10.0,
    weight: Weight::Bold,
};

/// A place that is set out, as it is lettered.
pub struct CrewPlace {
    /// Its number or name.
    pub key: String,
    /// Its fitting.
    pub fitting: String,
    /// The pipes up to it.
    pub pipes: Vec<String>,
    /// How far down its invert and the top of the pipe lie, or how high it stands.
    pub levels: String,
    /// Whether it is done.
    pub done: bool,
}

/// What a crew's sheet shows and says.
pub struct CrewPage {
    /// Its paper.
    pub paper: Paper,
    /// Its title.
    pub title: String,
    /// What its levels are measured down from, in words.
    pub datum: String,
    /// Its drawing.
    pub scene: Scene,
    /// What is set out on it.
    pub places: Vec<CrewPlace>,
    /// Its steps, and whether each is done.
    pub steps: Vec<(String, bool)>,
    /// What lengths are measured between.
    pub lengths: String,
    /// The cautions of its work.
    pub caution: String,
}

impl CrewPage {
    /// All words that are lettered down the side.
    fn texts(&mut self) -> impl Iterator<Item = &mut String> {
        let places = self.places.iter_mut().flat_map(|p| {
            [&mut p.key, &mut p.fitting, &mut p.levels]
                .into_iter()
                .chain(&mut p.pipes)
        });
        let steps = self.steps.iter_mut().map(|(words, _)| words);
        let notes = self.scene.notes.iter_mut().map(|(_, words)| words);
        let head = [&mut self.datum, &mut self.lengths, &mut self.caution];
        head.into_iter().chain(places).chain(steps).chain(notes)
    }
}

/// The number of a crew's sheet.
pub fn crew_number(index: usize) -> String {
    numbered(Purpose::Crew.tables_digit(), index)
}

/// What the drawing of a crew's sheet may use.
pub fn crew_field(paper: Paper) -> Rect {
    frame(paper).1
}

/// Border, field and strip of a paper.
fn frame(paper: Paper) -> (Rect, Rect, Rect) {
    let border = Rect::new(BINDING, MARGIN, paper.width - MARGIN, paper.height - MARGIN);
    let wide = STRIP.min(border.width() * STRIP_PART);
    let strip = Rect::new(border.x1 - wide, border.y0, border.x1, border.y1);
    let field = Rect::new(
        border.x0 + INSET,
        border.y0 + INSET,
        strip.x0 - INSET,
        border.y1 - INSET,
    );
    (border, field, strip)
}

/// Sets the crew's sheets; steps that find no room in a strip go on on a sheet of their own.
pub fn crew_set(set: &Inputs<'_>, mut pages: Vec<CrewPage>) -> SheetSet {
    // Names and units stay as they are written; all else is lettered in capitals.
    let names = tables::names(set);
    for page in &mut pages {
        for text in page.texts() {
            tables::mark(text, &names);
        }
    }
    // First all that is written, so that it is known how many sheets there are.
    let mut rest: Vec<(String, Vec<Entry>)> = Vec::new();
    let mut written = Vec::new();
    for (i, page) in pages.iter().enumerate() {
        let (_, _, strip) = frame(page.paper);
        let entries = entries(page, strip.width() - 2.0 * PAD);
        let head = head(page, strip.width() - 2.0 * PAD);
        let caution = Entry::words(WORDS, &page.caution, strip.width() - 2.0 * PAD);
        let foot = foot_height(set, strip.width() - 2.0 * PAD) + caution.height();
        let room = strip.height() - height(&head) - foot - 2.0 * PAD;
        let all: f64 = height(&entries);
        let goes_on = Entry::words(STRONG, GOES_ON, strip.width() - 2.0 * PAD);
        let spare = if all > room { goes_on.height() } else { 0.0 };
        let (mut here, later) = split(entries, room - spare);
        if !later.is_empty() {
            here.push(goes_on);
            rest.push((crew_number(i), later));
        }
        written.push((head, here, caution));
    }
    let (border, _, strip_of_steps) = frame(set.paper);
    let more = overflow(&rest, border);
    let count = pages.len() + more.len();
    let mut sheets = Vec::with_capacity(count);
    for (i, (page, (head, here, caution))) in pages.into_iter().zip(written).enumerate() {
        let number = crew_number(i);
        let (border, _, strip) = frame(page.paper);
        let mut item = Item::default();
        item.shapes.push(outline(border, HEAVY));
        item.shapes.push(rule(
            (strip.x0, strip.y0),
            (strip.x0, strip.y1),
            HEAVY,
            Grey::BLACK,
        ));
        let mut at = Point::new(strip.x0 + PAD, strip.y0 + PAD);
        let mut items = vec![field_item(page.scene.field)];
        for entry in head.iter().chain(&here) {
            entry.set(&mut items, &mut at);
        }
        let above = foot_height(set, strip.width() - 2.0 * PAD) + caution.height();
        caution.set(
            &mut items,
            &mut Point::new(strip.x0 + PAD, strip.y1 - above),
        );
        foot(&mut item, set, strip, &number, (i, count));
        items.push(item);
        items.extend(page.scene.items);
        sheets.push(Sheet {
            number,
            title: page.title,
            paper: page.paper,
            drawing: DrawingKind::Isometric,
            purpose: Purpose::Crew.word(),
            items,
        });
    }
    for columns in more {
        let i = sheets.len();
        let number = crew_number(i);
        let mut item = Item::default();
        item.shapes.push(outline(border, HEAVY));
        let mut items = Vec::new();
        for (x, entries) in columns {
            let mut at = Point::new(x, border.y0 + 2.0 * PAD);
            for entry in &entries {
                entry.set(&mut items, &mut at);
            }
        }
        foot(&mut item, set, strip_of_steps, &number, (i, count));
        items.push(item);
        sheets.push(Sheet {
            number,
            title: MORE.to_owned(),
            paper: set.paper,
            drawing: DrawingKind::Tables,
            purpose: Purpose::Crew.word(),
            items,
        });
    }
    SheetSet {
        name: format!("{}-{}", set.job.name, Purpose::Crew.word()),
        title: lettering::clean(&set.job.title.title),
        sheets,
    }
}

/// What stands below a list that goes on elsewhere.
const GOES_ON: &str = "List goes on: last sheets";

/// Title of a sheet of steps alone.
const MORE: &str = "STEPS, CONTINUED";

/// Some lines that belong together, with or without a box to tick.
#[derive(Clone)]
struct Entry {
    lines: Vec<(String, Hand)>,
    /// None: no box; else whether it is ticked.
    tick: Option<bool>,
    /// The key of a keyed note.
    key: Option<String>,
}

impl Entry {
    fn words(hand: Hand, text: &str, width: f64) -> Entry {
        let lines = hand.wrap(&capitals(text), width);
        Entry {
            lines: lines.into_iter().map(|l| (l, hand)).collect(),
            tick: None,
            key: None,
        }
    }

    /// A place: its number and fitting, below them the pipe up to it, then its levels.
    fn place(place: &CrewPlace, width: f64) -> Entry {
        let own = width - BOX - PAD;
        let first = format!("{} {}", place.key, place.fitting);
        let pipes = place.pipes.iter().map(|p| (p.as_str(), WORDS));
        let all = std::iter::once((first.as_str(), STRONG))
            .chain(pipes)
            .chain([(place.levels.as_str(), WORDS)]);
        let wrapped = all.flat_map(|(words, hand)| {
            let lines = hand.wrap(&capitals(words), own).into_iter();
            lines.map(move |l| (l, hand))
        });
        Entry {
            lines: wrapped.filter(|(l, _)| !l.is_empty()).collect(),
            tick: Some(place.done),
            key: None,
        }
    }

    fn height(&self) -> f64 {
        let lines: f64 = self.lines.iter().map(|(_, h)| h.cap * 1.5).sum();
        lines + APART
    }

    /// Sets it below a point, which goes down past it; a note as an item of its own.
    fn set(&self, items: &mut Vec<Item>, at: &mut Point) {
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

fn height(entries: &[Entry]) -> f64 {
    entries.iter().map(Entry::height).sum()
}

/// As many entries as a height has room for, and the others.
fn split(mut entries: Vec<Entry>, room: f64) -> (Vec<Entry>, Vec<Entry>) {
    let mut used = 0.0;
    let fits = entries.iter().take_while(|e| {
        used += e.height();
        used <= room
    });
    let fits = fits.count();
    let later = entries.split_off(fits);
    (entries, later)
}

/// Title and datum.
fn head(page: &CrewPage, width: f64) -> Vec<Entry> {
    vec![
        Entry::words(TITLE, &page.title, width),
        Entry::words(STRONG, &format!("Levels down from: {}", page.datum), width),
        Entry::words(WORDS, &page.lengths, width),
    ]
}

/// Keyed notes, what is set out, then the steps.
fn entries(page: &CrewPage, width: f64) -> Vec<Entry> {
    let step = |(words, done): &(String, bool)| Entry {
        tick: Some(*done),
        ..Entry::words(WORDS, words, width - BOX - PAD)
    };
    let places = page.places.iter().map(|p| Entry::place(p, width));
    let noted = |(key, words): &(String, String)| Entry {
        key: Some(key.clone()),
        ..Entry::words(WORDS, &format!("{key} {words}"), width)
    };
    let notes = page.scene.notes.iter().map(noted);
    notes
        .chain(places)
        .chain(page.steps.iter().map(step))
        .collect()
}

/// Sheets of steps alone, in columns, each under the number of the sheet that it belongs to.
fn overflow(rest: &[(String, Vec<Entry>)], border: Rect) -> Vec<Vec<(f64, Vec<Entry>)>> {
    const COLUMNS: usize = 2;
    let wide = (border.width() - STRIP) / COLUMNS as f64;
    let room = border.height() - 4.0 * PAD;
    let mut columns: Vec<Vec<Entry>> = Vec::new();
    let mut full = f64::INFINITY;
    for (number, entries) in rest {
        let title = Entry::words(STRONG, &format!("{number}, continued"), wide - 2.0 * PAD);
        let all = std::iter::once(title).chain(entries.iter().cloned());
        for entry in all {
            if full + entry.height() > room {
                columns.push(Vec::new());
                full = 0.0;
            }
            full += entry.height();
            if let Some(column) = columns.last_mut() {
                column.push(entry);
            }
        }
    }
    let sheets = columns.chunks(COLUMNS);
    let place = |(i, column): (usize, &Vec<Entry>)| {
        (border.x0 + 2.0 * PAD + wide * i as f64, column.clone())
    };
    sheets
        .map(|columns| columns.iter().enumerate().map(place).collect())
        .collect()
}

/// The project's lines at the strip's foot.
fn project(set: &Inputs<'_>, width: f64) -> Vec<(String, Hand)> {
    let t = &set.job.title;
    let mut lines: Vec<(String, Hand)> = (STRONG.wrap(&capitals(&t.title), width).into_iter())
        .map(|l| (l, STRONG))
        .collect();
    let issue: Vec<String> = [
        t.revision.as_ref().map(|r| format!("Rev {r}")),
        t.date.clone(),
    ]
    .into_iter()
    .flatten()
    .collect();
    if !issue.is_empty() {
        let words = capitals(&issue.join(" · "));
        lines.extend(WORDS.wrap(&words, width).into_iter().map(|l| (l, WORDS)));
    }
    lines
}

fn foot_height(set: &Inputs<'_>, width: f64) -> f64 {
    project(set, width).len() as f64 * PITCH + NUMBER.cap + 3.0 * PAD
}

/// Project, number and count at the strip's foot.
fn foot(item: &mut Item, set: &Inputs<'_>, strip: Rect, number: &str, (i, count): (usize, usize)) {
    let width = strip.width() - 2.0 * PAD;
    let top = strip.y1 - foot_height(set, width);
    item.shapes
        .push(rule((strip.x0, top), (strip.x1, top), HEAVY, Grey::BLACK));
    let mut y = top + PAD;
    for (line, hand) in project(set, width) {
        item.texts.push(hand.line(
            line,
            Point::new(strip.x0 + PAD, y + hand.cap),
            Anchor::Start,
        ));
        y += PITCH;
    }
    let base = strip.y1 - PAD;
    item.texts
        .push(NUMBER.line(number, Point::new(strip.x0 + PAD, base), Anchor::Start));
    item.texts.push(STRONG.line(
        format!("{} OF {count}", i + 1),
        Point::new(strip.x1 - PAD, base),
        Anchor::End,
    ));
}
