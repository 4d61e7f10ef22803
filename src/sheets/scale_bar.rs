//! The graphic scale of a plan or section, which holds on a copy of any size.

use kurbo::{Point, Rect};

use super::lettering::{BODY, Hand, PLAIN, outline};
use super::title_block::PAD;
use super::{Anchor, Grey, Item};
use crate::placement::Scale;
use crate::units::{Length, Printer, UnitSystem};

/// Height of the bar, mm.
const HIGH: f64 = 1.8;
/// Lengths of the whole bar, largest first.
const FEET: [f64; 13] = [
    800.0, 400.0, 200.0, 100.0, 80.0, 40.0, 20.0, 16.0, 10.0, 8.0, 4.0, 2.0, 1.0,
];
const METRES: [f64; 11] = [
    200.0, 100.0, 50.0, 40.0, 20.0, 10.0, 4.0, 2.0, 1.0, 0.5, 0.2,
];

/// Draws it in a cell of the title strip, as long as the cell holds.
pub(super) fn draw(item: &mut Item, cell: Rect, scale: Scale, units: UnitSystem) {
    let print = Printer { units };
    let lengths: Vec<Length> = match units {
        UnitSystem::Feet => FEET.map(Length::from_feet).to_vec(),
        UnitSystem::Metric => METRES.map(Length::from_m).to_vec(),
    };
    let at = Point::new(cell.x0 + PAD, cell.y0 + PAD + BODY);
    let caption = Hand::BODY.line("GRAPHIC SCALE", at, Anchor::Start);
    item.texts.push(caption);
    // The last figure stands round the bar's end.
    let room = |l: &Length| {
        l.mm() * scale.ratio + Hand::BODY.wide(&print.length(*l)) / 2.0 + 1.0 + 2.0 * PAD
            <= cell.width()
    };
    let Some(whole) = lengths.into_iter().find(room) else {
        return;
    };
    let wide = whole.mm() * scale.ratio;
    let (x0, y1) = (cell.x0 + PAD + 1.0, cell.y1 - PAD - 1.0);
    let bar = Rect::new(x0, y1 - HIGH, x0 + wide, y1);
    let mut first = outline(
        Rect {
            x1: x0 + wide / 2.0,
            ..bar
        },
        PLAIN,
    );
    first.fill = Some(Grey::BLACK);
    item.shapes.extend([first, outline(bar, PLAIN)]);
    let base = bar.y0 - 1.4;
    let mut figure = |x: f64, words: String| {
        let at = Point::new(x, base);
        item.texts.push(Hand::BODY.line(words, at, Anchor::Middle));
    };
    figure(x0, "0".to_owned());
    let half = print.length(whole * 0.5);
    let ends = (Hand::BODY.wide("0") + Hand::BODY.wide(&print.length(whole))) / 2.0;
    // The middle is said where its words keep clear of the other two.
    if wide / 2.0 > ends.max(Hand::BODY.wide(&half)) + 2.0 {
        figure(x0 + wide / 2.0, half);
    }
    figure(x0 + wide, print.length(whole));
}
