//! What the next smaller and the next larger size would do in a drain's place.

use super::check::{Checked, Need};
use super::class::{Class, class};
use super::waste::Basis;
use super::{Sizer, Sizing};
use crate::levels::Falls;
use crate::network::PieceIx;
use crate::units::PipeSize;

/// A size in the place of another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alternative {
    /// The size.
    pub size: PipeSize,
    /// Whether it would do.
    pub does: bool,
    /// Why, or why not, in words.
    pub because: String,
}

impl Sizer<'_> {
    /// The sizes of the trade's list next to that of a drain, the smaller first; none of a vent, nor
    /// of what is not sized by a table.
    pub fn alternatives(&self, sizing: &Sizing, piece: PieceIx) -> Vec<Alternative> {
        let (Some(own), Some(serves)) = (sizing.pieces.get(&piece), sizing.serves.get(&piece))
        else {
            return Vec::new();
        };
        let class = class(self.net, piece);
        if matches!(class, Class::Sewer | Class::Discharge) {
            return Vec::new();
        }
        let falls = Falls::default();
        let basis = Basis {
            job: self.job,
            net: self.net,
            book: self.book,
            falls: &falls,
            traps: &self.traps,
            groups: &self.groups,
            intervals: &self.intervals,
            wet: &self.wet,
            upright_wet: &self.upright_wet,
            common: &self.common,
            unvented: &self.unvented,
            combinations: &self.combinations,
            checked: &Checked::default(),
        };
        let need = Need {
            basis: &basis,
            piece,
            class,
            load: own.load,
            demand: own.demand,
            closets: serves.closets,
            washers: serves.washers,
            fixtures: serves.fixtures,
            interval: None,
            trap_floor: None,
        };
        let smaller = PipeSize::all().rev().find(|s| *s < own.size);
        let larger = PipeSize::all().find(|s| *s > own.size);
        let sizes = smaller.into_iter().chain(larger);
        sizes
            .map(|size| {
                let check = need.check(size);
                Alternative {
                    size,
                    does: check.fails.is_none(),
                    because: check.fails.or(check.passes).unwrap_or_default(),
                }
            })
            .collect()
    }
}
