//! Divides a drawing over sheets: by floors where a stack is too high for one, by zones of stacks
//! that stand side by side, and along level drains.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use kurbo::Size;

use super::bands::Bands;
use super::measure::{self, Measured};
use super::plan::fills;
use super::share::{self, Root, Share};
use super::stage::BESIDE;
use super::view::{Dress, View};
use crate::at_once;
use crate::job::FloorIx;
use crate::network::{JointIx, JointKind, PieceIx, RunIx};
use crate::typical::Range;

/// What stands on each sheet.
pub struct Division {
    /// Where it is cut by floors.
    pub bands: Arc<Bands>,
    /// The shares of each sheet.
    pub sheets: Vec<Vec<Share>>,
    /// The pipes that go on from sheet to sheet, in the order of the sheets.
    pub cuts: Vec<CutPipe>,
    /// The pipes that go on as another does, in their order.
    pub left: Vec<LeftOff>,
}

/// A pipe that goes on on no sheet: what lies upstream of it is built like something drawn.
#[derive(Clone, Copy, Debug)]
pub struct LeftOff {
    /// The pipe.
    pub piece: PieceIx,
    /// The pipe of what is drawn that corresponds to it.
    pub like: PieceIx,
    /// The sheet that shows its end on the building's drains.
    pub foot: usize,
}

/// A pipe that goes on from one sheet to another.
#[derive(Clone, Copy, Debug)]
pub struct CutPipe {
    /// The pipe.
    pub piece: PieceIx,
    /// The sheet that shows its downstream end (of a vent: the one toward the open air).
    pub down: usize,
    /// The sheet that shows its upstream end.
    pub up: usize,
}

/// Where a drawing is cut by floors so that each band is low enough for its room, with so many
/// more bands than that takes. Nothing is cut where every stack is low enough as it is.
pub fn bands(view: &View<'_>, dress: Dress<'_>, room: Size, more: usize) -> Bands {
    let Some(mut measured) = Measured::of(view, dress, None) else {
        return Bands::default();
    };
    if view.left.feet.is_empty() {
        if more == 0 && measure::low_enough(view, dress, &measured, room.height) {
            return Bands::default();
        }
    } else {
        // What stands for others stands by itself, and only what is too high for that counts.
        let lowest = measured.lowest;
        let high = measure::too_high(view, dress, lowest, room.height);
        match Measured::of(view, dress, Some(&high)).filter(|m| !m.storeys.is_empty()) {
            Some(only) => measured = only,
            None if more == 0 => return Bands::of(view.net, &view.base, vec![lowest]),
            None => {}
        }
    }
    let floors: Vec<FloorIx> = measured.storeys.keys().copied().collect();
    let each: Vec<f64> = measured.storeys.values().copied().collect();
    let room = room.height - measured.foot - measured.lean;
    let count = groups(&each, room).len() + more;
    // The building drain with what stands right on it is a band of its own.
    let mut bounds = vec![measured.lowest];
    bounds.extend(evenly(&each, count).iter().map(|&i| floors[i]));
    Bands::of(view.net, &view.base, bounds)
}

/// Where a drawing is cut so that every floor on which something enters a stack is a band of its own.
pub fn by_floor(view: &View<'_>) -> Bands {
    let (net, tree) = (view.net, &view.base.tree);
    let stacks = (0..net.runs.len()).filter(|r| net.is_stack(RunIx(*r)));
    let joints = stacks.flat_map(|r| net.runs[r].pieces.iter().filter_map(|p| net.from(*p)));
    let floors: BTreeSet<FloorIx> = joints.filter_map(|j| tree.floor(j)).collect();
    Bands::of(net, &view.base, floors.into_iter().collect())
}

/// Where each group but the first begins, if each holds as much as it may.
fn groups(each: &[f64], room: f64) -> Vec<usize> {
    let mut starts = Vec::new();
    let mut full = 0.0;
    for (i, h) in each.iter().enumerate() {
        if i > 0 && full > 0.0 && full + h > room {
            starts.push(i);
            full = 0.0;
        }
        full += h;
    }
    starts
}

/// Where each group but the first begins, if there are so many groups besides the first and the
/// fullest is as little full as can be.
fn evenly(each: &[f64], count: usize) -> Vec<usize> {
    const STEP: f64 = 2.0;
    let total: f64 = each.iter().sum();
    let mut room = total / (count + 1) as f64;
    loop {
        let starts = groups(each, room);
        if starts.len() <= count || room > total {
            return starts;
        }
        room += STEP;
    }
}

/// The pipes at which a drawing with these bands may be cut.
pub fn cuttable(view: &View<'_>, bands: &Bands) -> Vec<PieceIx> {
    let level = share::cuttable(view.net, &view.base, bands);
    let mut all: BTreeSet<PieceIx> = level.into_iter().map(|c| c.piece).collect();
    all.extend(bands.cuts().keys());
    all.extend(bands.vents_cut(view.net));
    all.into_iter().collect()
}

/// Divides a drawing over sheets of this room.
pub fn divide(view: &View<'_>, dress: Dress<'_>, room: Size, bands: Bands) -> Division {
    let bands = Arc::new(bands);
    let paper = Paper {
        view,
        dress,
        room,
        bands: &bands,
    };
    let mut sheets = paper.lowest();
    let above = paper.above();
    let last = above.keys().map(|(band, _)| *band).max().unwrap_or(0);
    // Zones of stacks are the same on all floors, so that a stack is found again above itself.
    let mut widest: BTreeMap<Along, f64> = BTreeMap::new();
    for ((_, place), unit) in &above {
        let own = widest.entry(*place).or_default();
        *own = own.max(unit.width + BESIDE);
    }
    let places: Vec<Along> = widest.keys().copied().collect();
    let each: Vec<f64> = widest.into_values().collect();
    let count = groups(&each, room.width + BESIDE).len();
    let starts: Vec<Along> = evenly(&each, count)
        .into_iter()
        .map(|i| places[i])
        .collect();
    let zone = |place: Along| starts.iter().filter(|s| **s <= place).count();
    for band in 1..=last {
        let here = above.iter().filter(|((b, _), _)| *b == band);
        let zones = match view.left.is_empty() {
            true => {
                let mut zones: BTreeMap<usize, Vec<&Unit>> = BTreeMap::new();
                for ((_, place), unit) in here {
                    zones.entry(zone(*place)).or_default().push(unit);
                }
                zones.into_values().collect()
            }
            // Of stacks of which parts are left out, those stand together that agree on them.
            false => paper.packed(paper.that_agree(here.map(|(_, unit)| unit).collect())),
        };
        let set = at_once::each(&zones, |units| {
            let mut own = Vec::new();
            paper.side_by_side(units, &mut own);
            own
        });
        sheets.extend(set.into_iter().flatten());
    }
    let on = paper.sheet_of(&sheets);
    let cuts = paper.cut_pipes(&on);
    let left = paper.left_off(&on);
    Division {
        cuts,
        left,
        bands: Arc::clone(&bands),
        sheets,
    }
}

/// Sets sheets of one group together wherever one holds several. What is cut from what stands on a
/// sheet stays on another: a mark leads from sheet to sheet. Sheets that are in no group stay as they
/// are, after the others.
pub fn pack(
    view: &View<'_>,
    dress: Dress<'_>,
    room: Size,
    division: &Division,
    group: &[Option<usize>],
) -> Division {
    let paper = Paper {
        view,
        dress,
        room,
        bands: &division.bands,
    };
    let mut packed: Vec<(usize, Vec<Share>)> = Vec::new();
    let mut others = Vec::new();
    for (shares, group) in division.sheets.iter().zip(group) {
        let Some(group) = *group else {
            others.push(shares.clone());
            continue;
        };
        let both = |sheet: &[Share]| [sheet, &shares[..]].concat();
        let takes = |(own, sheet): &&mut (usize, Vec<Share>)| {
            *own == group
                && !adjoin(sheet, shares)
                && fills(paper.bounds(&both(sheet)), room) <= 1.0
        };
        match packed.iter_mut().rev().find(takes) {
            Some((_, sheet)) => *sheet = both(sheet),
            None => packed.push((group, shares.clone())),
        }
    }
    // A group's sheets follow each other.
    packed.sort_by_key(|p| p.0);
    let packed = packed.into_iter().map(|(_, shares)| shares);
    let sheets: Vec<Vec<Share>> = packed.chain(others).collect();
    let on = paper.sheet_of(&sheets);
    Division {
        cuts: paper.cut_pipes(&on),
        left: paper.left_off(&on),
        bands: Arc::clone(&division.bands),
        sheets,
    }
}

/// Whether some share is cut from another.
fn adjoin(a: &[Share], b: &[Share]) -> bool {
    let cut = |from: &[Share], of: &Share| match of.root {
        Root::Cut(piece) => from.iter().any(|s| s.cuts.contains(&piece)),
        _ => false,
    };
    a.iter().any(|s| cut(b, s)) || b.iter().any(|s| cut(a, s))
}

/// The cuts between floors that end each share, by the cut that it begins with (none: an exit).
pub fn cuts_above(view: &View<'_>, bands: &Bands) -> BTreeMap<Option<PieceIx>, BTreeSet<PieceIx>> {
    let (net, tree) = (view.net, &view.base.tree);
    let mut ends: BTreeMap<Option<PieceIx>, BTreeSet<PieceIx>> = BTreeMap::new();
    for &cut in bands.cuts().keys() {
        let mut at = net.to(cut);
        let mut below = None;
        while let Some(down) = at.and_then(|j| tree.down(j)) {
            if bands.cuts().contains_key(&down) {
                below = Some(down);
                break;
            }
            at = net
                .to(down)
                .filter(|j| net.graph[*j].kind != JointKind::Exit);
        }
        ends.entry(below).or_default().insert(cut);
    }
    ends
}

/// Where a stack stands along the drains: how many joints from the exit, and in the walk; vents
/// that come up without it stand after it.
type Along = (usize, u32, bool);

/// What rises from one pipe of a stack that is cut, as far as the next cuts.
struct Unit {
    share: Share,
    /// How wide it is by itself, mm.
    width: f64,
    /// How much of a sheet it takes by itself.
    fills: f64,
}

/// A drawing and the paper that it is divided over.
struct Paper<'a> {
    view: &'a View<'a>,
    dress: Dress<'a>,
    room: Size,
    bands: &'a Bands,
}

impl Paper<'_> {
    /// The box round some shares, as small as they go.
    fn bounds(&self, shares: &[Share]) -> kurbo::Rect {
        self.view
            .bounds(&self.view.part(self.dress, self.bands, shares))
    }

    /// The sheet on which each joint stands.
    fn sheet_of(&self, sheets: &[Vec<Share>]) -> BTreeMap<JointIx, usize> {
        let mut on: BTreeMap<JointIx, usize> = BTreeMap::new();
        for (sheet, shares) in sheets.iter().enumerate() {
            let joints = self.view.joints(self.dress, self.bands, shares);
            on.extend(joints.into_iter().map(|j| (j, sheet)));
        }
        on
    }

    /// The pipes whose ends stand on two sheets.
    fn cut_pipes(&self, on: &BTreeMap<JointIx, usize>) -> Vec<CutPipe> {
        let net = self.view.net;
        let cut = |piece: PieceIx| {
            let (from, to) = net.graph.edge_endpoints(piece)?;
            let (up, down) = (*on.get(&from)?, *on.get(&to)?);
            (up != down).then_some(CutPipe { piece, down, up })
        };
        let mut cuts: Vec<CutPipe> = net.graph.edge_indices().filter_map(cut).collect();
        cuts.sort_by_key(|c| (c.down.min(c.up), c.down.max(c.up), c.piece));
        cuts
    }

    /// The pipes that go on as another does.
    fn left_off(&self, on: &BTreeMap<JointIx, usize>) -> Vec<LeftOff> {
        let left = self.view.left.feet.iter();
        left.filter_map(|(&piece, &like)| {
            // A vent leads up from its drain, waste comes down to it.
            let ends = [self.view.net.from(piece), self.view.net.to(piece)];
            let foot = ends.into_iter().flatten().find_map(|j| on.get(&j))?;
            Some(LeftOff {
                piece,
                like,
                foot: *foot,
            })
        })
        .collect()
    }

    /// The sheets of the lowest band: the building drain and what stands on it.
    fn lowest(&self) -> Vec<Vec<Share>> {
        let (net, tree) = (self.view.net, &self.view.base.tree);
        let ends = cuts_above(self.view, self.bands)
            .remove(&None)
            .unwrap_or_default();
        let roots = net.exits.iter().map(|&e| {
            let mut share = Share::whole(e);
            let above = |p: &&PieceIx| net.from(**p).is_some_and(|j| tree.upstream_of(j, e));
            share.cuts.extend(ends.iter().filter(above));
            share
        });
        self.along_drains(roots.collect())
    }

    /// Shares some shares out along their level drains, each to sheets of its own.
    fn along_drains(&self, roots: Vec<Share>) -> Vec<Vec<Share>> {
        let mut known: BTreeMap<Share, f64> = BTreeMap::new();
        let mut fills = |share: &Share| {
            if let Some(fill) = known.get(share) {
                return *fill;
            }
            let fill = fills(self.bounds(std::slice::from_ref(share)), self.room);
            known.insert(share.clone(), fill);
            fill
        };
        let (net, base) = (self.view.net, &self.view.base);
        let shares = share::share_out(net, base, self.bands, roots, &mut fills);
        shares.into_iter().map(|s| vec![s]).collect()
    }

    /// How many joints of the drains lie from a joint to its exit.
    fn far(&self, joint: JointIx) -> usize {
        let (net, tree) = (self.view.net, &self.view.base.tree);
        let down = |j: &JointIx| tree.down(*j).and_then(|p| net.to(p));
        std::iter::successors(Some(joint), down).count()
    }

    /// What rises from each cut between floors, by its band and its place along the drains.
    fn above(&self) -> BTreeMap<(usize, Along), Unit> {
        let (net, tree) = (self.view.net, &self.view.base.tree);
        let mut ends = cuts_above(self.view, self.bands);
        let along = |stack: RunIx, vents: bool| {
            let foot = net.runs[stack.0].pieces.first();
            let foot = foot.and_then(|p| net.from(*p));
            foot.map_or((0, 0, vents), |j| (self.far(j), tree.place(j), vents))
        };
        let mut shares: Vec<((usize, Along), Share)> = Vec::new();
        let left: BTreeSet<RunIx> = (self.view.left.feet.keys())
            .map(|p| net.graph[*p].run)
            .filter(|r| net.is_stack(*r))
            .collect();
        for (&piece, &band) in self.bands.cuts() {
            if left.contains(&net.graph[piece].run) {
                continue;
            }
            let share = Share {
                root: Root::Cut(piece),
                cuts: ends.remove(&Some(piece)).unwrap_or_default(),
            };
            shares.push(((band, along(net.graph[piece].run, false)), share));
        }
        for root in self.bands.vents() {
            if let Root::Vents { band, stack } = root
                && !left.contains(&stack)
            {
                let cuts = BTreeSet::new();
                shares.push(((band, along(stack, true)), Share { root, cuts }));
            }
        }
        let units = at_once::each(&shares, |(_, share)| {
            let bounds = self.bounds(std::slice::from_ref(share));
            (bounds.width(), fills(bounds, self.room))
        });
        let all = shares.into_iter().zip(units);
        all.map(|((at, share), (width, fills))| {
            (
                at,
                Unit {
                    share,
                    width,
                    fills,
                },
            )
        })
        .collect()
    }

    /// Parts units that do not leave out the same floors: one mark stands for these floors on all
    /// stacks of a sheet.
    fn that_agree<'u>(&self, units: Vec<&'u Unit>) -> Vec<Vec<&'u Unit>> {
        let mut groups: Vec<Vec<&Unit>> = Vec::new();
        for unit in units {
            let fits = |group: &&mut Vec<&Unit>| {
                let all = group.iter().map(|u| (self.stack(u), self.stack(unit)));
                all.into_iter()
                    .all(|(a, b)| self.agree(a, b) && self.agree(b, a))
            };
            match groups.iter_mut().find(fits) {
                Some(group) => group.push(unit),
                None => groups.push(vec![unit]),
            }
        }
        groups
    }

    fn stack(&self, unit: &Unit) -> Option<RunIx> {
        match unit.share.root {
            Root::Cut(p) => Some(self.view.net.graph[p].run),
            Root::Vents { stack, .. } => Some(stack),
            Root::Exit(_) => None,
        }
    }

    /// Sets each unit of some groups on the first sheet of its group that has room for it.
    fn packed<'u>(&self, all: Vec<Vec<&'u Unit>>) -> Vec<Vec<&'u Unit>> {
        let mut sheets: Vec<Vec<&Unit>> = Vec::new();
        for group in all {
            let first = sheets.len();
            for unit in group {
                let has_room = |sheet: &&mut Vec<&Unit>| {
                    let wide: f64 = sheet.iter().map(|u| u.width + BESIDE).sum();
                    let shares = || {
                        let all = sheet.iter().copied().chain([unit]);
                        all.map(|u| u.share.clone()).collect::<Vec<Share>>()
                    };
                    wide + unit.width <= self.room.width
                        && fills(self.bounds(&shares()), self.room) <= 1.0
                };
                match sheets[first..].iter_mut().find(has_room) {
                    Some(sheet) => sheet.push(unit),
                    None => sheets.push(vec![unit]),
                }
            }
        }
        sheets
    }

    /// Whether a stack has nothing on the floors that another leaves out, or leaves them out too.
    fn agree(&self, stack: Option<RunIx>, other: Option<RunIx>) -> bool {
        let (Some(stack), Some(other)) = (stack, other) else {
            return true;
        };
        let of = |s: RunIx| {
            self.view
                .left
                .storeys
                .get(&s)
                .map_or(&[][..], Vec::as_slice)
        };
        let (net, tree) = (self.view.net, &self.view.base.tree);
        let joints = net.runs[stack.0].pieces.iter().filter_map(|p| net.from(*p));
        let shown: Vec<FloorIx> = joints.filter_map(|j| tree.floor(j)).collect();
        of(other).iter().all(|range| {
            let within = |f: &FloorIx| (range.first..=range.last).contains(f);
            let crosses = |r: &Range| within(&r.first) || within(&r.last);
            of(stack).contains(range) || !shown.iter().any(within) && !of(stack).iter().any(crosses)
        })
    }

    /// Sets units side by side on a sheet; on several where they take more.
    fn side_by_side(&self, units: &[&Unit], sheets: &mut Vec<Vec<Share>>) {
        let shares: Vec<Share> = units.iter().map(|u| u.share.clone()).collect();
        if let [unit] = units {
            match unit.fills <= 1.0 {
                true => sheets.push(shares),
                false => sheets.extend(self.along_drains(shares)),
            }
            return;
        }
        if fills(self.bounds(&shares), self.room) <= 1.0 {
            sheets.push(shares);
            return;
        }
        let (left, right) = units.split_at(units.len() / 2);
        self.side_by_side(left, sheets);
        self.side_by_side(right, sheets);
    }
}
