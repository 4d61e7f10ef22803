//! Sheets of tables alone: the working papers that are lists and forms.

use super::block::Block;
use super::compose::{NOTES, numbered, open_notes, suffix};
use super::fill::columns;
use super::lettered::Lettered;
use super::title_block::{Heading, title_strip};
use super::{
    DrawingKind, Inputs, Item, Purpose, Sheet, SheetSet, Table, layout, lettering, tables,
};
use crate::sheets::arrange::Piece;

/// What a document says.
pub struct Document {
    /// For whom it is.
    pub purpose: Purpose,
    /// Its title.
    pub title: &'static str,
    /// Its tables, in order.
    pub tables: Vec<Table>,
    /// Its notes.
    pub notes: Vec<String>,
}

/// Sets a document on as many sheets as it takes, notes first in the title strip.
pub fn document(set: &Inputs<'_>, document: Document) -> SheetSet {
    let Document {
        purpose,
        title,
        tables,
        notes,
    } = document;
    let frame = layout(set.paper);
    let names = tables::names(set);
    let notes = notes.into_iter().enumerate().map(|(i, mut words)| {
        tables::mark(&mut words, &names);
        ((i + 1).to_string(), words)
    });
    let notes = Block::notes(NOTES, "Notes", notes, false);
    let lettered = tables.into_iter().map(|mut table| {
        for text in table.rows.iter_mut().flatten().chain(&mut table.foot) {
            tables::mark(text, &names);
        }
        Lettered::of(table).block()
    });
    let blocks: Vec<Block> = lettered.collect();
    let number = |i: usize| numbered(purpose.tables_digit(), i);
    let heading = |number: &str, index: usize, count: usize| Heading {
        number: number.to_owned(),
        title: title.to_owned(),
        purpose,
        index,
        count,
        north: None,
    };
    let piece = |block| Piece { block, from: 0 };
    let mut waiting = vec![piece(&notes)];
    let first = number(0);
    let (_, column) = title_strip(set, &frame, &heading(&first, 0, 1));
    let id = |block: &Block, from: usize| format!("{first}.{}{}", block.name, suffix(from));
    let mut opening: Vec<Item> = Vec::new();
    open_notes(&mut waiting, column, &id, &mut opening);
    // What the strip has no room for comes after the tables.
    let mut rest: Vec<Piece<'_>> = blocks.iter().map(piece).collect();
    rest.extend(waiting.into_iter().filter(|p| p.from < p.block.len()));
    let id = |sheet: usize, name: &str, from: usize| {
        format!(
            "{}.{name}{}",
            numbered(purpose.tables_digit(), sheet),
            suffix(from)
        )
    };
    let (mut panels, _) = columns(&rest, frame.field, Some(id));
    if panels.is_empty() {
        panels.push(Vec::new());
    }
    let count = panels.len();
    let mut opening = Some(opening);
    let sheets = panels.into_iter().enumerate().map(|(i, panels)| {
        let number = number(i);
        let (mut items, _) = title_strip(set, &frame, &heading(&number, i, count));
        items.extend(opening.take().unwrap_or_default());
        items.extend(panels);
        Sheet {
            number,
            title: title.to_owned(),
            paper: set.paper,
            drawing: DrawingKind::Tables,
            purpose: purpose.word(),
            items,
        }
    });
    SheetSet {
        name: format!("{}-{}", set.job.name, purpose.word()),
        title: lettering::clean(&set.job.title.title),
        sheets: sheets.collect(),
    }
}
