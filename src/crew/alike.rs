//! What a sheet serves besides what it shows: floors and stacks that are built like those on it.

use std::collections::{BTreeMap, BTreeSet};

use super::Step;
use crate::captions::Trade;
use crate::job::FloorIx;
use crate::network::{JointIx, Network, PieceIx, RunIx, System};
use crate::solve::Work;
use crate::typical::{Range, Typical, together};

/// What a sheet serves besides what it shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Alike {
    /// The lowest and the highest floor that it serves; none where it shows no floor of a stack.
    pub floors: Option<(FloorIx, FloorIx)>,
    /// Which floors and stacks are built alike, in words.
    pub serves: Vec<String>,
    /// A step for each floor on which something is built as the sheet shows it.
    pub steps: Vec<Step>,
}

/// What the sheet serves that shows some pipes; of those `cut` the upper end stands on another.
/// `whole` is the work with all that is not drawn.
pub fn alike(
    whole: &Work<'_>,
    typical: &Typical,
    (trade, pieces): (Trade, &[PieceIx]),
    cut: &BTreeSet<PieceIx>,
) -> Alike {
    let net = whole.net;
    let own = pieces.iter().filter(|p| !cut.contains(p));
    let own = own.filter_map(|p| upper(net, *p, trade));
    let shown: BTreeSet<(RunIx, FloorIx)> = own.filter_map(|j| typical.stands(j)).collect();
    let of = Of {
        whole,
        typical,
        trade,
        shown,
    };
    Alike {
        floors: of.floors(),
        serves: of.stacks().chain(of.ranges()).collect(),
        steps: of.steps(),
    }
}

/// The joint at the upper end of a pipe, if the sheet is for such pipes.
fn upper(net: &Network, piece: PieceIx, trade: Trade) -> Option<JointIx> {
    match (net.graph.edge_weight(piece)?.system, trade) {
        (System::Waste, Trade::Drains) => net.from(piece),
        (System::Vent, Trade::Vents) => net.to(piece),
        _ => None,
    }
}

/// The pipes of a trade that lead up to a joint.
fn up_to(net: &Network, joint: JointIx, trade: Trade) -> Vec<PieceIx> {
    match trade {
        Trade::Drains => net.downstream(joint).into_iter().collect(),
        Trade::Vents => net.vents_into(joint),
    }
}

struct Of<'a> {
    whole: &'a Work<'a>,
    typical: &'a Typical,
    trade: Trade,
    /// The floors of stacks that the sheet shows.
    shown: BTreeSet<(RunIx, FloorIx)>,
}

impl Of<'_> {
    fn stack(&self, run: RunIx) -> &str {
        self.whole.net.runs.get(run.0).map_or("", |r| r.id.as_str())
    }

    fn floor(&self, floor: FloorIx) -> &str {
        let floor = self.whole.job.floors.get(floor.0);
        floor.map_or("", |f| f.name.as_str())
    }

    fn like(&self, stack: RunIx) -> &[RunIx] {
        self.typical.like.get(&stack).map_or(&[], Vec::as_slice)
    }

    fn floors(&self) -> Option<(FloorIx, FloorIx)> {
        let low = self.shown.iter().map(|s| s.1).min()?;
        let last = |(stack, floor): &(RunIx, FloorIx)| {
            let like = self.typical.like_floor(*stack, *floor);
            like.map_or(*floor, |r| r.last)
        };
        Some((low, self.shown.iter().map(last).max()?))
    }

    /// The stacks that are built like one on the sheet.
    fn stacks(&self) -> impl Iterator<Item = String> {
        let stacks: BTreeSet<RunIx> = self.shown.iter().map(|s| s.0).collect();
        let words = |stack: RunIx| {
            let like = self.like(stack).iter().map(|s| self.stack(*s));
            let own = self.stack(stack);
            (!self.like(stack).is_empty()).then(|| format!("{own}: also {}", together(like)))
        };
        let words: Vec<String> = stacks.into_iter().filter_map(words).collect();
        words.into_iter()
    }

    /// The floors that are built like one on the sheet.
    fn ranges(&self) -> impl Iterator<Item = String> {
        let mut ranges: Vec<(Range, Vec<RunIx>)> = Vec::new();
        for &(stack, floor) in &self.shown {
            if let Some(r) = self.typical.like_floor(stack, floor) {
                match ranges.iter_mut().find(|(range, _)| *range == r) {
                    Some((_, stacks)) => stacks.push(stack),
                    None => ranges.push((r, vec![stack])),
                }
            }
        }
        ranges.sort_by_key(|(r, _)| (r.drawn, r.last));
        let words = |(range, stacks): (Range, Vec<RunIx>)| {
            let all = self.shown.iter().filter(|s| s.1 == range.drawn).count();
            let own = match stacks.len() == all {
                true => String::new(),
                false => format!(" of {}", together(stacks.iter().map(|s| self.stack(*s)))),
            };
            let others = range.named(self.whole.job);
            format!("{}{own}: also {others}", self.floor(range.drawn))
        };
        let words: Vec<String> = ranges.into_iter().map(words).collect();
        words.into_iter()
    }

    fn steps(&self) -> Vec<Step> {
        let mut others: BTreeMap<FloorIx, Vec<RunIx>> = BTreeMap::new();
        for &(stack, floor) in &self.shown {
            let like = self.like(stack);
            if !like.is_empty() {
                others.entry(floor).or_default().extend(like);
            }
            let Some(range) = self.typical.like_floor(stack, floor) else {
                continue;
            };
            for floor in (range.first.0..=range.last.0).map(FloorIx) {
                let stacks = others.entry(floor).or_default();
                stacks.push(stack);
                stacks.extend(like);
            }
        }
        let parted = |f: &FloorIx| {
            let floor = self.whole.job.floors.get(f.0);
            floor.is_some_and(|f| f.part_of.is_some())
        };
        let step = |(floor, stacks): (FloorIx, Vec<RunIx>)| {
            let names = together(stacks.iter().map(|s| self.stack(*s)));
            Step {
                words: format!("{}: {names}", self.floor(floor)),
                done: self.laid(floor, &stacks),
            }
        };
        let others = others.into_iter().filter(|(f, _)| !parted(f));
        others.map(step).collect()
    }

    /// Whether all pipes on a floor of some stacks are laid.
    fn laid(&self, floor: FloorIx, stacks: &[RunIx]) -> bool {
        let joints = stacks.iter().flat_map(|s| self.typical.on(*s, floor));
        let mut pipes = joints.flat_map(|j| up_to(self.whole.net, j, self.trade));
        pipes.all(|p| self.whole.mark(p).is_some())
    }
}
