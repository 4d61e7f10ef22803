//! A table as it is lettered: each cell's words measured once and shared, so that blocks of all
//! of its rows or of some of them cost next to nothing.

use std::collections::HashMap;
use std::sync::Arc;

use kurbo::Rect;

use super::block::{Block, Cell, Manner, Row, is_figure};
use super::lettering::{BODY, Hand, THIN, cell_words, outline, pieces, unmarked};
use super::measured::Measured;
use super::{BLANK, TICK, Table};
use crate::at_once;

/// A cell with more letters than this goes on in a further row, so that every row fits the
/// smallest paper.
const MOST: usize = 400;
/// So many rows are lettered at once.
const TOGETHER: usize = 512;
/// Columns that are lettered as they are: their words are names.
const NAMES: [&str; 7] = ["Tag", "On", "Pipe", "For", "At", "Code", "Waiver"];

/// A table with its cells lettered. Names and figures are lettered as they are, other words in
/// capitals.
pub(super) struct Lettered {
    /// The table without its rows.
    table: Table,
    rows: Vec<Vec<Arc<Measured>>>,
}

impl Lettered {
    /// Letters a table.
    pub fn of(table: Table) -> Lettered {
        let names: Vec<bool> = (table.head.iter())
            .map(|h| NAMES.contains(&h.as_str()))
            .collect();
        let handfuls: Vec<(usize, &[Vec<String>])> =
            table.rows.chunks(TOGETHER).enumerate().collect();
        let some = |&(i, rows): &(usize, &[Vec<String>])| {
            // Only looked up, never gone through.
            let mut known: HashMap<(&str, bool, bool), Arc<Measured>> = HashMap::new();
            let mut all = Vec::with_capacity(rows.len());
            for (k, row) in rows.iter().enumerate() {
                let strong = table.strong.contains(&(i * TOGETHER + k));
                let mut cell = |c: usize| {
                    let text = row.get(c).map_or("", String::as_str);
                    let name = names.get(c).copied().unwrap_or_default();
                    let known = known.entry((text, name, strong));
                    Arc::clone(known.or_insert_with(|| Arc::new(cell_of(text, name, strong))))
                };
                all.push((0..table.head.len()).map(&mut cell).collect());
            }
            all
        };
        let rows: Vec<Vec<Vec<Arc<Measured>>>> = at_once::each(&handfuls, some);
        let rows = rows.into_iter().flatten().collect();
        Lettered {
            table: Table {
                rows: Vec::new(),
                ..table
            },
            rows,
        }
    }

    /// Short name of the table.
    pub fn name(&self) -> &'static str {
        self.table.name
    }

    /// Title of the table.
    pub fn title(&self) -> &str {
        &self.table.title
    }

    /// How many rows it has.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// All of it as a block.
    pub fn block(&self) -> Block {
        let rows: Vec<usize> = (0..self.len()).collect();
        self.part(self.table.name, &self.table.title, &rows)
    }

    /// Some rows of it as a block with a name and a title of its own. A column that says nothing
    /// in them is left out.
    pub fn part(&self, name: &'static str, title: &str, rows: &[usize]) -> Block {
        let cells: Vec<(usize, &Vec<Arc<Measured>>)> = rows
            .iter()
            .filter_map(|i| Some((*i, self.rows.get(*i)?)))
            .collect();
        let head = &self.table.head;
        let says = |c: &usize| cells.iter().any(|(_, row)| !row[*c].text.is_empty());
        let columns: Vec<usize> = (0..head.len()).filter(says).collect();
        let rows = cells.iter().flat_map(|(i, row)| {
            let cells = columns.iter().map(|c| Arc::clone(&row[*c])).collect();
            parted(cells, self.table.strong.contains(i))
        });
        let head: Vec<String> = columns.iter().map(|c| head[*c].clone()).collect();
        let manner = Manner {
            ruled: true,
            most: 330.0,
        };
        let beside = (head.as_slice(), self.table.foot.as_slice());
        Block::new(name, title, beside, rows.collect(), manner)
    }
}

fn cell_of(text: &str, name: bool, strong: bool) -> Measured {
    // Drawn, not lettered: the font need not have it.
    if text == TICK || blank(text).is_some() {
        let mut box_to_tick = Measured::new("", hand(strong));
        text.clone_into(&mut box_to_tick.text);
        return box_to_tick;
    }
    let words = cell_words(text, !name && !is_figure(&unmarked(text)));
    Measured::new(&words, hand(strong))
}

fn hand(strong: bool) -> Hand {
    match strong {
        true => Hand::STRONG,
        false => Hand::BODY,
    }
}

/// How many times a cell is blank; none: it says something, or nothing.
fn blank(text: &str) -> Option<usize> {
    let rest = text.replace(BLANK, "");
    (rest.is_empty() && !text.is_empty()).then(|| text.chars().count())
}

/// A cell with its words, its box to tick, as high as a capital, or the room to write in it.
fn cell(words: Arc<Measured>) -> Cell {
    /// Width of a blank, and height of a line to sign on, mm.
    const ROOM: (f64, f64) = (10.0, 8.0);
    if let Some(times) = blank(&words.text) {
        return Cell::Drawing(Box::new([]), ROOM.0 * times as f64, ROOM.1);
    }
    if words.text != TICK {
        return Cell::Words(words);
    }
    let half = BODY / 2.0;
    let square = outline(Rect::new(-half, -half, half, half), THIN);
    Cell::Drawing(Box::new([square]), BODY, BODY)
}

/// The rows that a row of cells takes: one, or more where a cell is long.
fn parted(cells: Vec<Arc<Measured>>, strong: bool) -> Vec<Row> {
    let row = |cells: Vec<Cell>, part: usize| Row {
        cells,
        strong: strong && part == 0,
        key: None,
        onward: part > 0,
    };
    // No letter takes less than a byte.
    if cells.iter().all(|c| c.text.len() <= MOST) {
        return vec![row(cells.into_iter().map(cell).collect(), 0)];
    }
    let cells: Vec<Vec<String>> = cells.iter().map(|c| pieces(&c.text, MOST)).collect();
    let parts = cells.iter().map(Vec::len).max().unwrap_or(1);
    let of = |part: usize| {
        let hand = hand(strong && part == 0);
        let words = move |c: &Vec<String>| {
            let words = c.get(part).map_or("", String::as_str);
            cell(Arc::new(Measured::new(words, hand)))
        };
        cells.iter().map(words)
    };
    (0..parts)
        .map(|part| row(of(part).collect(), part))
        .collect()
}
