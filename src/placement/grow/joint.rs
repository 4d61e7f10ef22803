//! What hangs at a joint of a trunk: entrants, symbols with their words, branches of one floor.

use super::*;

impl Grower<'_> {
    /// Takes in the joints that follow joint `k` of a stack on the same floor, each a little above
    /// the one before; gives the first leg that was not taken in.
    pub(super) fn merge_floor(
        &self,
        legs: &[LegRef],
        k: usize,
        to: usize,
        way: Way,
        z: f64,
        variants: &mut [(Block, f64)],
    ) -> usize {
        let floor = |l: &LegRef| l.joint.and_then(|j| self.floor_of_stack_joint(j));
        let Some(own) = floor(&legs[k]) else {
            return k + 1;
        };
        let words = |l: &LegRef| {
            self.captions
                .pieces
                .get(&l.piece)
                .map(|&i| &self.captions.all[i])
        };
        let size = |l: &LegRef| {
            words(l).map(|c| {
                c.lines
                    .join(" ")
                    .split(" ·")
                    .next()
                    .unwrap_or("")
                    .to_owned()
            })
        };
        let mut lift = 0.0;
        let mut n = k + 1;
        while n < to && floor(&legs[n]) == Some(own) && legs[n].leg == 0 {
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
            lift += rise;
            let down = Space::new(0.0, 0.0, -lift).paper();
            let taken: Vec<Outline> = variants
                .first()
                .map(|(b, _)| b.outlines.iter().map(|o| o.moved(down)).collect())
                .unwrap_or_default();
            let next = (n + 1 == to && to < legs.len()).then_some((legs, to));
            let forms = self.joint_forms(legs[n], next, way, z + lift, false, &taken);
            if let Some((form, _)) = forms.into_iter().next() {
                more.absorb(&form, Space::default());
            }
            if let Some(j) = legs[n].joint {
                more.joints.push((j, Space::default()));
            }
            more.legs
                .push((legs[n].piece, legs[n].leg, Space::default()));
            for (b, _) in variants.iter_mut() {
                b.absorb(&more, Space::new(0.0, 0.0, lift));
            }
            n += 1;
        }
        n
    }

    /// All that hangs at a joint of a trunk, in each of its forms.
    pub(super) fn joint_forms(
        &self,
        leg: LegRef,
        next: Option<(&[LegRef], usize)>,
        way: Way,
        z: f64,
        stack: bool,
        before: &[Outline],
    ) -> Vec<(Block, f64)> {
        let run = self.net.graph[leg.piece].run;
        let mut fixed = Block::default();
        let mut marks: Vec<Outline> = before.to_vec();
        if stack && let Some(f) = leg.joint.and_then(|j| self.floor_of_stack_joint(j)) {
            let (sides, joints) = self.floor_sides(run, f);
            let above = BRANCH_OVER_BRANCH * (joints.max(1) - 1) as f64;
            let mark = self.mark_block(f, sides, above);
            let at = Space::new(0.0, 0.0, MARK_RISE);
            marks.extend(mark.outlines.iter().map(|o| o.moved(at.paper())));
            fixed.absorb(&mark, at);
        }
        let upstream = leg.joint.map(|j| self.net.upstream(j)).unwrap_or_default();
        let goes_on = upstream.iter().any(|&p| self.net.graph[p].run == run);
        // A stack goes on as its vent; a drain that turns or stops has nothing ahead of it.
        let ends = (next.is_some() || !goes_on) && !way.is_vertical();
        let parent = Parent { way, ends };
        let mut ways: Vec<Way> = upstream.iter().map(|&p| self.way(p, 0)).collect();
        if let Some((legs, to)) = next {
            ways.push(legs[to].way);
        }
        let mut vents = Block::default();
        if let Some(j) = leg.joint {
            self.vents_over(j, &ways, z, &mut vents);
            marks.extend(vents.outlines.iter().cloned());
        }
        if let Some((legs, to)) = next {
            let turned = self.trunk(legs, to, Some(parent), z, &marks);
            fixed.absorb(&turned, Space::default());
        }
        if leg.joint.is_some() {
            for p in upstream {
                if self.net.graph[p].run == run {
                    continue;
                }
                let parent = (self.way(p, 0) != way).then_some(parent);
                // What already hangs here keeps its place; the next is pushed past it.
                let mut taken = marks.clone();
                taken.extend(fixed.outlines.iter().cloned());
                fixed.absorb(&self.chain(p, parent, z, &taken), Space::default());
            }
        }
        let Some(j) = leg.joint else {
            return vec![(fixed, 0.0)];
        };
        if way.is_vertical() {
            self.headers_out(z, &mut fixed);
        }
        let forms = self.at_joint(j, way, vents, &fixed.outlines, &ways);
        if forms.is_empty() {
            return vec![(fixed, 0.0)];
        }
        forms
            .into_iter()
            .map(|(form, cost)| {
                let mut all = fixed.clone();
                all.absorb(&form, Space::default());
                (all, cost)
            })
            .collect()
    }

    /// Paper sides that the branches of a floor take at a stack: left, right.
    pub(super) fn floor_sides(
        &self,
        stack: crate::network::RunIx,
        floor: FloorIx,
    ) -> ((bool, bool), usize) {
        let mut sides = (false, false);
        let mut count = 0;
        let joints = self.net.runs[stack.0]
            .pieces
            .iter()
            .filter_map(|&p| self.net.from(p));
        for j in joints.filter(|&j| self.floor_of_stack_joint(j) == Some(floor)) {
            count += 1;
            for p in self.net.upstream(j) {
                if self.net.graph[p].run != stack {
                    let x = self.way(p, 0).paper().x;
                    sides.0 |= x < -1e-9;
                    sides.1 |= x > 1e-9;
                }
            }
        }
        (sides, count)
    }

    /// What stands at a joint itself: vents, symbols and their words, in each form.
    pub(super) fn at_joint(
        &self,
        joint: JointIx,
        way: Way,
        block: Block,
        taken: &[Outline],
        ways: &[Way],
    ) -> Vec<(Block, f64)> {
        let mut forms = vec![(block, 0.0)];
        for &f in self.figures.at(joint) {
            let arrives = self.figures.arrives(f, way, ways);
            forms = self.with_figure(f, arrives, forms, taken);
        }
        if let Some(&i) = self.captions.joints.get(&joint)
            && self.net.graph[joint].kind != JointKind::StackBase
        {
            let u = way.unit();
            let lines = [((u * -6.0).point(), Point::ORIGIN)];
            forms = forms
                .into_iter()
                .flat_map(|(b, cost)| {
                    let trunk = [Outline::pipe(
                        (u * -60.0).point(),
                        (u * 60.0).point(),
                        Cover::Solid,
                    )];
                    let avoid = [taken, &b.outlines[..], &trunk[..]];
                    let host = lettering::Host {
                        lines: &lines,
                        hull: &[],
                    };
                    self.lettered((&b, cost), i, &host, &avoid, 3)
                })
                .collect();
        }
        if forms.len() == 1 && forms[0].0.outlines.is_empty() {
            return Vec::new();
        }
        forms
    }

    /// Adds a symbol with its words to each form of a block. The forms of a symbol that stands by
    /// itself are kept: they are the same in every round.
    pub(super) fn with_figure(
        &self,
        figure: usize,
        way: Way,
        forms: Vec<(Block, f64)>,
        taken: &[Outline],
    ) -> Vec<(Block, f64)> {
        let alone = taken.is_empty() && forms.len() == 1 && forms[0].0.outlines.is_empty();
        if !alone {
            return self.figure_forms(figure, way, forms, taken);
        }
        if let Some(kept) = self.kept.borrow().get(&(figure, way)) {
            return kept.clone();
        }
        let made = self.figure_forms(figure, way, forms, taken);
        self.kept.borrow_mut().insert((figure, way), made.clone());
        made
    }

    pub(super) fn figure_forms(
        &self,
        figure: usize,
        way: Way,
        forms: Vec<(Block, f64)>,
        taken: &[Outline],
    ) -> Vec<(Block, f64)> {
        let symbol = self.figures.drawn(figure, way);
        let hull = Outline::hull(&symbol.hull);
        let caption = self.figures.caption(figure, self.captions);
        let u = way.unit();
        let trap = self.figures.is_trap(figure);
        let lines = [((u * -ARM).point(), Point::ORIGIN)];
        let line = Outline::pipe((u * -40.0).point(), Point::ORIGIN, Cover::Solid);
        let mut out = Vec::new();
        for (b, cost) in forms {
            let mut b = b;
            b.outlines.push(hull.clone());
            b.symbols.push(crate::placement::block::PlacedSymbol {
                symbol: figure,
                at: Point::ORIGIN,
                way,
            });
            let Some(i) = caption else {
                out.push((b, cost));
                continue;
            };
            let avoid = [taken, &b.outlines[..], std::slice::from_ref(&line)];
            let host = lettering::Host {
                lines: if trap { &lines } else { &[] },
                hull: &symbol.hull,
            };
            out.extend(self.lettered((&b, cost), i, &host, &avoid, 14));
        }
        out
    }

    /// A block with a caption beside its host, in at most so many forms. Where no place is free the
    /// block stays without it, and `settle` finds it one once everything stands.
    fn lettered(
        &self,
        (block, cost): (&Block, f64),
        caption: usize,
        host: &lettering::Host<'_>,
        avoid: &[&[Outline]],
        most: usize,
    ) -> Vec<(Block, f64)> {
        let places = lettering::beside(&self.captions.all[caption], host, avoid, most);
        if places.is_empty() {
            return vec![(block.clone(), cost + 1000.0)];
        }
        let with = |(at, flush, outline, c): (Point, Flush, Outline, f64)| {
            let mut b = block.clone();
            b.outlines.push(outline);
            b.labels.push(PlacedLabel {
                caption,
                at,
                slant: Default::default(),
                flush,
                leader: None,
            });
            (b, cost + c * 0.2)
        };
        places.into_iter().map(with).collect()
    }
}
