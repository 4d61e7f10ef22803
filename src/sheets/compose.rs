//! Makes the sheets: each drawing with its strip and what fits beside it, then the tables that
//! are left over.

use kurbo::Rect;

use crate::captions::MatchMark;

use super::block::Block;
use super::fill::{Rest, Room, columns};
use super::title_block::{Heading, title_strip};
use super::{DrawingKind, Frame, Inputs, Item, Role, Scene, Sheet, SheetSet, Table, layout};
use super::{legend, lettering, notes, tables};

/// Title of a sheet of tables, by what stands on it.
fn tables_title(items: &[Item]) -> &'static str {
    let notes = |i: &&Item| {
        i.data
            .iter()
            .any(|(k, v)| *k == "panel" && v == "general-notes")
    };
    let panels = items.iter().filter(|i| i.role == Role::Panel);
    let (noted, all) = (panels.clone().filter(notes).count(), panels.count());
    match noted {
        0 => SCHEDULES,
        n if n == all => "NOTES",
        _ => "SCHEDULES AND NOTES",
    }
}

/// Title of a sheet of tables without notes.
const SCHEDULES: &str = "SCHEDULES";

/// Makes the set: one sheet for each drawing, and as many sheets of tables as the rest needs.
pub fn compose(set: &Inputs<'_>, scenes: Vec<Scene>) -> SheetSet {
    let frame = layout(set.paper);
    let blocks = Blocks::of(set, &scenes);
    // How many sheets there are and what they are called stands on the first of them, and is
    // known only once all are filled.
    let mut titles = vec![SCHEDULES];
    let mut made = fill(set, &frame, &blocks, &scenes, &titles, None);
    for _ in 0..4 {
        if made.titles() == titles {
            break;
        }
        titles = made.titles();
        made = fill(set, &frame, &blocks, &scenes, &titles, Some(made));
    }
    let count = scenes.len() + titles.len();
    let mut sheets = Vec::with_capacity(scenes.len() + made.panels.len());
    let drawings = scenes.len();
    for (i, (scene, panels)) in scenes.into_iter().zip(made.drawings).enumerate() {
        let mut items = vec![field_item(scene.field)];
        items.extend(scene.items);
        items.extend(panels);
        sheets.push(Sheet {
            number: drawing_number(i),
            title: title_of(&scene.title, i, drawings),
            paper: set.paper,
            drawing: DrawingKind::Isometric,
            purpose: "permit",
            items,
        });
    }
    for (i, panels) in made.panels.into_iter().enumerate() {
        let number = table_number(i);
        let title = tables_title(&panels);
        let heading = Heading {
            number: &number,
            title,
            index: drawings + i,
            count,
            north: None,
        };
        let (mut items, _) = title_strip(set, &frame, &heading);
        items.extend(panels);
        sheets.push(Sheet {
            number,
            title: title.to_owned(),
            paper: set.paper,
            drawing: DrawingKind::Tables,
            purpose: "permit",
            items,
        });
    }
    SheetSet {
        name: set.job.name.clone(),
        title: lettering::clean(&set.job.title.title),
        sheets,
    }
}

/// A number by the US National CAD Standard: plumbing, 9 for three-dimensional views, two digits in
/// order; after 99 sheets with a letter behind, as the standard has it for supplements.
pub fn drawing_number(index: usize) -> String {
    numbered('9', index)
}

/// Plumbing, 6 for schedules.
fn table_number(index: usize) -> String {
    numbered('6', index)
}

fn numbered(kind: char, index: usize) -> String {
    let (round, place) = (index / 99, index % 99 + 1);
    let letters = match round.checked_sub(1) {
        Some(more) => MatchMark::name_of(more),
        None => String::new(),
    };
    format!("P-{kind}{place:02}{letters}")
}

fn title_of(title: &str, index: usize, count: usize) -> String {
    let title = lettering::capitals(title);
    if count > 1 {
        format!("{title}, PART {} OF {count}", index + 1)
    } else {
        title
    }
}

fn field_item(field: Rect) -> Item {
    let mut outline = lettering::outline(field, 0.0);
    outline.stroke = None;
    Item {
        role: Role::Field,
        shapes: vec![outline],
        ..Item::default()
    }
}

/// What is to be set, in order of need.
struct Blocks {
    /// Keyed notes of each drawing, which stand on its sheet.
    keyed: Vec<Block>,
    legend: Block,
    general: Block,
    tables: Vec<Block>,
}

impl Blocks {
    fn of(set: &Inputs<'_>, scenes: &[Scene]) -> Blocks {
        let names = tables::names(set);
        let marked = |(key, words): &(String, String)| {
            let mut words = words.clone();
            tables::mark(&mut words, &names);
            (key.clone(), words)
        };
        let keyed = scenes
            .iter()
            .map(|s| (s.notes.iter().map(marked), "Keyed notes"))
            .map(|(notes, title)| Block::notes("keyed-notes", title, notes, true))
            .collect();
        let legend = legend::legend(set);
        let notes = notes::general(set);
        let general = Block::notes("general-notes", "General notes", notes, false);
        let tables = tables::lettered(set, &names);
        let tables = tables.iter().map(Block::table).collect();
        Blocks {
            keyed,
            legend,
            general,
            tables,
        }
    }
}

/// The panels of each sheet.
struct Made {
    /// With their strips.
    drawings: Vec<Vec<Item>>,
    /// What found no place on a drawing: blocks by name, and the row that each goes on from.
    rest: Vec<(&'static str, usize)>,
    /// The panels of each sheet of tables, which the rest alone decides.
    panels: Vec<Vec<Item>>,
}

impl Made {
    /// Titles of the sheets of tables.
    fn titles(&self) -> Vec<&'static str> {
        self.panels.iter().map(|p| tables_title(p)).collect()
    }
}

/// Fills the sheets; `titles` are those of the sheets of tables, as far as they are known, and
/// `before` is what the last attempt made.
fn fill(
    set: &Inputs<'_>,
    frame: &Frame,
    blocks: &Blocks,
    scenes: &[Scene],
    titles: &[&'static str],
    before: Option<Made>,
) -> Made {
    let count = scenes.len() + titles.len();
    let index = index(scenes, titles);
    // What still waits for a place, with the row that it goes on from.
    let mut waiting: Vec<(&Block, usize)> = vec![(&blocks.general, 0)];
    waiting.extend(blocks.tables.iter().map(|b| (b, 0)));
    let mut drawings = Vec::new();
    for (i, scene) in scenes.iter().enumerate() {
        let number = drawing_number(i);
        let title = title_of(&scene.title, i, scenes.len());
        let heading = Heading {
            number: &number,
            title: &title,
            index: i,
            count,
            north: scene.north,
        };
        let (mut items, column) = title_strip(set, frame, &heading);
        let mut room = Room::new(column, &scene.free, scene.field);
        let id = |b: &Block, from: usize| format!("{number}.{}{}", b.name, suffix(from));
        let index = (i == 0 && count > 1).then_some(&index);
        for own in [&blocks.keyed[i], &blocks.legend].into_iter().chain(index) {
            if own.len() > 0 {
                match room.whole(own, &id(own, 0)) {
                    Some(set) => items.extend(set),
                    None => parts(&mut room, own, 0, &id, &mut items),
                }
            }
        }
        waiting.retain_mut(|(block, from)| {
            if *from == 0
                && let Some(set) = room.whole(block, &id(block, 0))
            {
                items.extend(set);
                return false;
            }
            // The general notes open on the first sheet, however little of them fits.
            if block.name == "general-notes" {
                while let Some((set, to)) = room.part(block, *from, &id(block, *from)) {
                    items.extend(set);
                    *from = to;
                    if to >= block.len() {
                        return false;
                    }
                }
            }
            true
        });
        drawings.push(items);
    }
    let rest: Vec<_> = waiting.iter().map(|(b, from)| (b.name, *from)).collect();
    let panels = match before.filter(|b| b.rest == rest) {
        Some(same) => same.panels,
        None => {
            let rest: Vec<Rest<'_>> = (waiting.into_iter())
                .map(|(block, from)| Rest { block, from })
                .collect();
            columns(&rest, frame.field, |sheet, name, from| {
                format!("{}.{name}{}", table_number(sheet), suffix(from))
            })
        }
    };
    Made {
        drawings,
        rest,
        panels,
    }
}

/// The list of sheets, for the first of them.
fn index(scenes: &[Scene], titles: &[&str]) -> Block {
    let drawn = (0..scenes.len())
        .zip(scenes)
        .map(|(i, s)| vec![drawing_number(i), title_of(&s.title, i, scenes.len())]);
    let tables = titles
        .iter()
        .enumerate()
        .map(|(i, title)| vec![table_number(i), (*title).to_owned()]);
    let list = Table {
        name: "sheets",
        title: "Sheets of this set".into(),
        head: vec!["Sheet".into(), "Title".into()],
        rows: drawn.chain(tables).collect(),
        ..Table::default()
    };
    Block::table(&list)
}

/// Sets a block in parts, as far as there is room.
fn parts(
    room: &mut Room,
    block: &Block,
    mut from: usize,
    id: &dyn Fn(&Block, usize) -> String,
    items: &mut Vec<Item>,
) {
    while let Some((set, to)) = room.part(block, from, &id(block, from)) {
        items.extend(set);
        from = to;
        if from >= block.len() {
            break;
        }
    }
}

fn suffix(from: usize) -> String {
    if from == 0 {
        String::new()
    } else {
        format!("-{}", from + 1)
    }
}
