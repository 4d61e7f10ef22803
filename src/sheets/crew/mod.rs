//! The crew's sheets: a drawing as large as the paper lets it, and down the right side a strip with
//! what is measured from where and the steps, each with a box to tick. All lettering can be read from
//! a ladder.

mod beside;
mod entry;
mod foot;
mod more;
mod page;

use kurbo::{Point, Rect};

use self::beside::beside;
use self::entry::{Entry, height, split};
use self::foot::{foot, foot_height};
use self::more::{Columns, Rest, overflow};
pub use self::page::{CrewLine, CrewPage, CrewPlace};
use super::arrange::enlarged;
use super::compose::{field_item, numbered};
use super::layout::{Frame, framed};
use super::lettering::{HEAVY, Hand, PLAIN, capitals, open_outline, outline, rule};
use super::{
    Anchor, DrawingKind, Grey, Inputs, Item, Paper, Purpose, Role, Sheet, SheetSet, Weight,
    lettering, tables,
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
/// The head of a column reaches so far over its upper edge, mm.
const OVER: f64 = CREW_CAP / 2.0;
/// From the head of a column to its first line, more than without one, mm.
const BELOW_HEAD: f64 = 1.8;

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

/// The number of a crew's sheet.
pub fn crew_number(index: usize) -> String {
    numbered(Purpose::Crew.tables_digit(), index)
}

/// What the drawing of a crew's sheet may use.
pub fn crew_field(paper: Paper) -> Rect {
    frame(paper).field
}

/// The number of a sheet on which the list of another goes on, directly behind it: `P-402.1`.
fn more_number(of: usize, index: usize) -> String {
    format!("{}.{}", crew_number(of), index + 1)
}

/// The frame of a paper.
fn frame(paper: Paper) -> Frame {
    framed(paper, |border| STRIP.min(border.width() * STRIP_PART))
}

/// Sets the crew's sheets; steps that find no room in a strip go on on a sheet of their own behind it.
pub fn crew_set(set: &Inputs<'_>, mut pages: Vec<CrewPage>) -> SheetSet {
    // Names and units stay as they are written; all else is lettered in capitals.
    let names = tables::names(set);
    for page in &mut pages {
        for text in page.texts() {
            tables::mark(text, &names);
        }
    }
    // First all that is written, so that it is known how many sheets there are.
    let Frame {
        border: border_of_more,
        title: strip_of_more,
        ..
    } = frame(set.paper);
    let foot_of_more = foot_height(set, strip_of_more.width() - 2.0 * PAD);
    let mut written = Vec::new();
    for (i, page) in pages.iter().enumerate() {
        let strip = frame(page.paper).title;
        let entries = entries_of(page, strip.width() - 2.0 * PAD);
        let head = head(page, strip.width() - 2.0 * PAD);
        let caution = Entry::words(WORDS, &page.caution, strip.width() - 2.0 * PAD);
        let foot = foot_height(set, strip.width() - 2.0 * PAD) + caution.height();
        let room = strip.height() - height(&head) - foot - 2.0 * PAD;
        let all: f64 = height(&entries);
        let goes_on = |words| Entry::words(STRONG, words, strip.width() - 2.0 * PAD);
        let spare = if all > room {
            goes_on(GOES_ON).height()
        } else {
            0.0
        };
        let (mut here, later) = split(entries, room - spare);
        let others = |width| entries_of(page, width).split_off(here.len());
        let columns = beside(&page.scene, others, strip.width());
        if !later.is_empty() {
            let beside = !columns.columns.is_empty();
            here.push(goes_on(match (beside, columns.left.is_empty()) {
                (true, true) => ON_THE_LEFT,
                (true, false) => ON_THE_LEFT_AND_ON,
                (false, _) => GOES_ON,
            }));
        }
        let left = columns.left.len();
        let mut more: Vec<Columns> = Vec::new();
        if left > 0 {
            let mut done = here.iter().chain(columns.columns.iter().flat_map(|c| &c.1));
            let heading = done.rfind(|e| e.measures);
            // It has more room there than beside a drawing.
            let mut all = entries_of(page, more::width(border_of_more, strip_of_more));
            let rest = Rest {
                title: format!("{}, continued: {}", crew_number(i), page.title),
                datum: heading.map_or_else(|| page.datum.clone(), Entry::text),
                entries: all.split_off(all.len() - left),
            };
            more = overflow(&rest, border_of_more, (strip_of_more, foot_of_more));
            here.iter_mut().for_each(|e| e.point_to(&more_number(i, 0)));
        }
        written.push((head, here, columns, caution, more));
    }
    let more = written.iter().map(|w| w.4.len());
    let count = pages.len() + more.sum::<usize>();
    let mut sheets = Vec::with_capacity(count);
    for (i, (page, (head, here, columns, caution, more))) in
        pages.into_iter().zip(written).enumerate()
    {
        let number = crew_number(i);
        let Frame {
            border,
            title: strip,
            ..
        } = frame(page.paper);
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
        let north = page.scene.north;
        foot(&mut item, set, strip, &number, (sheets.len(), count), north);
        items.push(item);
        items.extend(enlarged(page.scene.items, 1.0, columns.by));
        let of = columns.columns.len();
        for (k, (at, entries)) in columns.columns.into_iter().enumerate() {
            let id = format!("{number}.steps.{k}");
            set_column(&mut items, id, (at, (k + 1, of)), &entries);
        }
        sheets.push(Sheet {
            number,
            title: page.title,
            paper: page.paper,
            drawing: DrawingKind::Isometric,
            purpose: Purpose::Crew.word(),
            items,
        });
        for (k, columns) in more.into_iter().enumerate() {
            let number = more_number(i, k);
            let mut item = Item::default();
            item.shapes.push(outline(border_of_more, HEAVY));
            let mut items = Vec::new();
            for (x, entries) in columns {
                let mut at = Point::new(x, border_of_more.y0 + 2.0 * PAD);
                for entry in &entries {
                    entry.set(&mut items, &mut at);
                }
            }
            let at = (sheets.len(), count);
            foot(&mut item, set, strip_of_more, &number, at, None);
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
    }
    SheetSet {
        name: format!("{}-{}", set.job.name, Purpose::Crew.word()),
        title: lettering::clean(&set.job.title.title),
        sheets,
    }
}

/// A column of a list in a drawing's field, the one of so many: at its head it says which.
fn set_column(
    items: &mut Vec<Item>,
    id: String,
    (at, (nth, of)): (Rect, (usize, usize)),
    entries: &[Entry],
) {
    let mut panel = Item {
        role: Role::Panel,
        id,
        ..Item::default()
    };
    let mut to = Point::new(at.x0 + PAD, at.y0 + PAD + BELOW_HEAD);
    match of > 1 {
        true => {
            let words = capitals(&format!("list {nth} of {of}"));
            let wide = STRONG.wide(&words);
            let head = Point::new(at.x1 - PAD, at.y0 + OVER);
            panel.shapes.push(open_outline(
                at,
                (head.x - wide - PAD / 2.0, head.x + PAD / 2.0),
                PLAIN,
            ));
            panel.texts.push(STRONG.line(words, head, Anchor::End));
        }
        false => panel.shapes.push(outline(at, PLAIN)),
    }
    for entry in entries {
        let mut own = Vec::new();
        entry.set(&mut own, &mut to);
        for item in own {
            match item.role {
                // A keyed note stays one.
                Role::Note => items.push(item),
                _ => {
                    panel.shapes.extend(item.shapes);
                    panel.texts.extend(item.texts);
                }
            }
        }
    }
    items.push(panel);
}

/// What stands below a list that goes on elsewhere; the number of that sheet takes the place of the
/// dash.
const GOES_ON: &str = "List goes on: —";
/// What stands below a list that goes on beside the drawing.
const ON_THE_LEFT: &str = "List goes on at left";
/// What stands below a list that goes on beside the drawing, and then elsewhere.
const ON_THE_LEFT_AND_ON: &str = "List goes on at left, then —";

/// Title of a sheet of steps alone.
const MORE: &str = "STEPS, CONTINUED";

/// Title, datum and notes.
fn head(page: &CrewPage, width: f64) -> Vec<Entry> {
    let notes = page.notes.iter().map(|n| Entry::words(WORDS, n, width));
    let warning = page.warning.iter();
    let warning = warning.map(|w| Entry::words(STRONG, w, width));
    [
        Entry::words(TITLE, &page.title, width),
        Entry::words(STRONG, &page.datum, width),
    ]
    .into_iter()
    .chain(warning)
    .chain(notes)
    .collect()
}

/// Keyed notes, then what is set out and the steps.
fn entries_of(page: &CrewPage, width: f64) -> Vec<Entry> {
    let line = |line: &CrewLine| match line {
        CrewLine::Heading(words) => Entry {
            heads: true,
            measures: true,
            ..Entry::words(STRONG, words, width)
        },
        CrewLine::Note(words) => Entry {
            heads: true,
            ..Entry::words(STRONG, words, width)
        },
        CrewLine::Place(place) => Entry::place(place, width),
        CrewLine::Step(words, done) => Entry {
            tick: Some(*done),
            ..Entry::words(WORDS, words, width - BOX - PAD)
        },
    };
    let noted = |(key, words): &(String, String)| Entry {
        key: Some(key.clone()),
        ..Entry::words(WORDS, &format!("{key} {words}"), width)
    };
    let notes = page.scene.notes.iter().map(noted);
    notes.chain(page.list.iter().map(line)).collect()
}
