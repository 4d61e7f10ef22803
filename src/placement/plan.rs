//! Places a drawing on paper: the scale of lengths is chosen so that it fills its field.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use kurbo::{Rect, Size, Vec2};

use super::assemble::Placement;
use super::bands::Bands;
use super::columns::Base;
use super::divide::{self, Division};
use super::done::Done;
use super::figures::Figures;
use super::grow::Kept;
use super::heights::{Heights, Step};
use super::lengths::Held;
use super::part::{Gap, Part};
use super::scale::Scale;
use super::share::Share;
use super::shows::Shows;
use super::stage::Stage;
use super::trunk::TRUE;
use super::view::{Building, Dress, Left, View};
use crate::at_once;
use crate::captions::{Caption, Captions};
use crate::job::{FloorIx, Job};
use crate::network::{Network, PieceIx};
use crate::projection::Corner;

/// A placed drawing and how it stands on its sheet.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The drawing.
    pub placement: Placement,
    /// Where the drawing's own origin stands on the sheet.
    pub origin: kurbo::Vec2,
    /// Whether it fits the field.
    pub fits: bool,
    /// What it shows.
    pub shows: Shows,
    /// The words of marks that stand for several floors, by the first of these.
    pub gaps: BTreeMap<FloorIx, Arc<Caption>>,
}

/// A drawing, or a part of one, lettered at one height, ready to be placed on any paper.
pub struct Placer<'a> {
    view: Arc<View<'a>>,
    part: Arc<Part>,
    captions: Captions,
    kept: Kept,
    done: Arc<Done>,
    /// Whether it is far too large for any paper.
    hopeless: bool,
}

/// No sheet holds a drawing that leaves less of the field than this to each fixture, mm².
const CRAMMED: f64 = 2_000.0;

impl<'a> Placer<'a> {
    /// Chooses the corner. `field` is the paper that is tried first: its shape is what counts.
    /// `largest` is the largest field that the whole drawing may be placed in.
    pub fn new(
        building: Building<'a>,
        captions: &Captions,
        figures: &Figures,
        field: Rect,
        largest: Rect,
    ) -> Self {
        let net = building.net;
        let base = Arc::new(Base::of(net));
        let dress = Dress { captions, figures };
        let room = room_of(field);
        let hopeless = largest.area() < CRAMMED * net.traps.len() as f64;
        let fills = |b| fills(b, room);
        let view = Arc::new(View::best(building, &base, dress, fills, hopeless));
        let shares = match hopeless {
            true => Vec::new(),
            false => net.exits.iter().map(|&e| Share::whole(e)).collect(),
        };
        let mut placer = Placer::of(&view, &Bands::default(), dress, &shares);
        placer.hopeless = hopeless;
        placer
    }
    /// The whole drawing as it is seen from a corner, to be divided.
    pub fn from_corner(
        building: Building<'a>,
        captions: &Captions,
        figures: &Figures,
        corner: Corner,
    ) -> Self {
        let base = Arc::new(Base::of(building.net));
        let view = Arc::new(View::from(building, &base, corner));
        let dress = Dress { captions, figures };
        Placer::of(&view, &Bands::default(), dress, &[])
    }
    /// What some shares make up.
    fn of(view: &Arc<View<'a>>, bands: &Bands, dress: Dress<'_>, shares: &[Share]) -> Self {
        let part = view.part(dress, bands, shares);
        Placer {
            view: Arc::clone(view),
            captions: part.captions.clone(),
            done: view.done(&part, &part.captions),
            part: Arc::new(part),
            kept: Kept::default(),
            hopeless: false,
        }
    }
    fn stage(&self) -> Stage<'_> {
        self.view.stage(&self.part, &self.captions, &self.kept)
    }
    /// The same drawing with other words, from the same corner.
    pub fn lettered(&self, captions: &Captions) -> Self {
        let captions = self.part.lettered(self.view.job, captions);
        Placer {
            view: Arc::clone(&self.view),
            part: Arc::clone(&self.part),
            done: self.view.done(&self.part, &captions),
            captions,
            kept: Kept::default(),
            hopeless: self.hopeless,
        }
    }
    /// The pipes that are drawn.
    pub fn pieces(&self) -> BTreeSet<PieceIx> {
        let pipes = self.least().0.pipes.iter();
        pipes.filter_map(|p| self.part.piece(p.piece)).collect()
    }
    /// Whether the drawing takes no more than this share of a field each way.
    pub fn fits(&self, field: Rect, share: f64) -> bool {
        !self.hopeless && fills(self.least().0.bounds, room_of(field)) <= share
    }
    /// The least drawing, and the heights of its floors.
    fn least(&self) -> &(Placement, Heights) {
        self.done.least.get_or_init(|| self.stage().least())
    }
    /// Where the drawing is cut by floors so that each band is low enough for a field.
    pub fn bands(&self, captions: &Captions, figures: &Figures, field: Rect, more: usize) -> Bands {
        let dress = Dress { captions, figures };
        divide::bands(&self.view, dress, room_of(field), more)
    }
    /// Where the drawing is cut so that every floor is a band of its own.
    pub fn by_floor(&self) -> Bands {
        divide::by_floor(&self.view)
    }
    /// Pipes at which the drawing may be cut, to go on on another sheet.
    pub fn cuttable(&self, bands: &Bands) -> Vec<PieceIx> {
        divide::cuttable(&self.view, bands)
    }
    /// Divides the drawing over sheets with this field. The words and symbols hold a mark for
    /// every pipe that may be cut.
    pub fn divide(
        &self,
        captions: &Captions,
        figures: &Figures,
        field: Rect,
        bands: Bands,
    ) -> Division {
        let dress = Dress { captions, figures };
        divide::divide(&self.view, dress, room_of(field) * ALMOST, bands)
    }
    /// Sets sheets of one group together wherever a field holds several; those of no group come last.
    pub fn pack(
        &self,
        captions: &Captions,
        figures: &Figures,
        field: Rect,
        division: &Division,
        group: &[Option<usize>],
    ) -> Division {
        let dress = Dress { captions, figures };
        divide::pack(&self.view, dress, room_of(field) * ALMOST, division, group)
    }
    /// The same where an earlier drawing was cut, by the names of the lowest floors of its bands.
    pub fn bands_at(&self, names: &[String]) -> Bands {
        let floors = &self.view.job.floors;
        let named = |name: &String| floors.iter().position(|f| f.name == *name).map(FloorIx);
        let mut bounds: Vec<FloorIx> = names.iter().filter_map(named).collect();
        bounds.sort();
        bounds.dedup();
        Bands::of(self.view.net, &self.view.base, bounds)
    }
    /// The steps in which its heights go up.
    pub fn step(&self) -> Step {
        self.view.step
    }
    /// The corner that it is seen from.
    pub fn corner(&self) -> Corner {
        self.view.corner
    }
    /// Does something with each sheet of a division by itself, with its own words and symbols.
    pub fn each<T: Send>(
        &self,
        captions: &Captions,
        figures: &Figures,
        division: &Division,
        work: impl Fn(&Placer<'_>) -> T + Sync,
    ) -> Vec<T> {
        let (view, bands) = (&self.view, &division.bands);
        let dress = Dress { captions, figures };
        at_once::each(&division.sheets, |shares| {
            work(&Placer::of(view, bands, dress, shares))
        })
    }
    /// The largest of some scales, largest first, at which the drawing fits a field.
    pub fn scale_for(&self, field: Rect, scales: &[Scale]) -> Option<Scale> {
        let fits = |s: &Scale| {
            let stage = self.stage();
            let mut ground = stage.ground(s.ratio);
            ground.module = TRUE;
            fills(stage.placed(&mut ground).bounds, room_of(field)) <= 1.0
        };
        scales.iter().find(|s| fits(s)).copied()
    }
    /// Places the drawing in a field, at a scale.
    pub fn plan_at(&self, field: Rect, scale: Scale) -> Plan {
        let placed = || {
            let stage = self.stage();
            let mut ground = stage.ground(scale.ratio);
            ground.module = TRUE;
            stage.placed(&mut ground)
        };
        let settled = || self.settled(field, placed);
        let plan = self.done.plan(field, Some(scale.ratio), settled);
        self.set(plan, field)
    }
    /// Places the drawing in a field, lengths in proportion as far as the field allows.
    pub fn plan(&self, field: Rect) -> Plan {
        let filled = || self.settled(field, || self.filling(field));
        self.set(self.done.plan(field, None, filled), field)
    }
    /// Places the drawing in a field as an earlier one was placed, as far as that still serves: at
    /// its scale, its floors as high, its drains as long, else as long as they come out.
    pub fn plan_like(&self, field: Rect) -> Option<Plan> {
        let held = Held::of(self.view.earlier?, &self.part, self.view.job)?;
        let room = room_of(field.inflate(NEARER, NEARER));
        let tried = |held: &Held, step: Step| {
            let stage = Stage {
                held: Some(held),
                step,
                ..self.stage()
            };
            let placed = stage.placed(&mut stage.ground(held.scale));
            (fills(placed.bounds, room) <= 1.0).then_some(placed)
        };
        let same = tried(&held, self.view.step);
        let same = same.or_else(|| tried(&held.heights_alone(), self.view.step));
        // As little smaller as it takes: shorter, which moves least on each stack, or lower, or both;
        // if it is of use at all.
        let smaller = || {
            let by = |i: i32| 1.0 - SMALLER_BY * f64::from(i);
            tried(&held.times(by(SMALLER), (true, true)), Step::FINE)?;
            let ways = [(false, true), (true, false), (true, true)];
            let mut all = (1..=SMALLER).flat_map(|i| ways.map(|way| held.times(by(i), way)));
            all.find_map(|held| tried(&held, Step::FINE))
        };
        let like = same.or_else(smaller)?;
        let mut plan = self.set(self.settled(field, || like.clone()), field);
        plan.origin = within(plan.placement.bounds, held.origin, field);
        plan.fits.then_some(plan)
    }
    /// The drawing at the largest scale of lengths that a field allows, of scales so far apart that
    /// a small edit seldom changes it.
    fn filling(&self, field: Rect) -> Placement {
        let room = room_of(field);
        let (least, heights) = self.least();
        let mut placement = least.clone();
        if fills(least.bounds, room) > 1.0 {
            return placement;
        }
        let stage = self.stage();
        // The smallest of them is as good as none: it is known to fit.
        let (mut fit, mut too_large) = (SCALES, -1);
        while fit - too_large > 1 {
            // Most drawings fit at one of the largest: these are asked first, the others by halving.
            let step = match fit == SCALES && too_large < LARGE_SCALES {
                true => (too_large * 2 + 1).max(1),
                false => (fit + too_large) / 2,
            };
            let mut ground = stage.ground(LARGEST_SCALE / SCALE_STEP.powi(step));
            ground.heights.at_least(heights);
            let p = stage.placed(&mut ground);
            if fills(p.bounds, room) <= 1.0 {
                fit = step;
                placement = p;
            } else {
                too_large = step;
            }
        }
        placement
    }
    /// A placement with every label where it touches nothing. Labels that find their places last
    /// keep within the field, if all else does.
    fn settled(&self, field: Rect, placed: impl Fn() -> Placement) -> Placement {
        let settle = |placement: &mut Placement, within: Option<Rect>| {
            let part = &self.part;
            super::settle::settle(placement, &part.net, &self.captions, &part.figures, within);
        };
        let mut placement = placed();
        let spare = field.size() - placement.bounds.size();
        settle(&mut placement, None);
        if spare.width < 0.0 || spare.height < 0.0 || fits(placement.bounds, field) {
            return placement;
        }
        let mut closer = placed();
        let within = closer.bounds.inflate(spare.width / 2.0, spare.height / 2.0);
        settle(&mut closer, Some(within));
        match fits(closer.bounds, field) {
            true => closer,
            false => placement,
        }
    }
    /// Sets a placement in the middle of a field.
    fn set(&self, placement: Placement, field: Rect) -> Plan {
        let part = &self.part;
        let b = placement.bounds;
        let words = |gap: &Gap| {
            let own = gap.first.0.saturating_sub(part.first_floor);
            Some((gap.first, Arc::clone(self.captions.floors.get(own)?)))
        };
        Plan {
            origin: field.center() - b.center(),
            fits: fits(b, field),
            placement: part.named(placement),
            shows: Shows::of(part),
            gaps: part.gaps.iter().filter_map(words).collect(),
        }
    }
}

/// Places a drawing in a field.
pub fn plan(job: &Job, net: &Network, captions: &Captions, figures: &Figures, field: Rect) -> Plan {
    let whole = Rect::from_origin_size((0.0, 0.0), (f64::INFINITY, 1.0));
    let left = Left::default();
    let building = Building {
        job,
        net,
        left: &left,
        step: Step::default(),
        earlier: None,
    };
    Placer::new(building, captions, figures, field, whole).plan(field)
}

/// A part must leave a little of its sheet free: labels that settle later may stand out of it.
const ALMOST: f64 = 0.97;
/// Lengths are drawn at no larger scale than 1 to 20.
const LARGEST_SCALE: f64 = 1.0 / 20.0;
/// Each scale of lengths is so many times the next smaller one.
const SCALE_STEP: f64 = 1.2;
/// So many of them are tried.
const SCALES: i32 = 31;
/// The first of them, one of which suits most drawings.
const LARGE_SCALES: i32 = 7;

/// What is kept may come so much nearer to the edge of its field than a new drawing, mm.
const NEARER: f64 = 2.0;
/// An earlier drawing is made smaller by so much at a time, where it would not fit any more.
const SMALLER_BY: f64 = 0.01;
/// So many times at the most.
const SMALLER: i32 = 20;

/// The origin nearest to one at which a box lies in a field.
fn within(b: Rect, origin: Vec2, field: Rect) -> Vec2 {
    let along = |at: f64, (b0, b1): (f64, f64), (f0, f1): (f64, f64)| at.min(f1 - b1).max(f0 - b0);
    Vec2::new(
        along(origin.x, (b.x0, b.x1), (field.x0, field.x1)),
        along(origin.y, (b.y0, b.y1), (field.y0, field.y1)),
    )
}

/// Whether a box is no larger than a field.
fn fits(b: Rect, field: Rect) -> bool {
    b.width() <= field.width() && b.height() <= field.height()
}

/// What of a field the drawing may take: all but a little margin.
fn room_of(field: Rect) -> Size {
    Size::new(field.width() - 8.0, field.height() - 8.0)
}

/// How much of a room a drawing takes, the more of both ways.
pub(super) fn fills(b: Rect, room: Size) -> f64 {
    (b.width() / room.width).max(b.height() / room.height)
}
