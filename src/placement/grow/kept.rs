//! What was grown before and still holds: symbols with their words, and what hangs at a joint as
//! long as the heights that it depends on lie as they did.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use kurbo::Point;

use crate::placement::columns::joint_under;

use super::{Block, FloorIx, Flush, Forms, Grower, JointIx, LegRef, Outline, Part, PieceIx, Way};

/// A place for words beside a symbol: left end of the first baseline, what they cover, a cost.
pub(super) type Place = (Point, Flush, Outline, f64);

/// The forms of something, each with a cost.
pub(super) type Variants = Vec<(Part, f64)>;

/// Things kept by what they depend on.
pub(super) type Store<K, V> = RefCell<BTreeMap<K, V>>;

/// A symbol, by its index or its shape: which, the way that it faces, and whether anything always
/// stands round it (a roof's mark round a terminal).
pub(super) type FigureKey = (usize, Way, bool);

/// All that the places of words beside a shape depend on.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Beside {
    /// The shape.
    pub shape: FigureKey,
    /// Whether the words name the pipe that it ends, too.
    pub trap: bool,
    /// How far it stands off its joint, as bits.
    pub off: [u64; 2],
    /// Width of each line, as bits.
    pub widths: Vec<u64>,
}

/// Symbols whose surroundings are always the same, with their words.
#[derive(Default)]
pub struct Kept {
    /// Their forms, by symbol.
    pub(super) forms: Store<FigureKey, Variants>,
    /// Places of words beside a shape: of the words of one lettering the same in any drawing.
    pub(super) places: Rc<Store<Beside, Rc<[Place]>>>,
    /// What stands along trunks.
    loose: Store<Loose, Rc<Forms>>,
}

/// What stands along a trunk and is no joint of it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Loose {
    /// A caption set along the trunk, by its way.
    Along(usize, Way),
    /// A caption beside the foot of the trunk, by its way.
    Foot(usize, Way),
    /// The mark of a floor.
    Mark(FloorIx),
}

impl Kept {
    /// Nothing but the same places of words, for another drawing with the same lettering.
    pub fn with_places(&self) -> Kept {
        Kept {
            places: Rc::clone(&self.places),
            ..Kept::default()
        }
    }

    /// What stands along a trunk, made once.
    pub(super) fn loose(&self, key: Loose, make: impl FnOnce() -> Vec<(Block, f64)>) -> Rc<Forms> {
        let mut kept = self.loose.borrow_mut();
        let made = kept.entry(key).or_insert_with(|| Forms::loose(make()));
        Rc::clone(made)
    }
}

/// A joint of a trunk: the piece and leg that end there, and whether a stack's own.
type Key = (PieceIx, usize, bool);

/// All that what hangs at a joint depends on, besides the network and the view.
pub(super) struct State {
    /// Heights over the joint, and how far out risers stand.
    heights: Vec<f64>,
    /// What hangs on the same stack under it, and how far.
    under: Option<(Rc<Forms>, f64)>,
}

impl State {
    fn is(&self, other: &State) -> bool {
        let under = match (&self.under, &other.under) {
            (None, None) => true,
            (Some((a, d)), Some((b, e))) => Rc::ptr_eq(a, b) && d == e,
            _ => false,
        };
        under && self.heights == other.heights
    }
}

/// What hangs at each joint, as it was grown last.
#[derive(Default)]
pub struct Memo(Store<Key, Vec<Grown>>);

/// What hung at a joint in some state.
type Grown = (State, Rc<Forms>);

/// So many states of a joint are kept: those that the rounds of a part go through.
const STATES: usize = 6;

impl Memo {
    pub(super) fn get(&self, key: Key, state: &State) -> Option<Rc<Forms>> {
        let kept = self.0.borrow();
        let mut all = kept.get(&key)?.iter().rev();
        all.find(|(was, _)| was.is(state))
            .map(|(_, forms)| Rc::clone(forms))
    }
    pub(super) fn keep(&self, key: Key, state: State, forms: &Rc<Forms>) {
        let mut kept = self.0.borrow_mut();
        let all = kept.entry(key).or_default();
        if all.len() == STATES {
            all.remove(0);
        }
        all.push((state, Rc::clone(forms)));
    }
}

impl Grower<'_> {
    /// What the things at a joint depend on; `turns` where its own run goes on in what hangs there.
    pub(super) fn state_at(
        &self,
        (leg, turns): (LegRef, bool),
        z: f64,
        under: Option<(&Rc<Forms>, f64)>,
    ) -> State {
        let mut heights = Vec::new();
        if let Some(j) = leg.joint.or_else(|| self.net.from(leg.piece)) {
            self.heights_at(j, (leg, turns), z, &mut heights);
        }
        State {
            heights,
            under: under.map(|(f, d)| (Rc::clone(f), d)),
        }
    }

    fn heights_at(&self, j: JointIx, (leg, turns): (LegRef, bool), z: f64, found: &mut Vec<f64>) {
        let run = self.net.graph[leg.piece].run;
        let stack = self.net.is_stack(run);
        let asks = match turns {
            true => self.tree.asks(j),
            false => self.tree.asks_hung(j),
        };
        let all = asks.stacks || (stack && turns);
        if asks.roof || all {
            found.push(self.heights.roof() - z);
        }
        let mut floors: BTreeSet<FloorIx> = asks.rims.iter().copied().collect();
        if all {
            floors = self.heights.floors().collect();
            found.extend(floors.first().map(|f| self.heights.relief(*f) - z));
        }
        if stack || all {
            let reach = self.reach.borrow();
            // Of a stack only what hangs at this joint itself, not what its next joints carry.
            let next = self
                .tree
                .up(j)
                .iter()
                .find(|p| self.net.graph[**p].run == run);
            let next = next.filter(|_| !all).and_then(|p| self.net.from(*p));
            let here = |u: JointIx| {
                self.tree.upstream_of(u, j) && !next.is_some_and(|n| self.tree.upstream_of(u, n))
            };
            let own = self.tree.floor(j);
            floors.extend(own);
            for riser in self.risers.iter().filter(|r| all || r.stack == run.0) {
                let top = riser.joints.last().map(|(_, f)| *f);
                if riser
                    .on
                    .is_some_and(|on| here(on) || self.tree.floor(on) == own)
                {
                    floors.extend(top);
                    found.extend(reach.risers.get(&riser.run));
                }
                for (f, v) in &riser.from {
                    if joint_under(self.net, *v).is_some_and(here) {
                        floors.insert(*f);
                        found.extend(reach.headers.get(v));
                    }
                }
            }
            for s in reach.lanes.values().filter(|s| all || s.stack == run) {
                found.push(s.length);
                if all || s.floor == own {
                    found.push(s.rise);
                    floors.extend(s.vent);
                }
            }
        }
        for &f in &floors {
            found.push(self.heights.rim(f) - z);
            if stack || all {
                found.push(self.heights.branch(f) - z);
                found.push(self.heights.mark(f) - z);
                found.push(self.heights.above(f) - z);
            }
        }
    }
}
