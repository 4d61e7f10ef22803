//! Sheets of a working paper: its drawings to scale, and the tables and notes that are lists and
//! forms.

use super::arrange::Piece;
use super::block::Block;
use super::compose::{NOTES, ON_PAPERS, numbered, open_notes, sheets_list, suffix};
use super::fill::columns;
use super::scaled::{self, Laid, ScaledDrawing, block, piece};
use super::title_block::{Heading, title_strip};
use super::{
    DrawingKind, Frame, Inputs, Item, Purpose, Sheet, SheetSet, Table, layout, lettering, tables,
};

/// What a document says.
pub struct Document {
    /// For whom it is.
    pub purpose: Purpose,
    /// Title of its sheets of tables.
    pub title: &'static str,
    /// Its plans and sections, each on a sheet of its own.
    pub drawings: Vec<ScaledDrawing>,
    /// Its tables, in order.
    pub tables: Vec<Table>,
    /// Its notes.
    pub notes: Vec<String>,
}

/// Sets a document on as many sheets as it takes, notes first in the title strip of the first.
/// Tables stand beside the drawings as far as there is room.
pub fn document(set: &Inputs<'_>, document: Document) -> SheetSet {
    let frame = layout(set.paper);
    let names = tables::names(set);
    let no_words = tables::no_words(&names);
    let notes = document.notes.iter().enumerate().map(|(i, words)| {
        let mut words = words.clone();
        tables::mark(&mut words, &no_words);
        ((i + 1).to_string(), words)
    });
    let laid = document.drawings.iter();
    let content = Content {
        notes: Block::notes(NOTES, "Notes", notes, false),
        tables: (document.tables.iter().cloned())
            .map(|t| block(t, &names))
            .collect(),
        laid: laid.map(|d| Laid::of(d, &frame, &names)).collect(),
        numbers: drawing_numbers(&document.drawings),
    };
    // How many sheets of tables there are stands on the first sheet, and takes room there.
    let mut beyond = usize::from(document.drawings.is_empty());
    let mut made = fill(set, &frame, &document, &content, (beyond, ""));
    let mut shows = String::new();
    for _ in 0..4 {
        if made.panels.len() == beyond && made.shows == shows {
            break;
        }
        beyond = made.panels.len();
        shows = made.shows;
        made = fill(set, &frame, &document, &content, (beyond, &shows));
    }
    let Document {
        purpose,
        title,
        drawings,
        ..
    } = document;
    let count = drawings.len() + made.panels.len();
    let mut sheets = Vec::with_capacity(count);
    let drawn = drawings.into_iter().zip(made.drawings);
    for ((drawing, panels), number) in drawn.zip(&content.numbers) {
        let (title, kind) = (drawing.title.clone(), drawing.kind);
        let mut items = scaled::drawn(drawing, &frame);
        items.extend(panels);
        sheets.push(Sheet {
            number: number.clone(),
            title,
            paper: set.paper,
            drawing: kind,
            purpose: purpose.word(),
            items,
        });
    }
    let before = sheets.len();
    let mut opening = Some(made.opening);
    for (i, panels) in made.panels.into_iter().enumerate() {
        let number = tables_number(purpose, &content, i);
        let heading = tables_heading(purpose, title, &number, (before + i, count));
        let (mut items, _) = title_strip(set, &frame, &heading);
        items.extend(opening.take().unwrap_or_default());
        items.extend(panels);
        sheets.push(Sheet {
            number,
            title: title.to_owned(),
            paper: set.paper,
            drawing: DrawingKind::Tables,
            purpose: purpose.word(),
            items,
        });
    }
    SheetSet {
        name: format!("{}-{}", set.job.name, purpose.word()),
        title: lettering::clean(&set.job.title.title),
        sheets,
    }
}

/// What is to be set.
struct Content {
    notes: Block,
    tables: Vec<Block>,
    /// Of each drawing.
    laid: Vec<Laid>,
    /// The sheet number of each drawing.
    numbers: Vec<String>,
}

/// What stands on the sheets.
struct Filled {
    /// Strip and panels of each drawing.
    drawings: Vec<Vec<Item>>,
    /// Notes in the strip of the first sheet of tables.
    opening: Vec<Item>,
    /// Panels of each sheet of tables.
    panels: Vec<Vec<Item>>,
    /// Titles of the tables that stand there.
    shows: String,
}

/// Fills the sheets, of which so many are sheets of tables that show this, as far as is known.
fn fill(
    set: &Inputs<'_>,
    frame: &Frame,
    document: &Document,
    content: &Content,
    (beyond, shows): (usize, &str),
) -> Filled {
    let Document { purpose, title, .. } = *document;
    let count = document.drawings.len() + beyond;
    let list = index(document, content, (beyond, shows));
    let mut notes = vec![piece(&content.notes)];
    let mut waiting: Vec<Piece<'_>> = content.tables.iter().map(piece).collect();
    let mut homeless: Vec<Piece<'_>> = Vec::new();
    // Drawings whose tables stand elsewhere, and the first of these.
    let mut away = Vec::new();
    let mut drawings = Vec::with_capacity(document.drawings.len());
    let sheets = document.drawings.iter().zip(&content.laid);
    for (i, ((drawing, laid), number)) in sheets.zip(&content.numbers).enumerate() {
        let heading = Heading {
            number: number.clone(),
            title: drawing.title.clone(),
            purpose,
            index: i,
            count,
            north: drawing.north,
            scale: Some(drawing.scale),
        };
        let id = |b: &Block, from: usize| format!("{number}.{}{}", b.name, suffix(from));
        let (mut items, column) = title_strip(set, frame, &heading);
        let used = open_notes(&mut notes, column, &id, &mut items);
        let mut own: Vec<Piece<'_>> = laid.blocks.iter().map(piece).collect();
        own.extend(list.iter().filter(|_| i == 0).map(piece));
        own.extend(notes.drain(..).filter(|p| p.from < p.block.len()));
        let lists = (own, std::mem::take(&mut waiting));
        let (panels, left, still) = laid.fill(frame, (column, used), lists, &id);
        items.extend(panels);
        let own = |p: &&Piece<'_>| laid.blocks.iter().any(|b| std::ptr::eq(b, p.block));
        away.extend(left.iter().find(own).map(|p| (i, p.block.name)));
        homeless.extend(left);
        waiting = still;
        drawings.push(items);
    }
    let first = tables_number(purpose, content, 0);
    let mut opening = Vec::new();
    if drawings.is_empty() {
        let heading = tables_heading(purpose, title, &first, (0, 1));
        let (_, column) = title_strip(set, frame, &heading);
        let id = |block: &Block, from: usize| format!("{first}.{}{}", block.name, suffix(from));
        open_notes(&mut notes, column, &id, &mut opening);
    }
    // What the strip has no room for comes after the tables.
    let notes = notes.into_iter().filter(|p| p.from < p.block.len());
    let rest: Vec<Piece<'_>> = homeless.into_iter().chain(waiting).chain(notes).collect();
    let id = |sheet: usize, name: &str, from: usize| {
        let number = tables_number(purpose, content, sheet);
        format!("{number}.{name}{}", suffix(from))
    };
    let of_drawings = document.drawings.iter().flat_map(|d| &d.tables);
    let all: Vec<&Table> = document.tables.iter().chain(of_drawings).collect();
    let mut titles: Vec<String> = Vec::new();
    for piece in &rest {
        let title = all.iter().find(|t| t.name == piece.block.name);
        let short = |t: &&&Table| t.title.split(':').next().unwrap_or_default().to_lowercase();
        titles.extend(title.as_ref().map(short));
    }
    titles.dedup();
    // The list of sheets is no table of contents.
    if titles.len() > 2 {
        titles.truncate(2);
        titles.push("others".to_owned());
    }
    let (mut panels, _) = columns(&rest, frame.field, &ON_PAPERS, Some(id));
    // A plan whose table stands elsewhere says where.
    for (i, table) in away {
        let begins = format!(".{table}");
        let goes_on = format!("{begins}.");
        let on = |items: &Vec<Item>| {
            let mut ids = items.iter().map(|item| item.id.as_str());
            ids.any(|id| id.ends_with(&begins) || id.contains(&goes_on))
        };
        let sheets = panels.iter().enumerate().filter(|(_, items)| on(items));
        let numbers: Vec<String> = sheets
            .map(|(sheet, _)| tables_number(purpose, content, sheet))
            .collect();
        let number = numbers.join(" AND ");
        let words = document.drawings.get(i).map_or(&[][..], |d| &d.away);
        let words = words.iter().cloned().map(|mut item| {
            for text in &mut item.texts {
                text.text = text.text.replace("{}", &number);
            }
            item
        });
        drawings
            .get_mut(i)
            .into_iter()
            .for_each(|d| d.extend(words.clone()));
    }
    if panels.is_empty() && drawings.is_empty() {
        panels.push(Vec::new());
    }
    Filled {
        drawings,
        opening,
        panels,
        shows: titles.join("; "),
    }
}

fn tables_heading(
    purpose: Purpose,
    title: &str,
    number: &str,
    (index, count): (usize, usize),
) -> Heading {
    Heading {
        number: number.to_owned(),
        title: title.to_owned(),
        purpose,
        index,
        count,
        north: None,
        scale: None,
    }
}

/// The number of a sheet of tables: counted on from the drawings that have the same digit.
fn tables_number(purpose: Purpose, content: &Content, index: usize) -> String {
    let digit = purpose.tables_digit();
    let same = |n: &&String| n.strip_prefix("P-").is_some_and(|n| n.starts_with(digit));
    numbered(digit, content.numbers.iter().filter(same).count() + index)
}

/// Numbers of the drawings' sheets: plans and sections are each counted by themselves.
fn drawing_numbers(drawings: &[ScaledDrawing]) -> Vec<String> {
    let of = |(i, d): (usize, &ScaledDrawing)| {
        let before = drawings.iter().take(i).filter(|b| b.kind == d.kind);
        numbered(scaled::digit(d.kind), before.count())
    };
    drawings.iter().enumerate().map(of).collect()
}

/// The list of sheets, where there are several drawings.
fn index(document: &Document, content: &Content, (beyond, shows): (usize, &str)) -> Option<Block> {
    if document.drawings.len() < 2 {
        return None;
    }
    let drawn = document.drawings.iter().zip(&content.numbers);
    let drawn = drawn.map(|(d, number)| vec![number.clone(), d.title.clone(), d.shows.clone()]);
    let number = |i| tables_number(document.purpose, content, i);
    let tables = (beyond > 0).then(|| {
        let numbers = match beyond {
            1 => number(0),
            n => format!("{} to {}", number(0), number(n - 1)),
        };
        vec![numbers, document.title.to_owned(), shows.to_owned()]
    });
    Some(sheets_list(drawn.chain(tables).collect()))
}
