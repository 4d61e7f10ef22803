//! Which legs lie between joists and go across them.

use std::collections::BTreeMap;

use super::falls::leg_is_vertical;
use super::lying::lies;
use crate::catalogue;
use crate::job::{Floor, FloorIx, Job, Lies};
use crate::network::{JointIx, NetLeg, Network, PieceIx, RunKind, Table, positions, walk};
use crate::units::{Heading, Length};

/// Legs that go across joists, by piece and number, each with the floor whose joists they are.
pub type Across = BTreeMap<(PieceIx, usize), FloorIx>;

/// A stretch of a run between the joists of one floor.
struct Stretch {
    floor: FloorIx,
    /// How far it has come across the joists, and between which two ends it has been.
    at: Length,
    least: Length,
    most: Length,
    /// Its legs that come any farther across.
    legs: Vec<(PieceIx, usize)>,
}

impl Stretch {
    fn new(floor: FloorIx) -> Self {
        Stretch {
            floor,
            at: Length::ZERO,
            least: Length::ZERO,
            most: Length::ZERO,
            legs: Vec::new(),
        }
    }
    fn width(&self) -> Length {
        self.most - self.least
    }
}

/// Every leg across joists.
///
/// Where the job says where the joists stand and the leg's place is known, it crosses those that it
/// meets. Else a stretch may lie in a bay if it gets no farther across the joists than they stand apart, whatever
/// its turns; of what gets farther every leg that is not along them crosses one. Where the spacing is
/// not stated the widest usual one stands for it. A heading or a direction of joists that nobody
/// states crosses nothing.
pub fn across(job: &Job, net: &Network) -> Across {
    let mut found = Across::new();
    let met = Met::new(job, net);
    for stretch in stretches(job, net) {
        let floor = job.floors.get(stretch.floor.0);
        let spacing = floor.and_then(spacing);
        let width = stretch.width();
        let wide = spacing.is_some_and(|s| width > s && !width.same(s));
        let crosses = |leg: &(PieceIx, usize)| match met.joists(stretch.floor, *leg) {
            Some(joists) => !joists.is_empty(),
            None => wide,
        };
        let legs = stretch.legs.iter().filter(|leg| crosses(leg));
        found.extend(legs.map(|leg| (*leg, stretch.floor)));
    }
    found
}

/// Which joists legs meet, where it is known where both lie.
pub struct Met<'a> {
    job: &'a Job,
    net: &'a Network,
    places: Table<JointIx, Point>,
}

/// A place in plan: east and north of plan zero.
type Point = (Length, Length);

impl<'a> Met<'a> {
    /// Of a job; places are looked for only where joists are laid out.
    pub fn new(job: &'a Job, net: &'a Network) -> Met<'a> {
        let laid_out = job.floors.iter().any(|f| f.first_joist.is_some());
        let places = match laid_out {
            true => positions(job, net),
            false => Table::new(),
        };
        Met { job, net, places }
    }

    /// The numbers of a floor's joists that a leg meets, the first being 1; none where that is not
    /// known.
    pub fn joists(&self, floor: FloorIx, leg: (PieceIx, usize)) -> Option<Vec<usize>> {
        let floor = self.job.floors.get(floor.0)?;
        let (first, spacing) = (floor.first_joist?, floor.spacing?);
        let (from, to) = ends(self.net, &self.places, leg)?;
        let east = floor.joists_run_east()?;
        let across = |p: Point| if east { p.1 } else { p.0 };
        let (from, to) = (across(from), across(to));
        let number = |at: Length| (at - first) / spacing;
        let (low, high) = (number(from.min(to)), number(from.max(to)));
        // An end on a joist's middle meets it; what lies along one was laid there.
        let (low, high) = ((low - 1e-6).ceil().max(0.0), (high + 1e-6).floor());
        if high < low || from.same(to) {
            return Some(Vec::new());
        }
        // A spacing so small, or a pipe so long, is a slip of the pen: nothing is known by it.
        (high - low <= MOST && high <= FARTHEST)
            .then(|| (low as usize..=high as usize).map(|n| n + 1).collect())
    }
}

/// More joists than this nobody counts, nor farther than this.
const MOST: f64 = 10_000.0;
const FARTHEST: f64 = 1e9;

/// Both ends of a leg in plan, the lower first, if its place is known.
pub fn ends(
    net: &Network,
    places: &Table<JointIx, Point>,
    (piece, leg): (PieceIx, usize),
) -> Option<(Point, Point)> {
    let start = *places.get(&net.to(piece)?)?;
    let all = walk(start, &net.graph.edge_weight(piece)?.legs);
    let before = leg
        .checked_sub(1)
        .map_or(Some(start), |i| all.get(i).copied());
    before.zip(all.get(leg).copied())
}

fn stretches(job: &Job, net: &Network) -> Vec<Stretch> {
    let arms = arms(job, net);
    let mut all: Vec<Stretch> = Vec::new();
    for run in &net.runs {
        let mut goes_on = false;
        for &piece in &run.pieces {
            for (i, leg) in net.graph[piece].legs.iter().enumerate() {
                let here = between(job, net, (piece, i), leg, &arms).zip(leg.heading);
                let Some((floor, heading)) = here else {
                    goes_on = false;
                    continue;
                };
                if !goes_on || all.last().is_none_or(|s| s.floor != floor) {
                    all.push(Stretch::new(floor));
                }
                goes_on = true;
                let by = job.floors.get(floor.0).and_then(|f| sideways(f, heading));
                if let (Some(stretch), Some(by)) = (all.last_mut(), by) {
                    stretch.at += leg.length.unwrap_or_default() * by;
                    stretch.least = stretch.least.min(stretch.at);
                    stretch.most = stretch.most.max(stretch.at);
                    if by.abs() > 1e-9 {
                        stretch.legs.push((piece, i));
                    }
                }
            }
        }
    }
    all
}

/// How far a length of this heading comes across the joists of a floor, to one side or the other.
fn sideways(floor: &Floor, heading: Heading) -> Option<f64> {
    let ((e, n), (je, jn)) = (heading.east_north(), floor.joists_run?.east_north());
    Some(e * jn - n * je)
}

/// How far the joists of a floor stand apart.
fn spacing(floor: &Floor) -> Option<Length> {
    floor
        .spacing
        .or_else(|| catalogue::widest_spacing().map(|d| d.value))
}

/// How much farther the upper end of a piece can go as it heads before it meets a joist; none where
/// it lies along them, or goes across already, or where that is not known.
pub fn bay_left(job: &Job, net: &Network, piece: PieceIx) -> Option<(Length, FloorIx)> {
    let last = net.graph.edge_weight(piece)?;
    let at = last.legs.len().checked_sub(1)?;
    let heading = last.legs.get(at)?.heading?;
    let floor = between(job, net, (piece, at), last.legs.get(at)?, &BTreeMap::new())?;
    if across(job, net).contains_key(&(piece, at)) {
        return None;
    }
    let f = job.floors.get(floor.0)?;
    let by = sideways(f, heading)?.abs();
    (by > 1e-9).then_some(())?;
    // The stretch of the run that ends there; it may use up the bay on the other side first.
    let own = |s: &Stretch| s.legs.last() == Some(&(piece, at));
    let width = stretches(job, net).iter().find(|s| own(s))?.width();
    Some((((spacing(f)? - width) / by).max(Length::ZERO), floor))
}

/// The floor between whose joists a leg lies, if it does and lies level.
fn between(
    job: &Job,
    net: &Network,
    (piece, i): (PieceIx, usize),
    leg: &NetLeg,
    arms: &BTreeMap<PieceIx, FloorIx>,
) -> Option<FloorIx> {
    if leg_is_vertical(leg) {
        return None;
    }
    match lies(job, net, piece, i) {
        Some((Lies::BetweenJoists, floor)) => Some(floor),
        Some(_) => None,
        None => arms.get(&piece).copied(),
    }
}

/// Pieces that lie between the joists of a floor of which nobody says which way they run, each with
/// that floor: they may cross them.
pub fn may_cross(job: &Job, net: &Network) -> BTreeMap<PieceIx, FloorIx> {
    let arms = arms(job, net);
    let open = |floor: &FloorIx| {
        let floor = job.floors.get(floor.0);
        floor.is_some_and(|f| f.joists.is_some() && f.joists_run.is_none())
    };
    let lies = |piece: PieceIx| {
        let legs = &net.graph.edge_weight(piece)?.legs;
        let each = legs.iter().enumerate();
        let mut floors = each.filter_map(|(i, leg)| between(job, net, (piece, i), leg, &arms));
        floors.find(open)
    };
    let all = net.graph.edge_indices();
    all.filter_map(|p| Some((p, lies(p)?))).collect()
}

/// Trap arms that lie between joists: below the floor, and flowing into a drain that lies so.
fn arms(job: &Job, net: &Network) -> BTreeMap<PieceIx, FloorIx> {
    let into = |arm: PieceIx| {
        let mut below = net.downstream(net.to(arm)?)?;
        // A drop is of the same fixture; a network without circles ends.
        while let Some(RunKind::FixtureDrain | RunKind::Arm) = {
            let run = net.graph.edge_weight(below)?.run;
            net.runs.get(run.0).map(|r| r.kind)
        } {
            below = net.downstream(net.to(below)?)?;
        }
        let last = net.graph.edge_weight(below)?.legs.len().checked_sub(1)?;
        lies(job, net, below, last)
    };
    let of = |trap: &crate::network::Trap| {
        let arm = trap.arm?;
        let fixture = job.fixtures.get(trap.fixture)?;
        let usual = catalogue::kind(&fixture.kind.value).map(|k| k.default_outlet.height);
        let (lies, ix) = into(arm)?;
        let floor = job.floors.get(ix.0)?;
        let stands_on = net.draft.fixtures.get(trap.fixture)?.floor?;
        let below = fixture.outlet.or(usual)? < -floor.deck.unwrap_or_default();
        (lies == Lies::BetweenJoists && stands_on == ix && below).then_some((arm, ix))
    };
    net.traps.iter().filter_map(of).collect()
}
