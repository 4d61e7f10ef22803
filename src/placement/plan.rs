//! Places a drawing on paper: the scale of lengths is chosen so that it fills its field.

use std::sync::Arc;

use kurbo::{Rect, Size};

use super::assemble::Placement;
use super::bands::Bands;
use super::columns::Base;
use super::divide::{self, Division};
use super::done::Done;
use super::figures::Figures;
use super::grow::Kept;
use super::heights::Heights;
use super::part::Part;
use super::scale::Scale;
use super::share::Share;
use super::shows::Shows;
use super::stage::Stage;
use super::trunk::TRUE;
use super::view::{Dress, View};
use crate::at_once;
use crate::captions::Captions;
use crate::job::Job;
use crate::network::{Network, PieceIx};

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
        job: &'a Job,
        net: &'a Network,
        captions: &Captions,
        figures: &Figures,
        field: Rect,
        largest: Rect,
    ) -> Self {
        let base = Arc::new(Base::of(net));
        let dress = Dress { captions, figures };
        let room = room_of(field);
        let hopeless = largest.area() < CRAMMED * net.traps.len() as f64;
        let fills = |b| fills(b, room);
        let view = Arc::new(View::best(job, net, &base, dress, fills, hopeless));
        let shares = match hopeless {
            true => Vec::new(),
            false => net.exits.iter().map(|&e| Share::whole(e)).collect(),
        };
        let mut placer = Placer::of(&view, &Bands::default(), dress, &shares);
        placer.hopeless = hopeless;
        placer
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
        let captions = self.part.lettered(captions);
        Placer {
            view: Arc::clone(&self.view),
            part: Arc::clone(&self.part),
            done: self.view.done(&self.part, &captions),
            captions,
            kept: Kept::default(),
            hopeless: self.hopeless,
        }
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
            self.settled(stage.placed(&mut ground))
        };
        let plan = self.done.plan(field, Some(scale.ratio), placed);
        self.set(plan, field)
    }
    /// Places the drawing in a field, lengths in proportion as far as the field allows.
    pub fn plan(&self, field: Rect) -> Plan {
        let filled = || self.settled(self.filling(field));
        self.set(self.done.plan(field, None, filled), field)
    }
    /// The drawing at the largest scale of lengths that a field allows.
    fn filling(&self, field: Rect) -> Placement {
        let room = room_of(field);
        let (least, heights) = self.least();
        let mut placement = least.clone();
        let filled = |p: &Placement| fills(p.bounds, room);
        let stage = self.stage();
        let mut lo = (0.0, filled(&placement));
        let mut hi = (LARGEST_SCALE, f64::INFINITY);
        let mut at = LARGEST_SCALE;
        for _ in 0..SCALES {
            if lo.1 > 1.0 {
                break;
            }
            let mut ground = stage.ground(at);
            ground.heights.at_least(heights);
            let p = stage.placed(&mut ground);
            let share = filled(&p);
            if share <= 1.0 {
                lo = (at, share);
                placement = p;
            } else {
                hi = (at, share);
            }
            if lo.1 > FULL || hi.1.is_infinite() {
                break;
            }
            // The paper that it takes grows nearly straight with the scale.
            let t = (FULL_ENOUGH - lo.1) / (hi.1 - lo.1);
            at = lo.0 + (hi.0 - lo.0) * t.clamp(0.1, 0.9);
        }
        placement
    }
    /// A placement with every label where it touches nothing.
    fn settled(&self, mut placement: Placement) -> Placement {
        let part = &self.part;
        super::settle::settle(&mut placement, &part.net, &self.captions, &part.figures);
        placement
    }
    /// Sets a placement in the middle of a field.
    fn set(&self, placement: Placement, field: Rect) -> Plan {
        let part = &self.part;
        let b = placement.bounds;
        Plan {
            origin: field.center() - b.center(),
            fits: b.width() <= field.width() && b.height() <= field.height(),
            placement: part.named(placement),
            shows: Shows::of(part),
        }
    }
}

/// Places a drawing in a field.
pub fn plan(job: &Job, net: &Network, captions: &Captions, figures: &Figures, field: Rect) -> Plan {
    let whole = Rect::from_origin_size((0.0, 0.0), (f64::INFINITY, 1.0));
    Placer::new(job, net, captions, figures, field, whole).plan(field)
}

/// A part must leave a little of its sheet free: labels that settle later may stand out of it.
const ALMOST: f64 = 0.97;
/// Lengths are drawn at no larger scale than 1 to 20.
const LARGEST_SCALE: f64 = 1.0 / 20.0;
/// Steps of the search for the scale.
const SCALES: usize = 4;
/// A drawing that takes more than this share of its room fills it.
const FULL: f64 = 0.96;
/// The share that the search aims at.
const FULL_ENOUGH: f64 = 0.985;

/// What of a field the drawing may take: all but a little margin.
fn room_of(field: Rect) -> Size {
    Size::new(field.width() - 8.0, field.height() - 8.0)
}

/// How much of a room a drawing takes, the more of both ways.
pub(super) fn fills(b: Rect, room: Size) -> f64 {
    (b.width() / room.width).max(b.height() / room.height)
}
