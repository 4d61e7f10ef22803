//! Drawings that are no isometrics: plans and sections to scale, each on a sheet of its own with
//! its tables beside it.

use super::arrange::{Arranged, Ground, Piece, arrange};
use super::block::Block;
use super::compose::{ON_PAPERS, field_item, numbered};
use super::fill::Room;
use super::lettered::Lettered;
use super::tables::{self, Names};
use super::{DrawingKind, Frame, Free, Inputs, Item, Margins, Table, layout};
use crate::linework::free_paper;
use crate::placement::Scale;

/// A plan or section, drawn.
#[derive(Clone, Debug)]
pub struct ScaledDrawing {
    /// Its sheet's title, in capitals as lettered.
    pub title: String,
    /// What it shows, for the list of sheets.
    pub shows: String,
    /// [`DrawingKind::Plan`] or [`DrawingKind::Section`].
    pub kind: DrawingKind,
    /// Its scale.
    pub scale: Scale,
    /// Its items, each with a role, in painting order, in mm of the sheet, within the field of
    /// [`layout`](super::layout()).
    pub items: Vec<Item>,
    /// Paper direction of plan north: cosine and sine, y downward; none on a section.
    pub north: Option<(f64, f64)>,
    /// Tables that stand beside it where there is room, else on sheets of tables.
    pub tables: Vec<Table>,
    /// What is drawn besides where its tables stand on another sheet; `{}` in its words is the
    /// number of that.
    pub away: Vec<Item>,
}

/// Of the same drawing at several scales, largest first, the first that leaves room for its tables
/// on its sheet; else the first of all. Says whether they have room.
pub fn with_room_for_tables(
    set: &Inputs<'_>,
    drawings: impl IntoIterator<Item = ScaledDrawing>,
) -> Option<(ScaledDrawing, bool)> {
    let frame = layout(set.paper);
    let names = tables::names(set);
    let mut first: Option<ScaledDrawing> = None;
    for drawing in drawings {
        let laid = Laid::of(&drawing, &frame, &names);
        let own: Vec<Piece<'_>> = laid.blocks.iter().map(piece).collect();
        // As its sheet is filled, but that the strip's column may be full of notes.
        let full = (frame.title, frame.title.height());
        let (_, left, _) = laid.fill(&frame, full, (own, Vec::new()), &|_, _| String::new());
        if left.is_empty() {
            return Some((drawing, true));
        }
        first = first.or(Some(drawing));
    }
    first.map(|d| (d, false))
}

/// What of a drawing decides how its sheet is filled.
pub(super) struct Laid {
    pub blocks: Vec<Block>,
    margins: Margins,
    free: Free,
}

impl Laid {
    pub fn of(drawing: &ScaledDrawing, frame: &Frame, names: &Names<'_>) -> Laid {
        let (margins, free) = free_paper(&drawing.items, frame.field);
        let tables = drawing.tables.iter().cloned();
        Laid {
            blocks: tables.map(|t| block(t, names)).collect(),
            margins,
            free,
        }
    }

    /// Sets the panels of its sheet: its own, then as many of those that wait as have room. Gives
    /// the items, what of its own found no place, and what still waits.
    pub fn fill<'a>(
        &'a self,
        frame: &Frame,
        (column, used): (kurbo::Rect, f64),
        (own, waiting): (Vec<Piece<'a>>, Vec<Piece<'a>>),
        id: &dyn Fn(&Block, usize) -> String,
    ) -> (Vec<Item>, Vec<Piece<'a>>, Vec<Piece<'a>>) {
        let ground = Ground {
            field: frame.field,
            margins: &self.margins,
            strip: column,
            used,
        };
        let bound = own.len();
        let all: Vec<Piece<'a>> = own.iter().chain(&waiting).copied().collect();
        // What only might stand here takes no room from what belongs here.
        let mut arranged: Arranged<'_> = arrange(&ground, &all, &ON_PAPERS);
        let mut later = Vec::new();
        if arranged.left.iter().any(|i| *i < bound) {
            arranged = arrange(&ground, &own, &ON_PAPERS);
            later = waiting;
        }
        let mut items = arranged.set(used, id);
        let boxes = match arranged.left.is_empty() {
            true => &[],
            false => self.free.boxes(),
        };
        let mut room = Room::new(column, boxes, frame.field);
        room.take(&arranged, column);
        let (mut homeless, mut still) = (Vec::new(), Vec::new());
        for &i in &arranged.left {
            let Some(&piece) = all.get(i) else { continue };
            if i >= bound {
                still.push(piece);
                continue;
            }
            match room.whole(piece.block, &id(piece.block, 0)) {
                Some(set) => items.extend(set),
                None => homeless.push(piece),
            }
        }
        still.extend(later);
        (items, homeless, still)
    }
}

/// The digit of a drawing's sheet number by the US National CAD Standard: 1 plans, 3 sections.
pub(super) fn digit(kind: DrawingKind) -> char {
    match kind {
        DrawingKind::Section => '3',
        _ => '1',
    }
}

/// The number of a set's plan, counted from 0.
pub fn plan_number(index: usize) -> String {
    numbered(digit(DrawingKind::Plan), index)
}

/// All that is drawn on its sheet, without strip and panels.
pub(super) fn drawn(drawing: ScaledDrawing, frame: &Frame) -> Vec<Item> {
    let mut items = vec![field_item(frame.field)];
    items.extend(drawing.items);
    items
}

pub(super) fn piece(block: &Block) -> Piece<'_> {
    Piece { block, from: 0 }
}

/// A table lettered, its names as they are written.
pub(super) fn block(mut table: Table, names: &Names<'_>) -> Block {
    let words = tables::no_words(names);
    for row in &mut table.rows {
        for (c, text) in row.iter_mut().enumerate() {
            let prose = table.prose.contains(&c);
            tables::mark(text, if prose { &words } else { names });
        }
    }
    for text in &mut table.foot {
        tables::mark(text, &words);
    }
    Lettered::of(table).block()
}
