//! What hangs at a joint of a trunk: entrants, symbols with their words, branches of one floor.

use super::kept::{Beside, Place, Variants};
use super::*;
use crate::network::{RunIx, outside_at_exit};
use crate::placement::figures::Stands;
use crate::placement::outline::twelve_sided;

/// So many forms of what stands at a joint are tried.
const MOST_FORMS: usize = 16;
/// An indirect waste's symbol stands so far over its receptor, mm.
const OVER_RECEPTOR: f64 = 4.5;
/// A cleanout at an exit stands so far from the outside face of the wall, mm.
const CLEAR_OF_WALL: f64 = 9.0;
/// Where no sewer is drawn: at the tip of the arrow of the water that leaves.
const AT_THE_ARROW: f64 = 8.5;

impl Grower<'_> {
    /// Takes in the joints that follow joint `k` of a stack on the same floor, each a little above
    /// the one before; gives the first leg that was not taken in, and the forms of them all.
    pub(super) fn merge_floor(
        &self,
        legs: &[LegRef],
        k: usize,
        to: usize,
        way: Way,
        z: f64,
        mut forms: Rc<Forms>,
    ) -> (usize, Rc<Forms>) {
        let floor = |l: &LegRef| l.joint.and_then(|j| self.tree.floor(j));
        let Some(own) = floor(&legs[k]) else {
            return (k + 1, forms);
        };
        let words = |l: &LegRef| {
            let caption = self.captions.pieces.get(&l.piece);
            caption.map(|&i| &self.captions.all[i])
        };
        let size = |l: &LegRef| {
            let said = words(l).map(|c| c.lines.join(" "));
            said.map(|s| s.split(" ·").next().unwrap_or_default().to_owned())
        };
        let mut n = k + 1;
        let above = |l: &LegRef| l.joint.is_some_and(|j| self.is_above_floor(j));
        let same = |l: &LegRef| floor(l) == Some(own) && above(l) == above(&legs[k]);
        while n < to && same(&legs[n]) && legs[n].leg == 0 {
            let mut more = Block::default();
            let mut rise = BRANCH_OVER_BRANCH;
            // A change of size between the two is lettered; the same size is not said again.
            if size(&legs[n]) != size(&legs[n - 1])
                && let (Some(&i), Some(caption)) =
                    (self.captions.pieces.get(&legs[n].piece), words(&legs[n]))
            {
                let (at, slant, outline) = lettering::along(caption, Way::UP, true);
                rise = caption.width() + 6.0;
                let shift = Space::new(0.0, 0.0, 3.0 - rise).paper();
                more.outlines.push(outline.moved(shift));
                more.labels.push(PlacedLabel {
                    caption: i,
                    at: at + shift,
                    slant,
                    flush: Flush::Left,
                    leader: None,
                });
            }
            let lift = forms.lift + rounded(rise, self.module);
            let next = (n + 1 == to && to < legs.len()).then_some((legs, to));
            let under = Some((&forms, lift));
            let hung = self.joint_forms(legs[n], next, way, z + lift, false, under);
            more.absorb(Rc::clone(&hung.base), Space::default());
            if let Some((form, _)) = hung.each.first() {
                more.absorb(Rc::clone(form), Space::default());
            }
            if let Some(j) = legs[n].joint {
                more.joints.push((j, Space::default()));
            }
            more.legs
                .push((legs[n].piece, legs[n].leg, Space::default()));
            let mut base = Block::default();
            base.absorb(Rc::clone(&forms.base), Space::default());
            base.absorb(more.finish(), Space::new(0.0, 0.0, lift));
            forms = Rc::new(Forms {
                base: base.finish(),
                each: forms.each.clone(),
                lift,
            });
            n += 1;
        }
        (n, forms)
    }

    /// All that hangs at a joint of a trunk, in each of its forms. `under` is what already hangs
    /// on the same stack so far below it.
    pub(super) fn joint_forms(
        &self,
        leg: LegRef,
        next: Option<(&[LegRef], usize)>,
        way: Way,
        z: f64,
        stack: bool,
        under: Option<(&Rc<Forms>, f64)>,
    ) -> Rc<Forms> {
        let key = (leg.piece, leg.leg, stack);
        let state = self.state_at((leg, next.is_some()), z, under);
        if let Some(kept) = self.memo.get(key, &state) {
            return kept;
        }
        let made = Rc::new(self.make_joint(leg, next, way, z, stack, under));
        self.memo.keep(key, state, &made);
        made
    }

    fn make_joint(
        &self,
        leg: LegRef,
        next: Option<(&[LegRef], usize)>,
        way: Way,
        z: f64,
        stack: bool,
        under: Option<(&Rc<Forms>, f64)>,
    ) -> Forms {
        let here = Space::default();
        let run = self.net.graph[leg.piece].run;
        let mut fixed = Block::default();
        // What stands round the joint already: it keeps its place, the next is pushed past it.
        let mut taken = Block::default();
        if let Some((forms, lift)) = under {
            let down = Space::new(0.0, 0.0, -lift);
            taken.absorb(Rc::clone(&forms.base), down);
            if let Some((form, _)) = forms.each.first() {
                taken.absorb(Rc::clone(form), down);
            }
        }
        if stack
            && let Some(f) = leg.joint.and_then(|j| self.tree.floor(j))
            && !self.floor_goes_on(run, leg.piece, f)
            && !self.passes_floor(run, f)
        {
            let mark = self.mark_block(f, self.floor_sides(run, f)).finish();
            let above = self.heights.mark(f) - z;
            let at = Space::new(0.0, 0.0, above.max(MARK_RISE));
            taken.absorb(Rc::clone(&mark), at);
            fixed.absorb(mark, at);
        }
        let upstream = leg.joint.map_or(&[][..], |j| self.tree.up(j));
        let goes_on = upstream.iter().any(|&p| self.net.graph[p].run == run);
        // A stack goes on as its vent; a drain that turns or stops has nothing ahead of it.
        let vented = leg.joint.is_some_and(|j| self.over.contains_key(&j));
        let ends = match way.is_vertical() {
            true => next.is_some() && !vented,
            false => next.is_some() || !goes_on,
        };
        let parent = Parent { way, ends };
        let mut ways: Vec<Way> = upstream.iter().map(|&p| self.way(p, 0)).collect();
        if let Some((legs, to)) = next {
            ways.push(legs[to].way);
        }
        let mut vents = Block::default();
        if let Some(j) = leg.joint {
            self.vents_over(j, &ways, z, &mut vents);
        }
        let vents = vents.finish();
        taken.absorb(Rc::clone(&vents), here);
        let hang = |block: Block, fixed: &mut Block| {
            let part = block.finish();
            fixed.absorb(Rc::clone(&part), here);
            part
        };
        if let Some((legs, to)) = next {
            let turned = self.trunk(legs, to, Some(parent), z, &taken);
            let part = hang(turned, &mut fixed);
            taken.absorb(part, here);
        }
        // Pipes that lead from a stack to lanes beside it pass all else on its floor.
        let place = (run, leg.joint.and_then(|j| self.tree.floor(j)));
        let on_stack = self.net.is_stack(run) && way.is_vertical();
        let in_lane = |p: PieceIx| on_stack && self.ways.get(&(p, 0)).is_some_and(|w| w.lane > 0);
        let mut passing = Block::default();
        if on_stack {
            passing = self.lanes_beside(place, z, |_| true);
            if let Some(j) = leg.joint {
                taken.absorb(self.links_over(run, j, z).finish(), here);
            }
        }
        let passing = passing.finish();
        // A pipe that goes on on another sheet first: it may lie straight ahead.
        let own_stack = |p: PieceIx| self.net.is_stack(run) && self.net.graph[p].run == run;
        let cut = |p: &&PieceIx| self.is_cut(**p) && !own_stack(**p);
        for &p in upstream.iter().filter(cut) {
            let stub = match in_lane(p) {
                true => self.in_lane(place, p, z, &taken, |_| self.stub(p, None)),
                false => self.stub(p, Some(passing.block())),
            };
            let part = hang(stub, &mut fixed);
            taken.absorb(part, here);
        }
        for &p in upstream {
            if self.net.graph[p].run == run || self.is_cut(p) {
                continue;
            }
            let beside = self.way(p, 0) != way && !self.is_hidden(leg.piece);
            let parent = beside.then_some(parent);
            let chain = if in_lane(p) {
                self.in_lane(place, p, z, &taken, |to_lane| {
                    let passing = self.lanes_beside(place, z, |q| q != p);
                    let mut ahead = Block::default();
                    ahead.absorb(passing.finish(), to_lane.1 * -1.0);
                    let parent = Parent {
                        way: to_lane.0,
                        ends: true,
                    };
                    self.chain(p, Some(parent), z, &ahead)
                })
            } else {
                let mut past = taken.clone();
                past.absorb(Rc::clone(&passing), here);
                self.chain(p, parent, z, &past)
            };
            let part = hang(chain, &mut fixed);
            taken.absorb(part, here);
        }
        let Some(j) = leg.joint else {
            return Forms {
                base: fixed.finish(),
                each: vec![(Block::default().finish(), 0.0)],
                lift: 0.0,
            };
        };
        if way.is_vertical() && self.net.is_stack(run) {
            self.headers_out(run, z, &mut fixed);
        }
        let each = self.at_joint(j, way, vents.block(), &fixed, &ways);
        fixed.absorb(vents, here);
        Forms {
            base: fixed.finish(),
            each,
            lift: 0.0,
        }
    }

    /// Whether more of a floor's branches meet a stack above an offset that lies above this piece.
    fn floor_goes_on(&self, stack: RunIx, piece: PieceIx, floor: FloorIx) -> bool {
        let pieces = &self.net.runs[stack.0].pieces;
        let above = pieces.iter().skip_while(|p| **p != piece).skip(1);
        let above = above.filter_map(|&p| self.net.from(p));
        above
            .skip_while(|&j| self.net.graph[j].kind != JointKind::OffsetHead)
            .any(|j| self.tree.floor(j) == Some(floor))
    }

    /// Whether the branches of a joint of a stack come in above their floor.
    pub(super) fn is_above_floor(&self, joint: JointIx) -> bool {
        self.captions.above_floor.contains(&joint)
    }

    /// Whether a stack passes a floor below branches that it takes on that floor: its mark stands
    /// below them then.
    pub(super) fn passes_floor(&self, stack: RunIx, floor: FloorIx) -> bool {
        let pieces = self.net.runs[stack.0].pieces.iter();
        let mut joints = pieces.filter_map(|p| self.net.from(*p));
        joints.any(|j| self.is_above_floor(j) && self.tree.floor(j) == Some(floor))
    }

    /// Paper sides that the branches of a floor take at a stack: left, right.
    fn floor_sides(&self, stack: RunIx, floor: FloorIx) -> (bool, bool) {
        let mut sides = (false, false);
        let joints = self.net.runs[stack.0]
            .pieces
            .iter()
            .filter_map(|&p| self.net.from(p));
        for j in joints.filter(|&j| self.tree.floor(j) == Some(floor)) {
            for &p in self.tree.up(j) {
                if self.net.graph[p].run != stack {
                    let x = self.way(p, 0).paper().x;
                    sides.0 |= x < -1e-9;
                    sides.1 |= x > 1e-9;
                }
            }
        }
        sides
    }

    /// What stands at a joint itself besides its vents: symbols and their words, in each form.
    pub(super) fn at_joint(
        &self,
        joint: JointIx,
        way: Way,
        vents: &Block,
        taken: &Block,
        ways: &[Way],
    ) -> Variants {
        // An exit stands by itself: nothing asks for another form of it.
        let most = match self.net.graph[joint].kind {
            JointKind::Exit => 1,
            _ => MOST_FORMS,
        };
        let mut forms = vec![(Block::default().finish(), 0.0)];
        for &f in self.figures.at(joint) {
            // What comes up from another sheet has its mark below it.
            let below = self.net.graph[joint].kind == JointKind::Cut && !way.is_vertical();
            let arrives = match below {
                true => Way::UP.reversed(),
                false => self.figures.arrives(f, way, ways),
            };
            forms = self.with_figure(f, arrives, forms, &[vents, taken]);
            cheapest(&mut forms, most);
        }
        if let Some(&i) = self.captions.joints.get(&joint)
            && self.net.graph[joint].kind != JointKind::StackBase
        {
            let u = way.unit();
            let lines = [((u * -6.0).point(), Point::ORIGIN)];
            let trunk = Outline::pipe((u * -60.0).point(), (u * 60.0).point(), Cover::Solid);
            let host = lettering::Host {
                lines: &lines,
                hull: &[],
            };
            forms = forms
                .into_iter()
                .flat_map(|(b, cost)| {
                    let avoid = [vents, taken, b.block()];
                    let words = &self.captions.all[i];
                    let places = lettering::beside(words, &host, near(&trunk, &avoid), 3);
                    lettered((&b, cost), i, &places)
                })
                .collect();
            cheapest(&mut forms, most);
        }
        forms
    }

    /// Adds a symbol with its words to each form of a block.
    fn with_figure(&self, figure: usize, way: Way, forms: Variants, taken: &[&Block]) -> Variants {
        let alone =
            taken.iter().all(|b| b.is_empty()) && forms.len() == 1 && forms[0].0.block().is_empty();
        if alone {
            self.alone(figure, way, None)
        } else {
            self.figure_forms(figure, way, forms, taken, false)
        }
    }

    /// A symbol with its words that stands by itself, or with the same thing round it wherever it
    /// stands. Its forms are kept: they are the same in every round.
    pub(super) fn alone(&self, figure: usize, way: Way, round: Option<&Block>) -> Variants {
        let key = (figure, way, round.is_some());
        if let Some(kept) = self.kept.forms.borrow().get(&key) {
            return kept.clone();
        }
        let nothing = vec![(Block::default().finish(), 0.0)];
        let made = self.figure_forms(figure, way, nothing, round.as_slice(), true);
        self.kept.forms.borrow_mut().insert(key, made.clone());
        made
    }

    /// How far a symbol stands off the joint that it belongs to, on paper: an indirect waste over
    /// its receptor, and a cleanout at an exit clear of the wall.
    fn stands_off(&self, figure: usize, way: Way) -> kurbo::Vec2 {
        let f = &self.figures.all[figure];
        match f.stands {
            Stands::Fixture(_) if !f.stands.is_trap_of(self.net) => {
                kurbo::Vec2::new(0.0, -OVER_RECEPTOR)
            }
            Stands::Cleanout(_, kind) if self.net.graph[f.joint].kind == JointKind::Exit => {
                let inward = self.tree.up(f.joint).first();
                let inward = inward.map_or(way, |&p| self.way(p, 0));
                // What goes up to grade stands outside, on the sewer if that is drawn.
                let outside = outside_at_exit(kind);
                let away = match (outside, self.tree.down(f.joint)) {
                    (true, Some(_)) => -CLEAR_OF_WALL,
                    (true, None) => -AT_THE_ARROW,
                    (false, _) => CLEAR_OF_WALL,
                };
                (inward.unit() * away).paper()
            }
            _ => kurbo::Vec2::ZERO,
        }
    }

    /// `same`: whether the surroundings are always the same.
    fn figure_forms(
        &self,
        figure: usize,
        way: Way,
        forms: Variants,
        taken: &[&Block],
        same: bool,
    ) -> Variants {
        let symbol = self.figures.drawn(figure, way);
        let stands = Point::ORIGIN + self.stands_off(figure, way);
        let corners: Vec<Point> = symbol.hull.iter().map(|p| *p + stands.to_vec2()).collect();
        let hull = Outline::hull(&corners);
        let around = twelve_sided(&corners, 0.0);
        let caption = self.figures.caption(figure, self.captions);
        let u = way.unit();
        let trap = self.figures.all[figure].stands.is_trap_of(self.net);
        let lines = [((u * -ARM).point(), Point::ORIGIN)];
        let line = Outline::pipe((u * -40.0).point(), Point::ORIGIN, Cover::Solid);
        let host = lettering::Host {
            lines: if trap { &lines } else { &[] },
            hull: &around,
        };
        let mut out = Vec::new();
        for (b, cost) in forms {
            let mut with = Block::of_outline(hull.clone());
            with.symbols.push(crate::placement::block::PlacedSymbol {
                symbol: figure,
                at: stands,
                way,
            });
            with.absorb(b, Space::default());
            let with = with.finish();
            let Some(i) = caption else {
                out.push((with, cost));
                continue;
            };
            let mut avoid = taken.to_vec();
            avoid.push(with.block());
            let near = near(&line, &avoid);
            let words = &self.captions.all[i];
            let places = || lettering::beside(words, &host, near, 14).into();
            let places: Rc<[Place]> = if same {
                // The same words, or as wide, stand beside each of a shape in the same places.
                let widths = words.widths.iter().map(|w| w.to_bits());
                let shape = self.figures.all[figure].shape;
                let key = Beside {
                    shape: (shape, way, !taken.is_empty()),
                    trap,
                    off: [stands.x.to_bits(), stands.y.to_bits()],
                    widths: widths.collect(),
                };
                let mut kept = self.kept.places.borrow_mut();
                Rc::clone(kept.entry(key).or_insert_with(places))
            } else {
                places()
            };
            let places = match self.figures.all[figure].stands {
                Stands::Terminal => places.iter().map(apart).collect(),
                _ => places,
            };
            out.extend(lettered((&with, cost), i, &places));
        }
        out
    }
}

/// Keeps the cheapest of some forms.
fn cheapest(forms: &mut Variants, most: usize) {
    if forms.len() > most {
        forms.sort_by(|a, b| a.1.total_cmp(&b.1));
        forms.truncate(most);
    }
}

/// A place for the words of a terminal, which stand over nothing of their own: set close under
/// another label they would be read as its last line.
fn apart((at, flush, outline, cost): &Place) -> Place {
    const CLEAR: f64 = 1.5;
    let wide = outline.bounds().inflate(0.0, CLEAR);
    (*at, *flush, Outline::rect(wide), *cost)
}

/// What gives all of a line and of some blocks that covers paper within a box.
fn near(line: &Outline, avoid: &[&Block]) -> impl Fn(kurbo::Rect, &mut Vec<Outline>) {
    move |region, found| {
        found.push(line.clone());
        for b in avoid {
            b.near(region, kurbo::Vec2::ZERO, found);
        }
    }
}

/// A block with a caption, in each of some places. Where no place is free the block stays without
/// it, and `settle` finds it one once everything stands.
fn lettered((block, cost): (&Part, f64), caption: usize, places: &[Place]) -> Variants {
    if places.is_empty() {
        return vec![(Rc::clone(block), cost + 1000.0)];
    }
    let with = |(at, flush, outline, c): &Place| {
        let mut b = Block::of_outline(outline.clone());
        b.labels.push(PlacedLabel {
            caption,
            at: *at,
            slant: Default::default(),
            flush: *flush,
            leader: None,
        });
        b.absorb(Rc::clone(block), Space::default());
        (b.finish(), cost + c * 0.2)
    };
    places.iter().map(with).collect()
}
