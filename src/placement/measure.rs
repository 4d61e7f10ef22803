//! How much paper the stacks of a building take, storey by storey, before it is known where the
//! drawing is cut. Each stack is grown a few floors at a time; what is alike is grown once.

use std::collections::{BTreeMap, BTreeSet};

use super::bands::Bands;
use super::divide::cuts_above;
use super::heights::Heights;
use super::share::{Root, Share};
use super::view::{Dress, View};
use crate::at_once;
use crate::job::FloorIx;
use crate::network::{JointIx, JointKind, PieceIx, RunIx};
use crate::projection::Way;

/// So many floors are grown at a time: words between two floors count, and heights settle fast.
const FLOORS: usize = 3;
/// A stack of no more floors is grown whole before it is said to be too high.
const FEW: usize = 12;

/// What the stacks of a building take.
pub struct Measured {
    /// The lowest floor that drains into a stack.
    pub lowest: FloorIx,
    /// Each storey that has something, from the branches of its floor to those of the next, in mm
    /// of paper: the most of all stacks.
    pub storeys: BTreeMap<FloorIx, f64>,
    /// What the foot of a band takes below its lowest branches, mm.
    pub foot: f64,
    /// What branches lean and marks stand beyond the storeys, mm.
    pub lean: f64,
}

/// What two parts of stacks have in common that take the same paper: the height of what enters
/// them, counted in floors, how much it is, and the way it leads.
type Likeness = Vec<(usize, usize, Vec<(usize, Option<Way>)>)>;

impl Measured {
    /// Measures the stacks of a view, or some of them; none where nothing drains into a stack.
    pub fn of(
        view: &View<'_>,
        dress: Dress<'_>,
        only: Option<&BTreeSet<RunIx>>,
    ) -> Option<Measured> {
        let net = view.net;
        let stacks = (0..net.runs.len()).filter(|r| net.is_stack(RunIx(*r)));
        let joints = stacks.flat_map(|r| net.runs[r].pieces.iter().filter_map(|p| net.from(*p)));
        let lowest = joints.filter_map(|j| view.base.tree.floor(j)).min()?;
        let floors = view.job.floors.iter().enumerate();
        let own = floors.filter(|(i, f)| *i >= lowest.0 && f.part_of.is_none());
        let own: Vec<FloorIx> = own.map(|(i, _)| FloorIx(i)).collect();
        let bounds: Vec<FloorIx> = own.iter().copied().step_by(FLOORS).collect();
        let apart = Bands::of(net, &view.base, bounds.clone());
        let ends = cuts_above(view, &apart);
        let mut like: BTreeMap<Likeness, (Share, Vec<usize>)> = BTreeMap::new();
        for (&p, &band) in apart.cuts() {
            if only.is_some_and(|o| !o.contains(&net.graph[p].run)) {
                continue;
            }
            let share = Share {
                root: Root::Cut(p),
                cuts: ends.get(&Some(p)).cloned().unwrap_or_default(),
            };
            let first = bounds[band - 1];
            let likeness = likeness(view, &apart, p, first, &share);
            let (_, bands) = like.entry(likeness).or_insert((share, Vec::new()));
            bands.push(band);
        }
        let kinds: Vec<(Share, Vec<usize>)> = like.into_values().collect();
        let grown = at_once::each(&kinds, |(share, _)| {
            let part = view.part(dress, &apart, std::slice::from_ref(share));
            let (bounds, heights) = view.grown(&part);
            (bounds.height(), heights)
        });
        let mut measured = Measured::nothing(lowest);
        for ((_, bands), (height, heights)) in kinds.iter().zip(&grown) {
            for band in bands {
                let first = bounds.get(band - 1).map_or(0, |f| f.0);
                measured.take(*height, heights, first);
            }
        }
        Some(measured)
    }

    fn nothing(lowest: FloorIx) -> Self {
        Measured {
            lowest,
            storeys: BTreeMap::new(),
            foot: 0.0,
            lean: 0.0,
        }
    }

    /// Takes in a part of a stack whose floors are counted from a first.
    fn take(&mut self, height: f64, heights: &Heights, first: usize) {
        let floors: Vec<FloorIx> = heights.floors().collect();
        self.lean = self.lean.max(height - heights.roof());
        let feet = floors.first().map_or(0.0, |f| heights.branch(*f));
        self.foot = self.foot.max(feet);
        for (i, f) in floors.iter().enumerate() {
            let next = floors
                .get(i + 1)
                .map_or(heights.roof(), |g| heights.branch(*g));
            let known = self.storeys.entry(FloorIx(first + f.0)).or_default();
            *known = known.max(next - heights.branch(*f));
        }
    }

    /// How high all storeys are together, mm.
    pub fn height(&self) -> f64 {
        self.foot + self.lean + self.storeys.values().sum::<f64>()
    }
}

/// The stacks that are too high for a room, each grown whole from the lowest floor up. For drawings
/// in which few stacks stand for many.
pub fn too_high(view: &View<'_>, dress: Dress<'_>, lowest: FloorIx, room: f64) -> BTreeSet<RunIx> {
    let apart = Bands::of(view.net, &view.base, vec![lowest]);
    let units = apart.cuts().keys().copied();
    let units: Vec<PieceIx> = units.filter(|p| !view.left.feet.contains_key(p)).collect();
    let high = at_once::each(&units, |&p| {
        let share = Share {
            root: Root::Cut(p),
            cuts: Default::default(),
        };
        let part = view.part(dress, &apart, &[share]);
        let high = view.bounds(&part).height() > room;
        high.then(|| view.net.graph[p].run)
    });
    high.into_iter().flatten().collect()
}

/// Whether every stack, by itself and grown whole, is low enough for a room.
pub fn low_enough(view: &View<'_>, dress: Dress<'_>, measured: &Measured, height: f64) -> bool {
    if measured.height() <= height {
        return true;
    }
    if measured.storeys.len() > FEW {
        return false;
    }
    let apart = Bands::of(view.net, &view.base, vec![measured.lowest]);
    let units: Vec<PieceIx> = apart.cuts().keys().copied().collect();
    let low = at_once::each(&units, |&p| {
        let share = Share {
            root: Root::Cut(p),
            cuts: Default::default(),
        };
        let part = view.part(dress, &apart, &[share]);
        view.bounds(&part).height() <= height
    });
    low.into_iter().all(|low| low)
}

/// What a part of a stack is like, with its floors counted from the first of its band.
fn likeness(
    view: &View<'_>,
    bands: &Bands,
    piece: PieceIx,
    first: FloorIx,
    share: &Share,
) -> Likeness {
    let (net, tree) = (view.net, &view.base.tree);
    let run = net.graph[piece].run;
    let own = net.runs[run.0].pieces.iter().skip_while(|p| **p != piece);
    let own = own.take_while(|p| !share.cuts.contains(p));
    let joints = own.filter_map(|p| net.from(*p));
    let entering = |j: JointIx| {
        let floor = match net.graph[j].kind {
            JointKind::Relief(f) | JointKind::OffsetFoot(f) => f.0 - first.0.min(f.0) + 1,
            _ => tree.floor(j).map_or(0, |f| f.0 - first.0.min(f.0) + 1),
        };
        let on = tree.up(j).iter().filter(|p| net.graph[**p].run != run);
        let branch = |p: &PieceIx| {
            let weight = net.from(*p).map_or(0, |j| tree.weight(j));
            (weight, view.ways.get(&(*p, 0)).map(|w| w.way))
        };
        let vents = view.base.over.get(&j).map_or(0, Vec::len);
        (floor, vents, on.map(branch).collect())
    };
    let mut like: Likeness = joints.map(entering).collect();
    like.push((
        bands.through(share.root).len(),
        share.cuts.len(),
        Vec::new(),
    ));
    like
}
