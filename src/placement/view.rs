//! The whole building from one corner: what all parts of a drawing are made of.

use std::collections::BTreeMap;
use std::sync::Arc;

use kurbo::Rect;

use super::bands::Bands;
use super::columns::Base;
use super::done::{Done, Memo};
use super::figures::Figures;
use super::grow::Kept;
use super::heights::{Heights, Step};
use super::key::Key;
use super::part::{Part, Whole};
use super::share::Share;
use super::stage::Stage;
use super::ways::{self, Ways};
use crate::at_once;
use crate::captions::Captions;
use crate::earlier::Earlier;
use crate::job::{FloorIx, Job};
use crate::network::{JointIx, Network, PieceIx, RunIx};
use crate::pins::Pins;
use crate::projection::Corner;
use crate::typical::Range;

/// What a drawing whose building drain leads toward the viewer costs, in sheets.
const TOWARD: f64 = 0.4;
/// A corner from which a drawing has no fewer crossings must take so much less of its sheet.
const WORTH_A_TURN: f64 = 0.01;
/// What a crossing costs, in sheets.
const CROSSING: f64 = 0.05;
/// A drawing takes at least this share, from any corner, of what it takes from another.
const SMALLEST: f64 = 0.6;

/// What is left out of a drawing because something like it is drawn.
#[derive(Clone, Debug, Default)]
pub struct Left {
    /// Lowest pipes of stacks that others are drawn for, where the drawing is divided; each with
    /// that of the other.
    pub feet: BTreeMap<PieceIx, PieceIx>,
    /// Floors left out of each stack, lowest first.
    pub storeys: BTreeMap<RunIx, Vec<Range>>,
}

impl Left {
    /// Whether nothing is.
    pub fn is_empty(&self) -> bool {
        self.feet.is_empty() && self.storeys.is_empty()
    }
}

/// What is drawn.
#[derive(Clone, Copy)]
pub struct Building<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its network.
    pub net: &'a Network,
    /// What is left out of it.
    pub left: &'a Left,
    /// Steps in which heights go up.
    pub step: Step,
    /// What an earlier drawing was like, if this one is to be like it.
    pub earlier: Option<&'a Earlier>,
}

/// The whole building from one corner.
pub struct View<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its network.
    pub net: &'a Network,
    /// What is looked up in it once.
    pub base: Arc<Base>,
    /// The corner.
    pub corner: Corner,
    /// The ways of its drains from there.
    pub ways: Ways,
    /// What the job pins of it.
    pub pins: Pins,
    /// What is left out of it.
    pub left: &'a Left,
    /// Steps in which its heights go up.
    pub step: Step,
    /// What an earlier drawing was like, if this one is to be like it.
    pub earlier: Option<&'a Earlier>,
    /// What of it is placed already.
    memo: Memo,
}

/// Words and symbols of a drawing.
#[derive(Clone, Copy)]
pub struct Dress<'a> {
    /// Its words.
    pub captions: &'a Captions,
    /// Its symbols.
    pub figures: &'a Figures,
}

impl<'a> View<'a> {
    /// The view from a corner.
    pub fn from(building: Building<'a>, base: &Arc<Base>, corner: Corner) -> Self {
        let Building {
            job,
            net,
            left,
            step,
            earlier,
        } = building;
        let pins = Pins::of(job, net);
        View {
            job,
            net,
            base: Arc::clone(base),
            corner,
            ways: ways::choose(job, net, base, &pins, corner),
            pins,
            left,
            step,
            earlier,
            memo: Memo::default(),
        }
    }

    /// A part with some words, ready to be grown.
    pub fn stage<'b>(
        &'b self,
        part: &'b Part,
        captions: &'b Captions,
        kept: &'b Kept,
    ) -> Stage<'b> {
        Stage {
            job: self.job,
            part,
            captions,
            corner: self.corner,
            kept,
            step: self.step,
            held: None,
            pins: &self.pins,
        }
    }

    /// The box round a part, as small as it goes, and the heights of its floors.
    pub fn grown(&self, part: &Part) -> (Rect, Heights) {
        let kept = Kept::default();
        let stage = self.stage(part, &part.captions, &kept);
        let mut ground = stage.ground(0.0);
        let block = stage.grow(&mut ground);
        (block.bounds().unwrap_or_default(), ground.heights)
    }

    /// The box round a part, as small as it goes; of parts that are drawn alike one is grown.
    pub fn bounds(&self, part: &Part) -> Rect {
        let done = self.done(part, &part.captions);
        *done.bounds.get_or_init(|| self.grown(part).0)
    }

    /// What is placed already of the parts that are drawn as this one with these words.
    pub fn done(&self, part: &Part, captions: &Captions) -> Arc<Done> {
        let floors = &self.job.floors;
        let level = |f: FloorIx| floors.get(part.floor(f).0).map_or(0.0, |f| f.level.mm());
        let lowest = part.floors.first().map_or(0.0, |f| level(*f));
        let levels = part.floors.iter().map(|f| level(*f) - lowest);
        self.memo.of(Key::of(part, captions, &self.pins, levels))
    }

    /// The part that some shares of it make up.
    pub fn part(&self, dress: Dress<'_>, bands: &Bands, shares: &[Share]) -> Part {
        Part::of(&self.whole(dress, bands), shares)
    }

    /// The joints of the part that some shares of it make up.
    pub fn joints(&self, dress: Dress<'_>, bands: &Bands, shares: &[Share]) -> Vec<JointIx> {
        Part::joints_of(&self.whole(dress, bands), shares)
    }

    fn whole<'b>(&'b self, dress: Dress<'b>, bands: &'b Bands) -> Whole<'b> {
        Whole {
            net: self.net,
            base: &self.base,
            ways: &self.ways,
            captions: dress.captions,
            figures: dress.figures,
            bands,
            left: self.left,
            job: self.job,
        }
    }

    /// All of it as one part.
    pub fn all(&self, dress: Dress<'_>) -> Part {
        let exits = self.net.exits.iter();
        let shares: Vec<Share> = exits.map(|&e| Share::whole(e)).collect();
        self.part(dress, &Bands::default(), &shares)
    }

    /// The view with the fewest crossings on the least paper. `fills` says how much of its sheet
    /// a drawing takes; a drawing that is `hopeless` is too large to be tried whole.
    pub fn best(
        building: Building<'a>,
        base: &Arc<Base>,
        dress: Dress<'_>,
        fills: impl Fn(Rect) -> f64 + Sync,
        hopeless: bool,
    ) -> Self {
        let job = building.job;
        let stated = job.drawing.from.as_ref();
        if let Some(corner) = stated.and_then(|h| Corner::from_heading(h.value)) {
            return View::from(building, base, corner);
        }
        if let Some(earlier) = building.earlier {
            return View::from(building, base, earlier.corner);
        }
        // Seen from the downstream end: the building drain leads away from the viewer.
        let toward = |corner: Corner| match leads_toward_viewer(job, corner) {
            true => TOWARD,
            false => 0.0,
        };
        let kept = Kept::default();
        let mut best: Option<(f64, f64, f64, View<'a>)> = None;
        for leading in [false, true] {
            // From no corner does a drawing take less than so much of what it takes from another.
            let worth = |c: &Corner| {
                let least = toward(*c) + best.as_ref().map_or(0.0, |b| b.1 * SMALLEST);
                best.as_ref().is_none_or(|b| least < b.0)
            };
            let corners = Corner::ALL.into_iter();
            let corners = corners.filter(|c| leads_toward_viewer(job, *c) == leading);
            let corners: Vec<Corner> = corners.filter(worth).collect();
            let seen = |c: Corner, kept: &Kept| {
                let view = View::from(building, base, c);
                if hopeless {
                    let takes = view.leads_toward();
                    return (takes, takes, 0.0, view);
                }
                let part = view.all(dress);
                let done = view.done(&part, &part.captions);
                let least = || view.stage(&part, &part.captions, kept).least();
                let (placement, _) = done.least.get_or_init(least);
                let takes = fills(placement.bounds);
                let crossings = crate::linework::crossings(placement) as f64;
                (crossings * CROSSING + takes, takes, crossings, view)
            };
            // A house is seen from one corner after the other, and words stand beside a symbol as
            // they did before; a building from several at once.
            let views: Vec<_> = match building.net.graph.edge_count() < at_once::A_BUILDING {
                true => (corners.iter().map(|&c| seen(c, &kept.with_places()))).collect(),
                false => at_once::each(&corners, |&c| seen(c, &Kept::default())),
            };
            for (cost, takes, crossings, view) in views {
                let cost = cost + toward(view.corner);
                // Seen from two corners a drawing often takes about as much: the first stays, or each
                // edit would turn it round.
                let better = |b: &(f64, f64, f64, View<'_>)| {
                    let by = if crossings < b.2 { 1e-9 } else { WORTH_A_TURN };
                    cost < b.0 - by
                };
                if best.as_ref().is_none_or(better) {
                    best = Some((cost, takes, crossings, view));
                }
            }
        }
        match best {
            Some((_, _, _, view)) => view,
            None => View::from(building, base, Corner::SouthWest),
        }
    }

    /// The share of its drains' legs that lead toward the viewer, where they may cross others.
    fn leads_toward(&self) -> f64 {
        let level = self.ways.values().filter(|w| !w.way.is_vertical());
        let (mut all, mut toward) = (0usize, 0usize);
        for w in level {
            all += 1;
            toward += usize::from(!w.way.recedes());
        }
        toward as f64 / all.max(1) as f64
    }
}

/// Whether the building drain comes toward the viewer from the exit inward.
fn leads_toward_viewer(job: &Job, corner: Corner) -> bool {
    let leaves = job.exits.first().and_then(|e| e.heading.as_ref());
    leaves.is_some_and(|h| !corner.way(h.value.reversed()).recedes())
}
