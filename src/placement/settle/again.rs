//! A long run says its words again, so that whoever follows it on paper need not go back.

use kurbo::{Point, Vec2};

use super::cells::Cells;
use super::covers;
use super::forms::Form;
use super::named::World;
use crate::captions::lettered_run;
use crate::placement::assemble::Placement;
use crate::placement::block::PlacedLabel;
use crate::placement::outline::Outline;
use crate::projection::Space;

/// After so much paper along a pipe, mm, its words are said again (`drawing-contract.md`, 5).
const EVERY: f64 = 300.0;
/// Places for them are looked for so far to either side, mm.
const WINDOW: f64 = 60.0;
/// Step along the pipe, mm.
const STEP: f64 = 10.0;

/// Letters again what has run on too far without words of its own run.
pub(super) fn letter(placement: &mut Placement, world: &World<'_>, cells: &mut Cells) {
    for pipe in 0..placement.pipes.len() {
        let piece = placement.pipes[pipe].piece;
        let run = lettered_run(world.net, piece);
        // Words that speak for this pipe: its own, else those of the rest of its run.
        let own = world.captions.pieces.get(&piece).copied();
        let speaks = |l: &PlacedLabel| match own {
            Some(caption) => l.caption == caption,
            None => {
                world.pieces.contains_key(&l.caption) && world.captions.all[l.caption].names == run
            }
        };
        let path: Vec<Space> = placement.pipes[pipe].path.clone();
        let mut said: Vec<(Point, usize)> = placement
            .labels
            .iter()
            .filter(|l| speaks(l))
            .map(|l| (middle(world, l), l.caption))
            .collect();
        for w in path.windows(2) {
            let (a, b) = (w[0].point(), w[1].point());
            let length = (b - a).hypot();
            let mut s = WINDOW;
            while s < length - WINDOW {
                let here = a.lerp(b, s / length);
                let nearest = said
                    .iter()
                    .map(|(at, caption)| ((*at - here).hypot(), *caption))
                    .min_by(|x, y| x.0.total_cmp(&y.0));
                if let Some((far, caption)) = nearest
                    && far > EVERY
                    && let Some(label) = set(placement, world, cells, caption, (w[0], w[1]), s)
                {
                    said.push((middle(world, &label), caption));
                    placement.labels.push(label);
                }
                s += STEP;
            }
        }
    }
}

/// The label set again beside a stretch of pipe, about so far along it.
fn set(
    placement: &Placement,
    world: &World<'_>,
    cells: &mut Cells,
    caption: usize,
    (a, b): (Space, Space),
    along: f64,
) -> Option<PlacedLabel> {
    let length = (b.point() - a.point()).hypot();
    let at = |s: f64| a + (b - a) * (s / length);
    let words = &world.captions.all[caption];
    let reach = WINDOW.min(along).min(length - along).max(words.width());
    let mut forms = Vec::new();
    world.along(words, at(along - reach), at(along + reach), &mut forms);
    let i = placement.labels.len();
    let here = at(along).point();
    let far = |f: &Form| (middle_of(&f.covers) - here).hypot();
    forms.sort_by(|f, g| far(f).total_cmp(&far(g)));
    let free = |f: &Form| f.covers.iter().all(|o| cells.free(o, |_| false));
    let form = forms.into_iter().find(free)?;
    super::take(&form, i, cells);
    Some(form.label(caption))
}

/// The middle of a label.
fn middle(world: &World<'_>, label: &PlacedLabel) -> Point {
    let words = &world.captions.all[label.caption];
    middle_of(&covers(words, label.at, label.slant, label.flush))
}

fn middle_of(covers: &[Outline]) -> Point {
    let sum = covers.iter().map(|o| o.bounds().center().to_vec2());
    let n = covers.len().max(1) as f64;
    (sum.fold(Vec2::ZERO, |s, c| s + c) * (1.0 / n)).to_point()
}
