//! Sheets of steps alone, for what has no room beside its drawing.

use kurbo::Rect;

use super::entry::Entry;
use super::{PAD, STRIP, STRONG};

/// Sheets of steps alone, in columns, each under the number of the sheet that it belongs to.
pub(super) fn overflow(rest: &[(String, Vec<Entry>)], border: Rect) -> Vec<Vec<(f64, Vec<Entry>)>> {
    const COLUMNS: usize = 2;
    let wide = (border.width() - STRIP) / COLUMNS as f64;
    let room = border.height() - 4.0 * PAD;
    let mut columns: Vec<Vec<Entry>> = Vec::new();
    let mut full = f64::INFINITY;
    for (number, entries) in rest {
        let title = Entry::words(STRONG, &format!("{number}, continued"), wide - 2.0 * PAD);
        // A title is never the last of its column.
        let first = entries.first().map_or(0.0, Entry::height);
        let after = std::iter::once(first).chain(std::iter::repeat(0.0));
        let all = std::iter::once(title).chain(entries.iter().cloned());
        for (entry, after) in all.zip(after) {
            if full + entry.height() + after > room {
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
