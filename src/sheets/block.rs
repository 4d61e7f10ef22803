//! A block: a table or a list of notes, measured, that can be set at any width that it bears and
//! broken between its rows; `set_block` sets it.

use std::sync::{Arc, OnceLock};

use super::Shape;
use super::lettering::{BODY, HEADING, Hand, PITCH, capitals};
use super::measured::Measured;

/// Clear paper between columns, mm.
const GAP: f64 = 4.0;
/// From a row's top to the top of its capitals.
pub(super) const ABOVE: f64 = 1.3;
/// From a row's last baseline to its bottom.
const BELOW: f64 = 1.4;
/// Height of the title with its rule.
pub(super) const TITLE: f64 = HEADING + 2.6;

/// What stands in one cell.
#[derive(Clone, Debug)]
pub(super) enum Cell {
    /// Shared: most words of a large table stand in it many times.
    Words(Arc<Measured>),
    /// A drawing around its own middle: shapes, width, height.
    Drawing(Box<[Shape]>, f64, f64),
}

impl Cell {
    /// Words as they are to be lettered.
    pub fn words(text: &str) -> Cell {
        Cell::Words(Arc::new(Measured::new(text, Hand::BODY)))
    }
}

/// One row.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub cells: Vec<Cell>,
    /// Set bold, with a rule above.
    pub strong: bool,
    /// The key of a keyed note.
    pub key: Option<String>,
    /// Goes on with the row before: no rule between them.
    pub onward: bool,
}

/// A table or list, ready to be set.
#[derive(Clone, Debug)]
pub(super) struct Block {
    pub name: &'static str,
    pub(super) title: Measured,
    pub(super) head: Vec<Measured>,
    pub(super) rows: Vec<Row>,
    pub(super) foot: Vec<Measured>,
    /// Which columns are set to the right.
    pub(super) right: Vec<bool>,
    /// Width of each column on single lines, and the least that its longest word allows.
    natural: Vec<f64>,
    least: Vec<f64>,
    /// Width of each column that only its head asks for beyond its cells: a head that breaks costs
    /// one line, a cell one in every row.
    headed: Vec<f64>,
    /// Width on single lines of what all but a few rows hold: what one row in five asks for beyond it
    /// need not widen the column.
    usual: Vec<f64>,
    /// Rules between rows.
    pub(super) ruled: bool,
    /// No wider than this: longer lines are hard to read.
    most: f64,
    /// Widths that it bears with its heights, worked out when first asked for.
    sizes: OnceLock<Vec<Size>>,
}

/// A width that a block bears, and its height at it, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Size {
    pub wide: f64,
    pub high: f64,
}

/// How a block is set.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    /// Rules between rows.
    pub ruled: bool,
    /// No wider than this, mm.
    pub most: f64,
}

/// The widths of a block's columns in one place.
#[derive(Clone, Debug)]
pub(super) struct Widths {
    pub(super) columns: Vec<f64>,
    pub total: f64,
}

impl Block {
    /// From notes, each with its number.
    pub fn notes(
        name: &'static str,
        title: &str,
        notes: impl IntoIterator<Item = (String, String)>,
        keyed: bool,
    ) -> Block {
        let row = |(key, words): (String, String)| Row {
            cells: vec![Cell::words(&key), Cell::words(&capitals(&words))],
            strong: false,
            key: keyed.then_some(key),
            onward: false,
        };
        let rows: Vec<Row> = notes.into_iter().map(row).collect();
        let manner = Manner {
            ruled: false,
            most: 150.0,
        };
        Block::new(name, title, (&[], &[]), rows, manner)
    }

    pub fn new(
        name: &'static str,
        title: &str,
        (head, foot): (&[String], &[String]),
        rows: Vec<Row>,
        manner: Manner,
    ) -> Block {
        let measured = |text: &str, hand| Measured::new(&capitals(text), hand);
        let title = measured(title, Hand::HEADING);
        let head: Vec<Measured> = head.iter().map(|h| measured(h, Hand::STRONG)).collect();
        let foot: Vec<Measured> = foot.iter().map(|f| measured(f, Hand::BODY)).collect();
        let columns = rows
            .iter()
            .map(|r| r.cells.len())
            .chain([head.len()])
            .max()
            .unwrap_or(0);
        let mut natural = vec![0.0f64; columns];
        let mut least = vec![0.0f64; columns];
        let mut cells = vec![0.0f64; columns];
        let mut right = vec![true; columns];
        let mut figures = vec![false; columns];
        let mut room = |c: usize, whole: f64, longest: f64| {
            natural[c] = natural[c].max(whole);
            least[c] = least[c].max(longest);
        };
        for (c, h) in head.iter().enumerate() {
            room(c, h.whole(), h.longest());
        }
        for row in &rows {
            for (c, cell) in row.cells.iter().enumerate() {
                match cell {
                    Cell::Words(words) => {
                        let figure = is_figure(&words.text);
                        // A figure with its unit stays on one line.
                        let least = if figure && words.text.len() < 24 {
                            words.whole()
                        } else {
                            words.longest()
                        };
                        room(c, words.whole(), least);
                        cells[c] = cells[c].max(words.whole());
                        right[c] &= words.text.is_empty() || figure;
                        figures[c] |= figure;
                    }
                    Cell::Drawing(_, wide, _) => {
                        room(c, *wide, *wide);
                        cells[c] = cells[c].max(*wide);
                        right[c] = false;
                    }
                }
            }
        }
        for (right, figures) in right.iter_mut().zip(figures) {
            *right &= figures;
        }
        let usual = (0..columns)
            .map(|c| usual(&rows, c).max(least[c]))
            .collect();
        let headed = (natural.iter().zip(&least))
            .zip(&cells)
            .map(|((n, l), c)| (n - l.max(*c)).max(0.0))
            .collect();
        Block {
            name,
            title,
            head,
            rows,
            foot,
            right,
            natural,
            least,
            headed,
            usual,
            ruled: manner.ruled,
            most: manner.most,
            sizes: OnceLock::new(),
        }
    }

    /// No row is lower, mm.
    pub const LEAST_ROW: f64 = BODY + ABOVE + BELOW - 1.0;

    /// The least width that still reads well.
    pub fn fair(&self) -> f64 {
        if self.ruled {
            0.62 * self.wish().min(200.0)
        } else {
            70.0f64.min(self.wish())
        }
    }

    /// Widths that it bears, from a row on, widest first, with its heights at them.
    pub fn sizes(&self, from: usize) -> Vec<Size> {
        match from {
            0 => self.sizes.get_or_init(|| self.sizes_from(0)).clone(),
            _ => self.sizes_from(from),
        }
    }

    fn sizes_from(&self, from: usize) -> Vec<Size> {
        /// Parts of the width that it would like.
        const PARTS: [f64; 3] = [1.0, 0.86, 0.72];
        let mut all: Vec<Size> = Vec::new();
        for part in PARTS {
            let at = self.widths(self.wish() * part);
            let Some(at) = at.filter(|at| at.total >= self.fair() - 1e-6) else {
                continue;
            };
            if all.last().is_none_or(|s| at.total < s.wide - 1.0) {
                all.push(Size {
                    wide: at.total,
                    high: self.span(&at, from, self.len()),
                });
            }
        }
        all
    }

    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// How wide it would like to stand.
    pub fn wish(&self) -> f64 {
        let columns: f64 = self.natural.iter().sum::<f64>() + self.gaps();
        columns.max(self.broadest()).min(self.most)
    }

    /// The width that the title and the lines below ask for.
    fn broadest(&self) -> f64 {
        /// Lines below are broken to this width rather than to that of a narrow table.
        const FOOT: f64 = 92.0;
        let foot = self
            .foot
            .iter()
            .map(Measured::whole)
            .fold(0.0, f64::max)
            .min(FOOT);
        self.title.whole().max(foot)
    }

    fn gaps(&self) -> f64 {
        GAP * self.natural.len().saturating_sub(1) as f64
    }

    /// Column widths within a width; none when not even the longest words fit.
    pub fn widths(&self, width: f64) -> Option<Widths> {
        let width = width.min(self.wish());
        if self.least.iter().sum::<f64>() + self.gaps() > width + 1e-6 {
            return None;
        }
        if self.title.whole() > width + 1e-6 && self.least.len() > 1 {
            return None;
        }
        let room = width - self.gaps();
        let mut columns = self.natural.clone();
        let over = columns.iter().sum::<f64>() - room;
        // First heads break, those with most to give before others, and no more than need be; then
        // the widest columns give way, none below its longest word. Where that makes the table lower,
        // what few rows ask for gives way before that.
        let over = give(&mut columns, &self.headed, over);
        let mut lowered = columns.clone();
        let rare = columns.iter().zip(&self.usual);
        let rare: Vec<f64> = rare.map(|(c, u)| (c - u).max(0.0)).collect();
        let rest = give(&mut lowered, &rare, over);
        let differs = lowered != columns;
        self.level(&mut columns, over, room)?;
        if differs && self.level(&mut lowered, rest, room).is_some() {
            let [own, other] = [&columns, &lowered].map(|c| self.rows_height(c));
            if other < own - 1e-6 {
                columns = lowered;
            }
        }
        if over > 1e-6 {
            self.trade(&mut columns);
        }
        // What the title or the lines below need beyond the columns goes to the words.
        let spare = self.broadest().min(width) - columns.iter().sum::<f64>() - self.gaps();
        if spare > 0.0 {
            let words = (0..columns.len()).rev().filter(|c| !self.right[*c]);
            let most = words.max_by(|a, b| self.natural[*a].total_cmp(&self.natural[*b]));
            if let Some(c) = most {
                columns[c] += spare;
            }
        }
        let total = columns.iter().sum::<f64>() + self.gaps();
        Some(Widths {
            columns,
            total: total.max(self.broadest().min(width)),
        })
    }

    /// The widest columns give way until all fit a room, none below its longest word; none where
    /// they do not.
    fn level(&self, columns: &mut [f64], mut over: f64, room: f64) -> Option<()> {
        for _ in 0..64 {
            if over <= 1e-9 {
                break;
            }
            let gives = |c: usize| columns[c] > self.least[c] + 1e-9;
            let top = (0..columns.len()).filter(|c| gives(*c)).map(|c| columns[c]);
            let top = top.fold(0.0, f64::max);
            let wide: Vec<usize> = (0..columns.len())
                .filter(|c| gives(*c) && columns[*c] > top - 1e-9)
                .collect();
            let next = (0..columns.len())
                .filter(|c| !wide.contains(c))
                .map(|c| columns[c])
                .filter(|w| *w < top - 1e-9)
                .fold(0.0, f64::max);
            let share = over / wide.len().max(1) as f64;
            for &c in &wide {
                let floor = self.least[c].max(next.min(top)).max(top - share);
                columns[c] = floor;
            }
            over = columns.iter().sum::<f64>() - room;
        }
        (over <= 1e-6).then_some(())
    }

    /// The widest column gives to others, as long as that makes the rows lower.
    fn trade(&self, columns: &mut [f64]) {
        /// How much at once, mm.
        const AT_ONCE: [f64; 2] = [12.0, 4.0];
        /// Longer tables are left as they are: trying takes time.
        const LONG: usize = 250;
        /// A table needs few turns.
        const TURNS: usize = 12;
        if self.rows.len() > LONG {
            return;
        }
        let mut height = self.rows_height(columns);
        for _ in 0..TURNS {
            let by_width = |a: &usize, b: &usize| columns[*a].total_cmp(&columns[*b]);
            let Some(widest) = (0..columns.len()).max_by(by_width) else {
                return;
            };
            let wants = |c: &usize| *c != widest && columns[*c] < self.natural[*c] - 1e-6;
            let takers: Vec<usize> = (0..columns.len()).filter(wants).collect();
            let tried = takers.into_iter().flat_map(|c| AT_ONCE.map(|by| (c, by)));
            let tried = tried.filter_map(|(c, by)| {
                let by = by.min(self.natural[c] - columns[c]);
                let mut other = columns.to_vec();
                other[widest] -= by;
                other[c] += by;
                let bears = other[widest] >= self.least[widest];
                bears.then(|| (self.rows_height(&other), other))
            });
            match tried.min_by(|a, b| a.0.total_cmp(&b.0)) {
                Some((lower, other)) if lower < height - 1e-6 => {
                    columns.copy_from_slice(&other);
                    height = lower;
                }
                _ => return,
            }
        }
    }

    /// Height of all rows with columns so wide.
    fn rows_height(&self, columns: &[f64]) -> f64 {
        let at = Widths {
            columns: columns.to_vec(),
            total: 0.0,
        };
        self.rows.iter().map(|r| self.row_height(r, &at)).sum()
    }

    /// Column widths that take a whole width: what is beyond the wish goes to every column, so
    /// that figures keep their distance from each other, or to the words beside a sample.
    pub fn stretched(&self, width: f64) -> Widths {
        let mut at = self.widths(width).unwrap_or_else(|| self.squeezed(width));
        let spare = width - at.total;
        if spare > 0.0 {
            at.total = width;
            let columns = at.columns.len();
            if self.ruled && columns > 0 {
                // The columns themselves may take less than the title or the lines below.
                let taken = at.columns.iter().sum::<f64>() + self.gaps();
                let each = (width - taken).max(0.0) / columns as f64;
                at.columns.iter_mut().for_each(|w| *w += each);
            } else if let Some(last) = at.columns.last_mut() {
                *last += spare;
            }
        }
        at
    }

    /// Column widths within a width, words broken where nothing else helps.
    pub fn squeezed(&self, width: f64) -> Widths {
        let mut hard = self.clone();
        let even = (width - self.gaps()) / self.least.len().max(1) as f64;
        for w in &mut hard.least {
            *w = w.min(even.max(3.0));
        }
        hard.title = Measured::default();
        let total = width;
        hard.widths(width).unwrap_or(Widths {
            columns: hard.least,
            total,
        })
    }

    /// Height of the whole block.
    pub fn height(&self, at: &Widths) -> f64 {
        self.take(at, 0, f64::INFINITY).1
    }

    /// The row that a height is used up at, from a row on, title and head repeated; and how high
    /// those rows stand. The lines below go with the last row.
    pub fn take(&self, at: &Widths, from: usize, height: f64) -> (usize, f64) {
        let mut used = self.span(at, from, from);
        let mut to = from;
        while let Some(row) = self.rows.get(to) {
            let more = self.row_height(row, at) + self.below(at, to + 1);
            if used + more > height + 1e-6 {
                break;
            }
            used += more;
            to += 1;
        }
        (to, used)
    }

    /// Height of some rows with title, head and what goes below them.
    pub fn span(&self, at: &Widths, from: usize, to: usize) -> f64 {
        let rows = self.rows.get(from..to).unwrap_or_default();
        let rows: f64 = rows.iter().map(|r| self.row_height(r, at)).sum();
        TITLE + self.head_height(at) + rows + self.below(at, to)
    }

    fn below(&self, at: &Widths, to: usize) -> f64 {
        if to == self.rows.len() {
            self.foot_height(at)
        } else {
            0.0
        }
    }

    pub(super) fn head_height(&self, at: &Widths) -> f64 {
        if self.head.is_empty() {
            return 1.0;
        }
        let lines = self
            .head
            .iter()
            .zip(&at.columns)
            .map(|(h, w)| h.count(*w))
            .max();
        stack(lines.unwrap_or(1)) + ABOVE + BELOW
    }

    fn foot_height(&self, at: &Widths) -> f64 {
        let lines: usize = self.foot.iter().map(|f| f.count(at.total)).sum();
        if lines == 0 {
            0.0
        } else {
            stack(lines) + ABOVE + BELOW
        }
    }

    pub(super) fn row_height(&self, row: &Row, at: &Widths) -> f64 {
        let height = |(cell, width): (&Cell, &f64)| match cell {
            Cell::Words(words) => stack(words.count(*width)),
            Cell::Drawing(_, _, h) => *h,
        };
        let tallest = row
            .cells
            .iter()
            .zip(&at.columns)
            .map(height)
            .fold(BODY, f64::max);
        tallest
            + if self.ruled {
                ABOVE + BELOW
            } else {
                ABOVE + BELOW - 1.0
            }
    }
}

impl Widths {
    /// Left edge of a column.
    pub(super) fn x(&self, column: usize) -> f64 {
        self.columns.iter().take(column).map(|w| w + GAP).sum()
    }
}

/// Takes from columns what each can give, from those with most to give first, as long as they are too
/// wide; gives by how much they still are.
fn give(columns: &mut [f64], each: &[f64], mut over: f64) -> f64 {
    let mut order: Vec<usize> = (0..columns.len()).collect();
    order.sort_by(|a, b| each[*b].total_cmp(&each[*a]));
    for c in order {
        let gives = each[c].min(over.max(0.0));
        columns[c] -= gives;
        over -= gives;
    }
    over
}

/// The width on a single line that four of five rows do not exceed in a column.
fn usual(rows: &[Row], column: usize) -> f64 {
    let mut wide: Vec<f64> = (rows.iter())
        .filter_map(|r| r.cells.get(column))
        .map(|cell| match cell {
            Cell::Words(words) => words.whole(),
            Cell::Drawing(_, wide, _) => *wide,
        })
        .collect();
    wide.sort_unstable_by(f64::total_cmp);
    let at = (wide.len() * 4).div_ceil(5).saturating_sub(1);
    wide.get(at).copied().unwrap_or(0.0)
}

/// Height of so many lines, capitals of the first to baseline of the last.
pub(super) fn stack(lines: usize) -> f64 {
    BODY + PITCH * lines.saturating_sub(1) as f64
}

/// Whether a cell is a figure, so that its column is set to the right.
pub(super) fn is_figure(text: &str) -> bool {
    // What is known at the least stands under the figures that are known.
    let text = text.strip_prefix("AT LEAST ").unwrap_or(text);
    let text = text.strip_prefix("DN ").unwrap_or(text);
    // Pressures and volumes.
    let unit = [" psi", " kPa", " gal", " L"].into_iter();
    let text = unit
        .filter_map(|u| text.strip_suffix(u))
        .next()
        .unwrap_or(text);
    text == "—"
        || text.starts_with(|c: char| c.is_ascii_digit() || "+-½¼¾⅛⅜⅝⅞".contains(c))
            && text
                .chars()
                .all(|c| c.is_ascii_digit() || "+-½¼¾⅛⅜⅝⅞′″/.,% mft".contains(c))
}
