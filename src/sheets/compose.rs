//! Makes the sheets: each drawing with its strip and what fits beside it, then the tables that
//! are left over.

use kurbo::Rect;

use crate::at_once;
use crate::captions::MatchMark;

use super::arrange::{Ground, Piece, arrange};
use super::block::Block;
use super::fill::{Room, columns};
use super::here::{HERE, Here, PIPES};
use super::lettered::Lettered;
use super::title_block::{Heading, title_strip};
use super::{
    DrawingKind, Frame, Inputs, Item, Purpose, Role, Scene, Sheet, SheetSet, Table, layout,
};
use super::{legend, lettering, notes, tables};

/// Title of a sheet of tables, by what stands on it.
fn tables_title(items: &[Item]) -> &'static str {
    let notes = |i: &&Item| i.data.iter().any(|(k, v)| *k == "panel" && v == NOTES);
    let panels = items.iter().filter(|i| i.role == Role::Panel);
    let (noted, all) = (panels.clone().filter(notes).count(), panels.count());
    match noted {
        0 => SCHEDULES,
        n if n == all => "NOTES",
        _ => "SCHEDULES AND NOTES",
    }
}

/// Name of the block of general notes.
pub(super) const NOTES: &str = "general-notes";

/// Title of a sheet of tables without notes.
const SCHEDULES: &str = "SCHEDULES";

/// Tables that are looked up rather than read beside the drawing. Where there are sheets of tables
/// anyway, some of them go there whether they fit a drawing or not: those with which the smallest
/// lettering of the set comes out largest.
const LOOKED_UP: [&str; 3] = ["levels", "proposals", "pipes"];
const TO_TABLES: [&[&str]; 4] = [
    &LOOKED_UP,
    &["levels", "pipes"],
    &["proposals", "pipes"],
    &["pipes"],
];

/// Lettering of tables as a part of the least: 4, 3.2 and 2.5 mm, as drawings are lettered, and
/// 5 mm on a sheet of tables.
pub(super) const ON_DRAWINGS: [f64; 3] = [1.6, 1.28, 1.0];
pub(super) const ON_TABLES: [f64; 4] = [2.0, 1.6, 1.28, 1.0];
/// The same on working papers, which are read side by side: 3.2 and 2.5 mm.
pub(super) const ON_PAPERS: [f64; 2] = [1.28, 1.0];

/// Makes the set: one sheet for each drawing, and as many sheets of tables as the rest needs.
pub fn compose(set: &Inputs<'_>, scenes: Vec<Scene>) -> SheetSet {
    /// With more sheets of tables than this the drawing's own hardly matter.
    const FEW: usize = 3;
    let frame = layout(set.paper);
    let blocks = Blocks::of(set, &scenes);
    let fill_all = |later: &[&str], draft| filled(set, &frame, &blocks, &scenes, (later, draft));
    let mut made = fill_all(&[], false);
    let whole = made.panels.len();
    let mut best: (&[&str], (u32, u32)) = (&[], (0, 0));
    // What is tried is not set: only the best is.
    for later in TO_TABLES.iter().filter(|_| (1..=FEW).contains(&whole)) {
        let tried = fill_all(later, true);
        if tried.panels.len() <= whole && tried.lettering > best.1 {
            best = (later, tried.lettering);
        }
    }
    if !best.0.is_empty() {
        made = fill_all(best.0, false);
    }
    let titles = made.titles();
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
            purpose: Purpose::Permit.word(),
            items,
        });
    }
    for (i, panels) in made.panels.into_iter().enumerate() {
        let number = table_number(i);
        let title = tables_title(&panels);
        let heading = Heading {
            number: number.clone(),
            title: title.to_owned(),
            purpose: Purpose::Permit,
            index: drawings + i,
            count,
            north: None,
            scale: None,
        };
        let (mut items, _) = title_strip(set, &frame, &heading);
        items.extend(panels);
        sheets.push(Sheet {
            number,
            title: title.to_owned(),
            paper: set.paper,
            drawing: DrawingKind::Tables,
            purpose: Purpose::Permit.word(),
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
    numbered(Purpose::Permit.tables_digit(), index)
}

pub(super) fn numbered(kind: char, index: usize) -> String {
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

pub(super) fn field_item(field: Rect) -> Item {
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
    /// What stands on the sheet of each drawing: keyed notes, legend, match marks.
    own: Vec<Vec<Block>>,
    general: Block,
    tables: Vec<Block>,
    here: Here,
}

impl Blocks {
    fn of(set: &Inputs<'_>, scenes: &[Scene]) -> Blocks {
        let names = tables::names(set);
        let marked = |(key, words): &(String, String)| {
            let mut words = words.clone();
            tables::mark(&mut words, &names);
            (key.clone(), words)
        };
        let (marks, tables) = tables::lettered(set, &names);
        let own = |&(i, scene): &(usize, &Scene)| {
            let notes = scene.notes.iter().map(marked);
            let keyed = Block::notes("keyed-notes", "Keyed notes", notes, true);
            let marks = tables::marks_of(&marks, &drawing_number(i));
            let marks = Lettered::of(marks).block();
            let mut own = vec![keyed, legend::legend(scene), marks];
            own.retain(|b| b.len() > 0);
            own
        };
        let numbered: Vec<(usize, &Scene)> = scenes.iter().enumerate().collect();
        let notes = notes::general(set);
        let mut tables: Vec<Lettered> = tables.into_iter().map(Lettered::of).collect();
        // Of several drawings each lists its own pipes; what has no room there is found later.
        let pipes = tables.iter().position(|t| t.name() == PIPES);
        let pipes = pipes.filter(|_| scenes.len() > 1);
        let pipes = pipes.map(|i| tables.remove(i));
        Blocks {
            own: at_once::each(&numbered, own),
            general: Block::notes(NOTES, "General notes", notes, false),
            here: Here::of(set, scenes, pipes),
            tables: at_once::each_of(set.net.graph.edge_count(), &tables, Lettered::block),
        }
    }
}

/// The panels of each sheet.
struct Made {
    /// With their strips.
    drawings: Vec<Vec<Item>>,
    /// What found no place on a drawing: blocks by name, the row that each goes on from, and how many
    /// there are.
    rest: Vec<(&'static str, usize, usize)>,
    /// The panels of each sheet of tables, which the rest alone decides.
    panels: Vec<Vec<Item>>,
    /// Size of their lettering, as a part of the least.
    tables_by: f64,
    /// Size of the smallest lettering of tables, and that of all sheets together, in hundredths
    /// of the least.
    lettering: (u32, u32),
}

impl Made {
    /// Titles of the sheets of tables.
    fn titles(&self) -> Vec<&'static str> {
        self.panels.iter().map(|p| tables_title(p)).collect()
    }
}

/// Fills the sheets until it is known how many there are and what they are called, which stands
/// on the first of them.
fn filled(
    set: &Inputs<'_>,
    frame: &Frame,
    blocks: &Blocks,
    scenes: &[Scene],
    (later, draft): (&[&str], bool),
) -> Made {
    let mut titles = vec![SCHEDULES];
    let fill = |titles: &[&'static str], before| {
        let attempt = Attempt {
            titles,
            later,
            draft,
        };
        fill(set, frame, blocks, scenes, &attempt, before)
    };
    let mut made = fill(&titles, None);
    for _ in 0..4 {
        if made.titles() == titles {
            break;
        }
        titles = made.titles();
        made = fill(&titles, Some(made));
    }
    made
}

/// One attempt to fill the sheets.
struct Attempt<'a> {
    /// Titles of the sheets of tables, as far as they are known.
    titles: &'a [&'static str],
    /// The tables that go there whether they fit a drawing or not.
    later: &'a [&'a str],
    /// Nothing is set: it is only found out how many sheets there are, and how they are lettered.
    draft: bool,
}

/// Fills the sheets; `before` is what the last attempt made.
fn fill(
    set: &Inputs<'_>,
    frame: &Frame,
    blocks: &Blocks,
    scenes: &[Scene],
    attempt: &Attempt<'_>,
    before: Option<Made>,
) -> Made {
    let Attempt {
        titles,
        later,
        draft,
    } = *attempt;
    let count = scenes.len() + titles.len();
    let index = index(set, scenes, titles);
    let key = tables::key(set).map(|t| Lettered::of(t).block());
    let piece = |block| Piece { block, from: 0 };
    // What still waits for a place, with the row that it goes on from.
    let mut waiting: Vec<Piece<'_>> = vec![piece(&blocks.general)];
    waiting.extend(blocks.tables.iter().map(piece));
    let mut drawings = Vec::new();
    let mut sizes = Vec::new();
    // Whether the pipes of each sheet are listed on it.
    let mut on_sheet = Vec::with_capacity(scenes.len());
    for (i, scene) in scenes.iter().enumerate() {
        let number = drawing_number(i);
        let title = title_of(&scene.title, i, scenes.len());
        let heading = Heading {
            number: number.clone(),
            title: title.clone(),
            purpose: Purpose::Permit,
            index: i,
            count,
            north: scene.north,
            scale: None,
        };
        let (mut items, column) = title_strip(set, frame, &heading);
        let id = |b: &Block, from: usize| format!("{number}.{}{}", b.name, suffix(from));
        let used = open_notes(&mut waiting, column, &id, &mut items);
        let ground = Ground {
            field: scene.field,
            margins: &scene.margins,
            strip: column,
            used,
        };
        let mut own: Vec<Piece<'_>> = blocks.own[i].iter().map(piece).collect();
        if i == 0 && count > 1 {
            own.extend(key.iter().map(piece));
            own.push(piece(&index));
        }
        let bound = own.len();
        let mut here = own;
        let listed = blocks.here.blocks[i].as_ref();
        // What is looked up stands on the last drawing, if on any.
        let last = i + 1 == scenes.len();
        let goes = |p: &Piece<'_>| match LOOKED_UP.contains(&p.block.name) {
            true => last && !later.contains(&p.block.name),
            false => p.from < p.block.len(),
        };
        here.extend(waiting.iter().copied().filter(goes));
        here.extend(listed.map(piece));
        let arranged = arrange(&ground, &here, &ON_DRAWINGS);
        let stands = listed.is_some() && !arranged.left.contains(&(here.len() - 1));
        on_sheet.push(stands);
        if !draft {
            items.extend(arranged.set(used, &id));
        }
        sizes.push(arranged.by);
        let free = match arranged.left.is_empty() {
            true => &[],
            false => scene.free.boxes(),
        };
        let mut room = Room::new(column, free, scene.field);
        room.take(&arranged, column);
        let mut left: Vec<Piece<'_>> = Vec::new();
        for p in arranged
            .left
            .iter()
            .filter_map(|i| here.get(*i).map(|p| (*i, *p)))
        {
            let (i, piece) = p;
            if i >= bound {
                // The rows of this sheet that have no room on it stand in the schedule.
                left.extend((piece.block.name != HERE).then_some(piece));
                continue;
            }
            // What belongs to this drawing stands on its sheet, wherever there is room.
            match room.whole(piece.block, &id(piece.block, 0)) {
                Some(set) => items.extend(set),
                None => parts(&mut room, piece.block, 0, &id, &mut items),
            }
        }
        // Tables off the edges are better than a further sheet for them alone.
        if later.is_empty() && last {
            let mut loose = Vec::new();
            let whole = left.iter().all(|p| {
                let set = (p.from == 0).then(|| room.whole(p.block, &id(p.block, 0)));
                set.flatten().map(|set| loose.extend(set)).is_some()
            });
            if whole {
                items.extend(loose);
                left.clear();
            }
        }
        let kept = |p: &Piece<'_>| {
            p.from < p.block.len()
                && (!goes(p) || left.iter().any(|l| std::ptr::eq(l.block, p.block)))
        };
        waiting.retain(kept);
        drawings.push(items);
    }
    let unlisted = blocks.here.rest(&on_sheet);
    waiting.extend(unlisted.as_deref().map(piece));
    let rest = waiting
        .iter()
        .map(|p| (p.block.name, p.from, p.block.len()));
    let rest: Vec<_> = rest.collect();
    let (panels, by) = match before.filter(|b| b.rest == rest) {
        Some(same) => (same.panels, same.tables_by),
        None => {
            let id =
                |sheet, name: &str, from| format!("{}.{name}{}", table_number(sheet), suffix(from));
            columns(&waiting, frame.field, &ON_TABLES, (!draft).then_some(id))
        }
    };
    if !panels.is_empty() {
        sizes.push(by);
    }
    let hundredths = sizes.iter().map(|by| (by * 100.0).round() as u32);
    Made {
        drawings,
        rest,
        panels,
        tables_by: by,
        lettering: (
            hundredths.clone().min().unwrap_or_default(),
            hundredths.sum(),
        ),
    }
}

/// Opens the general notes in the title strip, as many as it holds; gives how far down it is used.
/// The rest goes on in a column of the field. One or two notes by themselves would look lost.
pub(super) fn open_notes(
    waiting: &mut [Piece<'_>],
    column: Rect,
    id: &dyn Fn(&Block, usize) -> String,
    items: &mut Vec<Item>,
) -> f64 {
    const TOGETHER: usize = 3;
    let Some(first) = waiting.first_mut() else {
        return 0.0;
    };
    let (block, from) = (first.block, first.from);
    if block.name != NOTES || from > 0 {
        return 0.0;
    }
    let Some(at) = block.widths(column.width()) else {
        return 0.0;
    };
    let (mut to, mut high) = block.take(&at, 0, column.height());
    let left = block.len() - to;
    if left > 0 && left < TOGETHER {
        to = block.len().saturating_sub(TOGETHER);
        high = block.span(&at, 0, to);
    }
    if to < TOGETHER.min(block.len()) || high > column.height() + 1e-6 {
        return 0.0;
    }
    let corner = kurbo::Point::new(column.x0, column.y0);
    items.extend(block.set(&at, (0, to), corner, id(block, 0)));
    first.from = to;
    high
}

/// The list of sheets, for the first of them.
fn index(set: &Inputs<'_>, scenes: &[Scene], titles: &[&str]) -> Block {
    let several = scenes.len() > 1;
    let drawn = scenes.iter().enumerate().map(|(i, s)| {
        let shows = set.shows.get(i).filter(|_| several);
        let title = title_of(&s.title, i, scenes.len());
        let shown = shows.map(|s| tables::shown(set, s)).unwrap_or_default();
        vec![drawing_number(i), title, shown]
    });
    // Sheets of tables with one title, one after the other, share a row.
    let mut tables: Vec<(usize, usize, &str)> = Vec::new();
    for (i, title) in titles.iter().enumerate() {
        match tables.last_mut().filter(|t| t.2 == *title) {
            Some(row) => row.1 = i,
            None => tables.push((i, i, title)),
        }
    }
    let tables = tables.into_iter().map(|(first, last, title)| {
        let number = match first == last {
            true => table_number(first),
            false => format!("{} to {}", table_number(first), table_number(last)),
        };
        vec![number, title.to_owned(), String::new()]
    });
    sheets_list(drawn.chain(tables).collect())
}

/// The list of sheets from its rows: number, title and what the sheet shows.
pub(super) fn sheets_list(rows: Vec<Vec<String>>) -> Block {
    let list = Table {
        name: "sheets",
        title: "Sheets of this set".into(),
        head: vec!["Sheet".into(), "Title".into(), "Shows".into()],
        rows,
        ..Table::default()
    };
    Lettered::of(list).block()
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

pub(super) fn suffix(from: usize) -> String {
    if from == 0 {
        String::new()
    } else {
        format!("-{}", from + 1)
    }
}
