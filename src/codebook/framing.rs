//! What may be bored through studs and plates, and where a pipe in them is shielded.

use super::check::Checker;
use super::found::TableInfo;
use super::load_rules::Figures;
use super::raw::{RawTable, RawValue};
use super::{Book, Found};
use crate::units::Length;

type Raw = toml::Spanned<RawTable<RawValue>>;

/// What may be bored through studs.
#[derive(Clone, Debug, PartialEq)]
pub struct StudRules {
    /// Diameter of a hole through a stud of an outside or bearing wall, at most, as a part of the
    /// stud's depth.
    pub bearing: Found<f64>,
    /// The same where the stud is doubled.
    pub doubled: Found<f64>,
    /// The same through a stud of a wall that bears nothing.
    pub partition: Found<f64>,
    /// Wood that stays between a hole and the face of the stud.
    pub edge: Found<Length>,
}

/// What of a top plate may be cut away before it is tied together again.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateRules {
    /// Part of its width.
    pub part: Found<f64>,
    /// Width of the steel tie across the opening.
    pub tie_width: Found<Length>,
    /// Gage of the steel.
    pub tie_gage: Found<u32>,
}

/// Where a pipe through wood is shielded from nails.
#[derive(Clone, Debug, PartialEq)]
pub struct ShieldRules {
    /// A hole nearer to the face of its member than this has a plate there.
    pub nearer: Found<Length>,
}

impl Book {
    /// What may be bored through studs; none where the book has no such table.
    pub fn studs(&self) -> Option<&StudRules> {
        self.studs.as_ref()
    }
    /// When a top plate is tied; none where the book has no such table.
    pub fn plates(&self) -> Option<&PlateRules> {
        self.plates.as_ref()
    }
    /// Where shield plates stand; none where the book has no such rule.
    pub fn shields(&self) -> Option<&ShieldRules> {
        self.shields.as_ref()
    }
}

pub(super) fn studs(check: &mut Checker, raw: &Raw) -> (StudRules, TableInfo) {
    let mut f = Figures::new(check, "studs", raw);
    let rules = StudRules {
        bearing: f.plain("bearing wall, part of the depth"),
        doubled: f.plain("bearing wall, studs doubled, part of the depth"),
        partition: f.plain("other wall, part of the depth"),
        edge: f.length("hole from the face"),
    };
    (rules, f.done())
}

pub(super) fn plates(check: &mut Checker, raw: &Raw) -> (PlateRules, TableInfo) {
    let mut f = Figures::new(check, "plates", raw);
    let rules = PlateRules {
        part: f.plain("tied if more is cut, part of the width"),
        tie_width: f.length("tie, width"),
        tie_gage: f.count("tie, gage"),
    };
    (rules, f.done())
}

pub(super) fn shields(check: &mut Checker, raw: &Raw) -> (ShieldRules, TableInfo) {
    let mut f = Figures::new(check, "shields", raw);
    let nearer = f.length("nearer to the face than");
    (ShieldRules { nearer }, f.done())
}
