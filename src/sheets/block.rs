//! A block: a table or a list of notes, measured, that can be set at any width that it bears and
//! broken between its rows.

use kurbo::{Affine, Point, Vec2};

use super::lettering::{BODY, HEADING, HEAVY, Hand, PITCH, PLAIN, SOFT, THIN, rule};
use super::{Anchor, Grey, Item, Role, Shape, Table};

/// Clear paper between columns, mm.
const GAP: f64 = 4.0;
/// From a row's top to the top of its capitals.
const ABOVE: f64 = 1.3;
/// From a row's last baseline to its bottom.
const BELOW: f64 = 1.4;
/// Height of the title with its rule.
const TITLE: f64 = HEADING + 2.6;

/// What stands in one cell.
#[derive(Clone, Debug)]
pub(super) enum Cell {
    Words(String),
    /// A drawing around its own middle: shapes, width, height.
    Drawing(Vec<Shape>, f64, f64),
}

/// One row.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub cells: Vec<Cell>,
    /// Set bold, with a rule above.
    pub strong: bool,
    /// The key of a keyed note.
    pub key: Option<String>,
}

/// A table or list, ready to be set.
#[derive(Clone, Debug)]
pub(super) struct Block {
    pub name: &'static str,
    title: String,
    head: Vec<String>,
    rows: Vec<Row>,
    foot: Vec<String>,
    /// Which columns are set to the right.
    right: Vec<bool>,
    /// Width of each column on single lines, and the least that its longest word allows.
    natural: Vec<f64>,
    least: Vec<f64>,
    /// Rules between rows.
    ruled: bool,
    /// No wider than this: longer lines are hard to read.
    most: f64,
    /// Must stand on the sheet that it was made for.
    pub bound: bool,
}

/// The widths of a block's columns in one place.
#[derive(Clone, Debug)]
pub(super) struct Widths {
    columns: Vec<f64>,
    pub total: f64,
}

impl Block {
    /// From a table.
    pub fn table(t: &Table) -> Block {
        let mut rows: Vec<Row> = Vec::with_capacity(t.rows.len());
        for (i, cells) in t.rows.iter().enumerate() {
            rows.push(Row {
                cells: cells
                    .iter()
                    .map(|c| Cell::Words(super::lettering::brief(c, 240)))
                    .collect(),
                strong: t.strong.contains(&i),
                key: None,
            });
        }
        Block::new(t.name, &t.title, &t.head, rows, &t.foot, true, 330.0)
    }

    /// From notes, each with its number.
    pub fn notes(
        name: &'static str,
        title: &str,
        notes: impl IntoIterator<Item = (String, String)>,
        keyed: bool,
    ) -> Block {
        let row = |(key, words): (String, String)| Row {
            cells: vec![
                Cell::Words(key.clone()),
                Cell::Words(super::lettering::capitals(&words)),
            ],
            strong: false,
            key: keyed.then_some(key),
        };
        let rows: Vec<Row> = notes.into_iter().map(row).collect();
        let mut block = Block::new(name, title, &[], rows, &[], false, 150.0);
        block.bound = keyed;
        block
    }

    pub fn new(
        name: &'static str,
        title: &str,
        head: &[String],
        rows: Vec<Row>,
        foot: &[String],
        ruled: bool,
        most: f64,
    ) -> Block {
        use super::lettering::capitals;
        let head: Vec<String> = head.iter().map(|h| capitals(h)).collect();
        let columns = rows
            .iter()
            .map(|r| r.cells.len())
            .chain([head.len()])
            .max()
            .unwrap_or(0);
        let mut natural = vec![0.0f64; columns];
        let mut least = vec![0.0f64; columns];
        let mut right = vec![!rows.is_empty(); columns];
        let mut words = |c: usize, text: &str, hand: Hand| {
            natural[c] = natural[c].max(hand.wide(text));
            for w in text.split_whitespace() {
                least[c] = least[c].max(hand.wide(w));
            }
        };
        for (c, h) in head.iter().enumerate() {
            words(c, h, Hand::STRONG);
        }
        for row in &rows {
            let hand = if row.strong { Hand::STRONG } else { Hand::BODY };
            for (c, cell) in row.cells.iter().enumerate() {
                match cell {
                    Cell::Words(text) => {
                        words(c, text, hand);
                        right[c] &= text.is_empty() || is_figure(text);
                    }
                    Cell::Drawing(..) => right[c] = false,
                }
            }
        }
        for row in &rows {
            for (c, cell) in row.cells.iter().enumerate() {
                if let Cell::Drawing(_, w, _) = cell {
                    natural[c] = natural[c].max(*w);
                    least[c] = least[c].max(*w);
                }
            }
        }
        Block {
            name,
            title: capitals(title),
            head,
            rows,
            foot: foot.iter().map(|f| capitals(f)).collect(),
            right,
            natural,
            least,
            ruled,
            most,
            bound: false,
        }
    }

    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// How wide it would like to stand.
    pub fn wish(&self) -> f64 {
        let columns: f64 = self.natural.iter().sum::<f64>() + self.gaps();
        columns.max(Hand::HEADING.wide(&self.title)).min(self.most)
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
        if Hand::HEADING.wide(&self.title) > width + 1e-6 && self.least.len() > 1 {
            return None;
        }
        // The widest columns give way first, none below its longest word.
        let room = width - self.gaps();
        let mut columns = self.natural.clone();
        let mut over = columns.iter().sum::<f64>() - room;
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
        if over > 1e-6 {
            return None;
        }
        let total = columns.iter().sum::<f64>() + self.gaps();
        Some(Widths {
            columns,
            total: total.max(Hand::HEADING.wide(&self.title)),
        })
    }

    /// Column widths within a width, words broken where nothing else helps.
    pub fn squeezed(&self, width: f64) -> Widths {
        let mut hard = self.clone();
        let even = (width - self.gaps()) / self.least.len().max(1) as f64;
        for w in &mut hard.least {
            *w = w.min(even.max(3.0));
        }
        hard.title.clear();
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

    /// How many rows, counted from one, fit into a height, title and head repeated; and how high
    /// they stand. The foot goes with the last row.
    pub fn take(&self, at: &Widths, from: usize, height: f64) -> (usize, f64) {
        let mut used = TITLE + self.head_height(at);
        let mut to = from;
        while let Some(row) = self.rows.get(to) {
            let mut more = self.row_height(row, at);
            if to + 1 == self.rows.len() {
                more += self.foot_height(at);
            }
            if used + more > height + 1e-6 {
                break;
            }
            used += more;
            to += 1;
        }
        if self.rows.is_empty() {
            used += self.foot_height(at);
        }
        (to, used)
    }

    fn head_height(&self, at: &Widths) -> f64 {
        if self.head.is_empty() {
            return 1.0;
        }
        let lines = self
            .head
            .iter()
            .zip(&at.columns)
            .map(|(h, w)| Hand::STRONG.wrap(h, *w).len())
            .max();
        stack(lines.unwrap_or(1)) + ABOVE + BELOW
    }

    fn foot_height(&self, at: &Widths) -> f64 {
        let lines: usize = self
            .foot
            .iter()
            .map(|f| Hand::BODY.wrap(f, at.total).len())
            .sum();
        if lines == 0 {
            0.0
        } else {
            stack(lines) + ABOVE + BELOW
        }
    }

    fn row_height(&self, row: &Row, at: &Widths) -> f64 {
        let hand = if row.strong { Hand::STRONG } else { Hand::BODY };
        let height = |(cell, width): (&Cell, &f64)| match cell {
            Cell::Words(text) => stack(hand.wrap(text, *width + 0.01).len()),
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

    /// Sets rows `from..to` with the top left corner at a point.
    pub fn set(&self, at: &Widths, (from, to): (usize, usize), o: Point, id: String) -> Vec<Item> {
        let mut panel = Item {
            role: Role::Panel,
            id,
            data: vec![("panel", self.name.to_owned())],
            ..Item::default()
        };
        let mut notes = Vec::new();
        let (x0, x1) = (o.x, o.x + at.total);
        let title = if from == 0 {
            self.title.clone()
        } else {
            format!("{} (CONTINUED)", self.title)
        };
        let title_hand = fitting_hand(&title, at.total);
        panel
            .texts
            .push(title_hand.line(title, Point::new(x0, o.y + HEADING), Anchor::Start));
        let mut y = o.y + TITLE;
        panel
            .shapes
            .push(rule((x0, y - 1.0), (x1, y - 1.0), HEAVY, Grey::BLACK));
        if !self.head.is_empty() {
            let top = y + ABOVE - 1.0;
            for (c, h) in self.head.iter().enumerate() {
                let lines = Hand::STRONG.wrap(h, at.columns[c]);
                self.words(&mut panel, at, c, &lines, (x0, top), Hand::STRONG);
            }
            y += self.head_height(at);
            panel
                .shapes
                .push(rule((x0, y - 0.8), (x1, y - 0.8), PLAIN, Grey::BLACK));
        } else {
            y += 1.0;
        }
        for (i, row) in self.rows.iter().enumerate().take(to).skip(from) {
            let high = self.row_height(row, at);
            if row.strong && i > from {
                panel
                    .shapes
                    .push(rule((x0, y), (x1, y), PLAIN, Grey::BLACK));
            } else if self.ruled && i > from {
                panel.shapes.push(rule((x0, y), (x1, y), THIN, SOFT));
            }
            match &row.key {
                // A keyed note is an item of its own, so that a reader finds it by its key.
                Some(key) => {
                    let mut note = Item {
                        role: Role::Note,
                        data: vec![("note", key.clone())],
                        ..Item::default()
                    };
                    self.row(&mut note, at, row, (x0, y), high);
                    notes.push(note);
                }
                None => self.row(&mut panel, at, row, (x0, y), high),
            }
            y += high;
        }
        panel
            .shapes
            .push(rule((x0, y), (x1, y), PLAIN, Grey::BLACK));
        if to == self.rows.len() {
            let mut base = y + ABOVE + BODY;
            for line in self.foot.iter().flat_map(|f| Hand::BODY.wrap(f, at.total)) {
                panel
                    .texts
                    .push(Hand::BODY.line(line, Point::new(x0, base), Anchor::Start));
                base += PITCH;
            }
        }
        let mut items = vec![panel];
        items.extend(notes);
        items
    }

    fn row(&self, item: &mut Item, at: &Widths, row: &Row, (x0, y): (f64, f64), high: f64) {
        let hand = if row.strong { Hand::STRONG } else { Hand::BODY };
        let drawn = row.cells.iter().any(|c| matches!(c, Cell::Drawing(..)));
        for (c, cell) in row.cells.iter().enumerate() {
            match cell {
                Cell::Words(text) => {
                    let lines = hand.wrap(text, at.columns[c] + 0.01);
                    // Beside a drawing, words stand in the middle of the row.
                    let top = if drawn {
                        y + (high - stack(lines.len())) / 2.0
                    } else {
                        y + if self.ruled { ABOVE } else { ABOVE - 0.5 }
                    };
                    self.words(item, at, c, &lines, (x0, top), hand);
                }
                Cell::Drawing(shapes, ..) => {
                    let middle = Vec2::new(x0 + at.x(c) + at.columns[c] / 2.0, y + high / 2.0);
                    for s in shapes {
                        let path = Affine::translate(middle) * s.path.clone();
                        item.shapes.push(Shape { path, ..s.clone() });
                    }
                }
            }
        }
    }

    fn words(
        &self,
        item: &mut Item,
        at: &Widths,
        c: usize,
        lines: &[String],
        (x0, top): (f64, f64),
        hand: Hand,
    ) {
        let (x, anchor) = if self.right[c] {
            (x0 + at.x(c) + at.columns[c], Anchor::End)
        } else {
            (x0 + at.x(c), Anchor::Start)
        };
        for (i, line) in lines.iter().enumerate().filter(|(_, l)| !l.is_empty()) {
            let base = top + BODY + PITCH * i as f64;
            item.texts
                .push(hand.line(line, Point::new(x, base), anchor));
        }
    }
}

impl Widths {
    /// Left edge of a column.
    fn x(&self, column: usize) -> f64 {
        self.columns.iter().take(column).map(|w| w + GAP).sum()
    }
}

/// Height of so many lines, capitals of the first to baseline of the last.
fn stack(lines: usize) -> f64 {
    BODY + PITCH * lines.saturating_sub(1) as f64
}

/// The title's hand, made smaller where `(CONTINUED)` would make it too wide.
fn fitting_hand(title: &str, width: f64) -> Hand {
    if Hand::HEADING.wide(title) <= width {
        Hand::HEADING
    } else {
        Hand::STRONG
    }
}

/// Whether a cell is a figure, so that its column is set to the right.
fn is_figure(text: &str) -> bool {
    let text = text.strip_prefix("DN ").unwrap_or(text);
    text == "—"
        || text.starts_with(|c: char| c.is_ascii_digit() || "+-½¼¾⅛⅜⅝⅞".contains(c))
            && text
                .chars()
                .all(|c| c.is_ascii_digit() || "+-½¼¾⅛⅜⅝⅞′″/.,% mft".contains(c))
}
