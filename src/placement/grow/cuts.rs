//! Where the drawing goes on on another sheet: the stub of a cut pipe with its match mark, and the
//! start of what lies upstream of one.

use super::*;

/// A stub of a cut pipe is no shorter than this, mm.
const STUB: f64 = 14.0;

impl Grower<'_> {
    /// The stub of a pipe that goes on upstream on another sheet; its mark stands clear of what passes
    /// over it.
    pub(super) fn stub(&self, piece: PieceIx, passing: Option<&Block>) -> Block {
        let way = self.way(piece, 0);
        let u = way.unit();
        let mut block = Block::default();
        let mut length = STUB;
        if let Some(&i) = self.captions.pieces.get(&piece) {
            let caption = &self.captions.all[i];
            let (at, slant, outline) = lettering::along(caption, way, true);
            let shift = (u * 4.0).paper();
            length = length.max(caption.width() + 8.0);
            block.outlines.push(outline.moved(shift));
            block.labels.push(PlacedLabel {
                caption: i,
                at: at + shift,
                slant,
                flush: Flush::Left,
                leader: None,
            });
        }
        let mut length = rounded(length, self.module);
        if let Some(passing) = passing.filter(|b| !b.is_empty()) {
            length = self.mark_past(piece, way, length, passing);
        }
        let end = u * length;
        let line = Outline::pipe(Point::ORIGIN, end.point(), Cover::Solid);
        block.outlines.push(line);
        block.cuts.push((piece, end));
        if let Some([mark, _]) = self.figures.mark(piece) {
            self.mark_at_cut(mark, way, end, &mut block);
        }
        block
    }

    /// How far out the mark of a stub stands clear of what passes over it, no nearer than `least`, mm.
    fn mark_past(&self, piece: PieceIx, way: Way, least: f64, passing: &Block) -> f64 {
        let Some([mark, _]) = self.figures.mark(piece) else {
            return least;
        };
        let clear = Clear {
            parent: None,
            corridor: STACK_CORRIDOR,
            module: self.module,
        };
        let forms = self.alone(mark, way, None);
        stand_alone(way, &clear, passing, (forms, least))
    }

    /// The block of everything upstream of a cut pipe, from its mark on; where it is a stack, of
    /// what stands beside it too.
    pub(super) fn upstream_of_cut(&self, root: JointIx) -> Block {
        let mut block = Block::default();
        let Some(&piece) = self.tree.up(root).first() else {
            return block;
        };
        if self.is_hidden(piece) {
            let chain = self.chain(piece, None, 0.0, &block);
            block.absorb(chain.finish(), Space::default());
            return block;
        }
        let way = self.way(piece, 0);
        block.cuts.push((piece, Space::default()));
        if let Some([_, mark]) = self.figures.mark(piece) {
            self.mark_at_cut(mark, way.reversed(), Space::default(), &mut block);
        }
        let chain = self.chain(piece, None, 0.0, &block);
        block.absorb(chain.finish(), Space::default());
        block
    }

    /// A match mark with its words, where a pipe arrives along `way`.
    fn mark_at_cut(&self, mark: usize, way: Way, at: Space, block: &mut Block) {
        if let Some((form, _)) = self.alone(mark, way, None).into_iter().next() {
            block.absorb(form, at);
        }
    }
}
