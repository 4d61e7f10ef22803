//! What stands along a stack: its name, the floors that it passes, its vent, the roof.

use super::kept::Loose;
use super::*;

impl Grower<'_> {
    /// The stack's name and its invert, beside its foot. What stands above an offset starts at a
    /// joint that has its words already.
    pub(super) fn base_label(&self, base: JointIx, elements: &mut Vec<Element>, way: Way) {
        if self.net.graph[base].kind != JointKind::StackBase {
            return;
        }
        let Some(&i) = self.captions.joints.get(&base) else {
            return;
        };
        let forms = self
            .kept
            .loose(Loose::Foot(i, way), || self.beside_foot(i, way));
        elements.push(loose(forms, 0.0));
    }

    fn beside_foot(&self, i: usize, way: Way) -> Vec<(Block, f64)> {
        let caption = &self.captions.all[i];
        let u = way.unit();
        let lines = [(Point::ORIGIN, (u * 12.0).point())];
        let trunk = Outline::pipe((u * -60.0).point(), (u * 60.0).point(), Cover::Solid);
        let host = lettering::Host {
            lines: &lines,
            hull: &[],
        };
        let avoid = |_, found: &mut Vec<Outline>| found.push(trunk.clone());
        let places = lettering::beside(caption, &host, avoid, 4);
        let each = places.into_iter().map(|(at, flush, outline, _)| {
            let mut b = Block::of_outline(outline);
            b.labels.push(PlacedLabel {
                caption: i,
                at,
                slant: Default::default(),
                flush,
                leader: None,
            });
            (b, 0.0)
        });
        each.collect()
    }

    /// A caption set along a trunk, on either side of it.
    pub(super) fn along(&self, i: usize, way: Way) -> Rc<Forms> {
        let side = |left| {
            let (at, slant, outline) = lettering::along(&self.captions.all[i], way, left);
            let mut b = Block::of_outline(outline);
            b.labels.push(PlacedLabel {
                caption: i,
                at,
                slant,
                flush: Flush::Left,
                leader: None,
            });
            (b, 0.0)
        };
        let key = Loose::Along(i, way);
        self.kept.loose(key, || [true, false].map(side).to_vec())
    }

    /// A floor's mark, its words on the side that no branch takes.
    pub(super) fn mark_block(&self, floor: FloorIx, sides: (bool, bool)) -> Block {
        let mut block = Block::default();
        let Some(caption) = self.captions.floors.get(floor.0) else {
            return block;
        };
        self.mark(Some(floor), caption, sides, &mut block);
        block
    }

    pub(super) fn mark(
        &self,
        floor: Option<FloorIx>,
        caption: &crate::captions::Caption,
        sides: (bool, bool),
        block: &mut Block,
    ) {
        let (w, h) = (caption.width(), caption.height());
        let (x0, y0, slant) = match sides {
            (_, false) => (5.6, -h - 0.4, crate::sheets::Slant::Level),
            (false, true) => (-5.6 - w, -h - 0.4, crate::sheets::Slant::Level),
            (true, true) => (1.6, -3.0, crate::sheets::Slant::Up90),
        };
        let (outline, text_at) = if slant == crate::sheets::Slant::Level {
            let r = kurbo::Rect::new(x0, y0, x0 + w, y0 + h);
            (Outline::rect(r), Point::new(x0, y0 + caption.rise()))
        } else {
            let r = kurbo::Rect::new(x0, y0 - w, x0 + h, y0);
            (Outline::rect(r), Point::new(x0 + caption.rise(), y0))
        };
        block.outlines.push(outline);
        // The piece of floor round the stack: lettering keeps off it.
        let (x, y) = (
            crate::projection::COS30 * MARK_HALF,
            crate::projection::SIN30 * MARK_HALF,
        );
        let corners = [(-x, 0.0), (0.0, -y), (x, 0.0), (0.0, y)].map(Point::from);
        block.outlines.push(Outline::hull(&corners));
        block.marks.push(PlacedMark {
            floor,
            at: Point::ORIGIN,
            text_at,
            slant,
        });
    }

    /// Marks of floors that the stack passes below `child_z` without a branch of theirs so far.
    pub(super) fn floor_marks(
        &self,
        joint: JointIx,
        z: f64,
        child_z: f64,
        marked: &mut Vec<FloorIx>,
        elements: &mut Vec<Element>,
    ) {
        let own = self.tree.floor(joint);
        let above = self.is_above_floor(joint);
        for f in self.heights.floors() {
            let (h, mark) = (self.heights.branch(f), self.heights.mark(f));
            let passed = match Some(f) == own {
                true => above,
                false => mark <= child_z,
            };
            if !passed || marked.contains(&f) || h < z + 4.0 {
                continue;
            }
            marked.push(f);
            self.loose_mark(f, z, elements);
        }
        // Its mark may still come, below what comes in above it.
        let stack = self.tree.down(joint).map(|p| self.net.graph[p].run);
        let later = |f: &FloorIx| !above && stack.is_some_and(|s| self.passes_floor(s, *f));
        marked.extend(own.filter(|f| !later(f)));
    }

    pub(super) fn loose_mark(&self, f: FloorIx, z: f64, elements: &mut Vec<Element>) {
        let side = |s| (self.mark_block(f, s), 0.0);
        let sides = || [(false, false), (false, true)].map(side).to_vec();
        let at_least = self.heights.mark(f) - z;
        elements.push(loose(self.kept.loose(Loose::Mark(f), sides), at_least));
    }

    /// The words of a pipe of a stack's vent. Where they say its length they stand between its two joints:
    /// where it is too short for them, the vents at its upper end go up.
    fn between(
        &self,
        (pipe, words): (PieceIx, usize),
        (base, z): (f64, f64),
        wants: &mut Vec<(Want, f64)>,
    ) -> Element {
        let lengths = self.captions.numbers_joints;
        let at = |j: Option<JointIx>| j.and_then(|j| vent_at(self.net, j));
        let begins = match at(self.net.from(pipe)) {
            Some(at) if lengths => self.vent_height(at, z) + ABOVE_JOINT,
            _ => base + ABOVE_BRANCH,
        };
        let takes = self.captions.all[words].width();
        let ends = at(self.net.to(pipe)).filter(|_| lengths);
        if let Some(VentLevel::AboveRim(f)) = ends.map(|at| at.level) {
            wants.push((Want::Rim(f), begins - z + takes + ABOVE_JOINT));
        }
        Element {
            gap: ABOVE_JOINT,
            takes,
            ..loose(self.along(words, Way::UP), begins - z)
        }
    }

    /// What stands above a stack's top joint: floors passed, the stack vent's words, and last the
    /// terminal; says whether there is one.
    pub(super) fn stack_top(
        &self,
        top: JointIx,
        z: f64,
        marked: &mut Vec<FloorIx>,
        elements: &mut Vec<Element>,
        wants: &mut Vec<(Want, f64)>,
    ) -> bool {
        let Some(vents) = self.over.get(&top) else {
            return false;
        };
        let own = self.tree.floor(top);
        let base = own.map_or(z, |f| self.heights.branch(f));
        let mut along: Vec<Element> = Vec::new();
        for p in self.rising(top, vents) {
            if let Some(&i) = self.captions.pieces.get(&p) {
                along.push(self.between((p, i), (base, z), wants));
            }
        }
        for f in self.heights.floors() {
            if marked.contains(&f) || self.heights.branch(f) < base + 4.0 {
                continue;
            }
            marked.push(f);
            self.loose_mark(f, z, &mut along);
        }
        if self.captions.numbers_joints {
            along.sort_by(|a, b| a.at_least.total_cmp(&b.at_least));
        }
        elements.extend(along);
        let reaches_roof = vents.iter().any(|&v| {
            matches!(
                vent_at(self.net, v),
                Some(VentAt {
                    level: VentLevel::Roof,
                    ..
                })
            )
        });
        if !reaches_roof {
            return false;
        }
        let roof = self.heights.roof() - z;
        let mut terminal = Block::default();
        if let Some(caption) = self.captions.floors.last() {
            let mut mark = Block::default();
            self.mark(None, caption, (false, false), &mut mark);
            terminal.absorb(mark.finish(), Space::new(0.0, 0.0, -9.0));
        }
        let roof_mark = terminal.clone();
        for &v in vents {
            for &f in self.figures.at(v) {
                let round = Some(&roof_mark);
                if let Some((form, _)) = self.alone(f, Way::UP, round).into_iter().next() {
                    terminal.absorb(form, Space::default());
                }
            }
        }
        elements.push(Element {
            level: true,
            ..loose(Forms::loose(vec![(terminal, 0.0)]), roof)
        });
        true
    }
}

/// Words along a stack vent stand so far above where their pipe begins, mm.
const ABOVE_JOINT: f64 = 3.0;
/// The same, above the branches of the stack's top.
const ABOVE_BRANCH: f64 = 12.0;

/// Something along a trunk that is no joint of it.
pub(super) fn loose(forms: Rc<Forms>, at_least: f64) -> Element {
    Element {
        forms,
        gap: 0.0,
        at_least,
        level: false,
        is_joint: false,
        takes: 0.0,
        after: Vec::new(),
    }
}
