//! Stage 4 of 12. In: the frozen network, the code book and the falls. Out: [`Sizing`].
//! Promises: every pipe has its code size, its chosen size, load, capacity and working, or the
//! reason why it has none.

pub mod alternatives;
pub mod branch_vents;
pub mod building_vent;
mod check;
pub mod class;
pub mod groups;
pub mod hydraulics;
pub mod intervals;
pub mod loads;
pub mod model;
pub mod offsets;
pub mod order;
pub mod tall;
mod totals;
pub mod traps;
pub mod unvented;
pub mod vent_rules;
mod vented;
pub mod vents;
pub mod waste;
pub mod ways;
mod whole_stacks;
pub mod working;

pub use alternatives::Alternative;
pub use model::*;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::codebook::Book;
use crate::job::Job;
use crate::levels::{Drains, Falls};
use crate::network::{Network, PieceIx, RunIx, System, Table, TrapIx};

/// All that sizing works out once, whatever the falls.
pub struct Sizer<'a> {
    job: &'a Job,
    net: &'a Network,
    book: &'a Book,
    traps: Table<TrapIx, Arc<TrapSize>>,
    groups: groups::Groups,
    intervals: BTreeMap<RunIx, intervals::Intervals>,
    wet: ways::Pieces,
    upright_wet: ways::Pieces,
    common: ways::Pieces,
    unvented: Table<PieceIx, unvented::Unvented>,
    combinations: branch_vents::Combinations,
    /// Drains from the traps down, and vents from the drains up.
    waste: Vec<PieceIx>,
    vent: Vec<PieceIx>,
}

impl<'a> Sizer<'a> {
    /// Gets ready to size a network.
    pub fn of(job: &'a Job, net: &'a Network, book: &'a Book) -> Self {
        let traps = traps::traps(job, net, book);
        Sizer {
            job,
            net,
            book,
            groups: groups::groups(job, net, book, &traps),
            traps,
            intervals: intervals::intervals(job, net, book),
            wet: ways::wet_pieces(net, book.upright_wet_rules().is_some()),
            upright_wet: ways::upright_wet_pieces(net),
            common: ways::common_pieces(job, net),
            unvented: unvented::unvented(net),
            combinations: branch_vents::Combinations::of(net),
            waste: order::order(net, System::Waste),
            vent: order::order(net, System::Vent),
        }
    }

    /// The waste pieces from the traps down.
    pub fn waste(&self) -> &[PieceIx] {
        &self.waste
    }

    /// Sizes everything at these falls, with the levels of the drains that come with it: a vent
    /// rises from its drain's invert, so its length follows from the drains' sizes.
    pub fn size(&self, falls: &Falls) -> (Sizing, Drains) {
        let (job, net, book) = (self.job, self.net, self.book);
        let basis = waste::Basis {
            job,
            net,
            book,
            falls,
            traps: &self.traps,
            groups: &self.groups,
            intervals: &self.intervals,
            wet: &self.wet,
            upright_wet: &self.upright_wet,
            common: &self.common,
            unvented: &self.unvented,
            combinations: &self.combinations,
            checked: &check::Checked::default(),
        };
        let (pieces, serves, stacks) = waste::waste(&basis, &self.waste);
        let totals = totals::totals(&basis, &pieces);
        let mut sizing = Sizing {
            pieces,
            load_method: totals::load_method(self.book, &self.groups),
            traps: self.traps.clone(),
            serves,
            totals,
        };
        let drains = crate::levels::drains(job, net, book, &sizing, falls, &self.waste);
        let found = (&sizing.traps, &self.groups, &stacks);
        let ways = (self.vent.as_slice(), &drains.vents);
        vents::vents(job, net, book, found, ways, falls, &mut sizing.pieces);
        (sizing, drains)
    }
}
