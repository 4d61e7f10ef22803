//! Sheets of steps alone, for what has no room beside its drawing.

use kurbo::Rect;

use super::entry::{Entry, height};
use super::{PAD, STRONG};

/// What of a sheet's list finds no room on it.
pub(super) struct Rest {
    /// The sheet's number and title.
    pub title: String,
    /// What its first levels are measured from.
    pub datum: String,
    /// The rest of the list.
    pub entries: Vec<Entry>,
}

/// Columns of a sheet: the left edge of each, and what stands in it.
pub(super) type Columns = Vec<(f64, Vec<Entry>)>;

/// Columns on a sheet of a list alone; the last stands over the foot of the strip.
const COLUMNS: usize = 3;

/// From one column to the next.
fn apart(border: Rect, strip: Rect) -> f64 {
    (border.width() - strip.width()) / (COLUMNS - 1) as f64
}

/// How wide the words of such a sheet may be.
pub(super) fn width(border: Rect, strip: Rect) -> f64 {
    apart(border, strip).min(strip.width()) - 2.0 * PAD
}

/// The sheets of the rest of a list alone, in columns, each under the number and title of the sheet that it
/// belongs to. The foot of the strip is so high.
pub(super) fn overflow(own: &Rest, border: Rect, (strip, foot): (Rect, f64)) -> Vec<Columns> {
    let wide = apart(border, strip);
    let room = |column: usize| match column % COLUMNS + 1 {
        COLUMNS => border.height() - 4.0 * PAD - foot,
        _ => border.height() - 4.0 * PAD,
    };
    let width = width(border, strip);
    let mut head = vec![Entry {
        heads: true,
        ..Entry::words(STRONG, &own.title, width)
    }];
    // A list that goes on under a heading of its own says there what it is measured from.
    if own.entries.first().is_none_or(|e| !e.measures) {
        head.push(Entry {
            measures: true,
            ..Entry::words(STRONG, &own.datum, width)
        });
    }
    let heads = head.len();
    // What each column says again at its top.
    let title = head[0].clone();
    let mut datum = head.get(1).cloned();
    let all: Vec<Entry> = head
        .into_iter()
        .chain(own.entries.iter().cloned())
        .collect();
    let mut columns: Vec<Vec<Entry>> = Vec::new();
    let mut full = f64::INFINITY;
    for (i, entry) in all.iter().enumerate() {
        // A title or a heading is never the last of its column.
        let leads = |e: &&Entry| e.heads || e.measures;
        let led = all[i..].iter().take_while(leads).count();
        let after = height(all.get(i + 1..=i + led).unwrap_or_default());
        if full + entry.height() + after > room(columns.len().saturating_sub(1)) {
            let datum = datum.clone().filter(|_| !entry.measures);
            let again = std::iter::once(title.clone()).chain(datum);
            let again: Vec<Entry> = again.filter(|_| i >= heads).collect();
            full = height(&again);
            columns.push(again);
        }
        if entry.measures {
            datum = Some(entry.clone());
        }
        full += entry.height();
        if let Some(column) = columns.last_mut() {
            column.push(entry.clone());
        }
    }
    let place = |(i, column): (usize, &Vec<Entry>)| {
        let left = match i + 1 {
            COLUMNS => strip.x0 + PAD,
            _ => border.x0 + 2.0 * PAD + wide * i as f64,
        };
        (left, column.clone())
    };
    let sheets = columns.chunks(COLUMNS);
    sheets
        .map(|columns| columns.iter().enumerate().map(place).collect())
        .collect()
}
