//! Stacks whose own vent serves the traps of unvented branches: what a book limits of them.
//!
//! Every part is optional, so that one book may limit the height and the load of the stack and
//! how far each kind of fixture stands, and another the length, bends and drop of each size of
//! branch.

use super::check::{Checker, Looked};
use super::found::TableInfo;
use super::grid::{Grid, Limit, Role};
use super::load_rules::{Figures, Raw};
use super::{Book, Found};
use crate::units::{Demand, Fall, Length, PipeSize};

/// What a single stack keeps to, whatever its size.
#[derive(Clone, Debug, PartialEq)]
pub struct SingleStackRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Most level distance of a water closet from the stack.
    pub closet: Option<Found<Length>>,
    /// The same where its branch enters through a sanitary tee.
    pub closet_by_tee: Option<Found<Length>>,
    /// Most level distance of any other fixture from the stack.
    pub others: Option<Found<Length>>,
    /// Whether the stack is of one size throughout, if the book says.
    pub one_size: Option<Found<bool>>,
    /// Whether stacks serve what enters the building drain that they stand on.
    pub drain_served: Option<Found<bool>>,
    /// Whether the stack vent is as large as the stack, if the book says.
    pub full_vent: Option<Found<bool>>,
}

impl SingleStackRules {
    /// Most level distance from the stack, for a water closet or another fixture; the longer
    /// figure where the closet's branch enters through a sanitary tee.
    pub fn distance(&self, closet: bool, by_tee: bool) -> Option<&Found<Length>> {
        match closet {
            true => self
                .closet_by_tee
                .as_ref()
                .filter(|_| by_tee)
                .or(self.closet.as_ref()),
            false => self.others.as_ref(),
        }
    }
}

/// What an unvented branch of one size may be; none: not limited.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct UnventedBranch {
    /// Most developed length, trap weir to stack.
    pub length: Option<Found<Length>>,
    /// Most drop.
    pub drop: Option<Found<Length>>,
    /// Most quarter bends on its way.
    pub bends: Option<Found<u32>>,
    /// Most water closets.
    pub closets: Option<Found<u32>>,
    /// Most load.
    pub load: Option<Found<Demand>>,
    /// Least fall.
    pub fall: Option<Found<Fall>>,
}

impl Book {
    /// Most load of a single stack of this size and height; none where the book has no table of
    /// them, and they are sized as any stack. A height that is not known counts as the lowest.
    pub fn single_stack(&self, size: PipeSize, height: Option<Length>) -> Option<Looked<Demand>> {
        let grid = self.single_stack.as_ref()?;
        let height = height.unwrap_or(Length::ZERO);
        let column = grid.column(|r| match r {
            Role::Height(under) => under.is_none_or(|u| height < u),
            _ => false,
        });
        Some(match column {
            Some(column) => grid.at(size, column).map(|f| f.map(|n| self.figure(n))),
            None => Err(grid.info.beyond(format!(
                "{} has no column for a stack as high as {:.0} ft",
                grid.info.cite(),
                height.feet()
            ))),
        })
    }

    /// Most water closets on a single stack of this size, where the book counts them.
    pub fn single_stack_closets(&self, size: PipeSize) -> Option<Found<u32>> {
        let grid = self.single_stack.as_ref()?;
        let row = grid.rows.iter().find(|r| r.size == size)?;
        let label = grid.info.size(size);
        let most = row.closets?;
        Some(
            grid.info
                .found(most, label, "water closets", grid.info.provenance),
        )
    }

    /// What a single stack keeps to, whatever its size; none where the book has no such rules.
    pub fn single_stack_rules(&self) -> Option<&SingleStackRules> {
        self.single_stack_rules.as_ref()
    }

    /// What an unvented branch of this size may be; none where the book has no table of them, or
    /// the table no row.
    pub fn unvented_branch(&self, size: PipeSize) -> Option<UnventedBranch> {
        let grid = self.unvented_branches.as_ref()?;
        let row = grid.rows.iter().find(|r| r.size == size)?;
        let of = |limit: Limit| {
            let column = grid.column(|r| *r == Role::Limit(limit))?;
            grid.cell(row, column).ok()
        };
        // Whole numbers: the loader refuses any other.
        let count = |limit| of(limit).map(|f| f.map(|n| n as u32));
        Some(UnventedBranch {
            length: of(Limit::Length).map(|f| f.map(Length::from_feet)),
            drop: of(Limit::Drop).map(|f| f.map(Length::from_feet)),
            bends: count(Limit::Bends),
            closets: count(Limit::Closets),
            load: of(Limit::Load).map(|f| f.map(|n| self.figure(n))),
            fall: of(Limit::Fall).map(|f| f.map(Fall::from_inches_per_foot)),
        })
    }

    /// The sizes of the table of unvented branches, ascending; none where there is no such table.
    pub fn unvented_sizes(&self) -> Vec<PipeSize> {
        let rows = self.unvented_branches.iter().flat_map(|g| &g.rows);
        rows.map(|r| r.size).collect()
    }
}

pub(super) fn load_rules(check: &mut Checker, raw: &Raw) -> (SingleStackRules, TableInfo) {
    let mut f = Figures::new(check, "single_stack_rules", raw);
    let closet = f.may_length("closet to the stack");
    let closet_by_tee = f.may_length("closet to the stack through a sanitary tee");
    let others = f.may_length("others to the stack");
    let one_size = f.may_yes("stack in one size");
    let full_vent = f.may_yes("stack vent as large as the stack");
    let drain_served = f.may_yes("serves the building drain as well");
    let info = f.done();
    let rules = SingleStackRules {
        info: info.clone(),
        closet,
        closet_by_tee,
        others,
        one_size,
        drain_served,
        full_vent,
    };
    (rules, info)
}

/// Checks what only the stacks' table has: columns that are heights, ascending.
pub(super) fn check_heights(check: &mut Checker, grid: &Grid, span: std::ops::Range<usize>) {
    let mut last: Option<Option<Length>> = None;
    for column in &grid.columns {
        let follows = |under: Option<Length>| match last {
            None => true,
            Some(None) => false,
            Some(Some(last)) => under.is_none_or(|u| u > last),
        };
        match column.role {
            Role::Height(under) if follows(under) => last = Some(under),
            _ => {
                let message = format!("[{}]: columns are heights, ascending", grid.info.key);
                check.says("B009", "book-column-unknown", span.clone(), message);
            }
        }
    }
}

/// Checks what only the branches' table has: columns that are limits, counts whole.
pub(super) fn check_limits(check: &mut Checker, grid: &Grid, span: std::ops::Range<usize>) {
    for (i, column) in grid.columns.iter().enumerate() {
        let Role::Limit(limit) = column.role else {
            let message = format!("[{}]: columns are limits", grid.info.key);
            check.says("B009", "book-column-unknown", span.clone(), message);
            continue;
        };
        let counts = matches!(limit, Limit::Bends | Limit::Closets);
        let mut cells = grid.rows.iter().filter_map(|r| r.cells.get(i).copied()?);
        if counts && cells.any(|n| n.fract() != 0.0) {
            let message = format!("[{}]: counts are whole numbers", grid.info.key);
            check.says("B012", "book-row-incomplete", span.clone(), message);
        }
    }
}
