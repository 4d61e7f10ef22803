//! Draws rows of a block at their place.

use kurbo::{Affine, Point, Vec2};

use super::block::{ABOVE, Block, Cell, Row, TITLE, Widths, stack};
use super::lettering::{BODY, HEADING, HEAVY, Hand, PITCH, PLAIN, SOFT, THIN, rule};
use super::{Anchor, Grey, Item, Role, Shape};

impl Block {
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
            self.title.text.clone()
        } else {
            format!("{} (CONTINUED)", self.title.text)
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
                let lines = h.lines(at.columns[c]);
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
            } else if self.ruled && i > from && !row.onward {
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
            for line in self.foot.iter().flat_map(|f| f.lines(at.total)) {
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
        let drawn = row.cells.iter().any(|c| matches!(c, Cell::Drawing(..)));
        for (c, cell) in row.cells.iter().enumerate() {
            match cell {
                Cell::Words(words) => {
                    let lines = words.lines(at.columns[c]);
                    // Beside a drawing, words stand in the middle of the row.
                    let top = if drawn {
                        y + (high - stack(lines.len())) / 2.0
                    } else {
                        y + if self.ruled { ABOVE } else { ABOVE - 0.5 }
                    };
                    self.words(item, at, c, &lines, (x0, top), words.hand);
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

/// The title's hand, made smaller where `(CONTINUED)` would make it too wide.
fn fitting_hand(title: &str, width: f64) -> Hand {
    if Hand::HEADING.wide(title) <= width {
        Hand::HEADING
    } else {
        Hand::STRONG
    }
}
