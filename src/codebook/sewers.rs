//! Loads of building sewers: as of building drains, or by a table of their own with most and least
//! loads, so that they neither overflow nor silt up.

use super::Book;
use super::Found;
use super::check::{Checker, Looked};
use super::drains::check_falls;
use super::found::TableInfo;
use super::grid::{Grid, Role};
use super::load_rules::{Figures, Raw};
use super::raw::{RawRow, RawTable};
use crate::units::{Demand, Fall, PipeSize};

/// What a book says of building sewers.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sewers {
    as_drains: Found<bool>,
    most: Option<Grid>,
    least: Option<Grid>,
}

impl Book {
    /// Most load of a building sewer; none where the book has no sewers.
    pub fn sewer_most(&self, size: PipeSize, fall: Fall) -> Option<Looked<Demand>> {
        let sewers = self.sewers.as_ref()?;
        let own = sewers
            .most
            .as_ref()
            .and_then(|g| self.in_grid(g, size, fall));
        match own {
            Some(own) => Some(own),
            None => (sewers.as_drains.value).then(|| self.building_drain(size, fall)),
        }
    }

    /// Least load of a building sewer, below which it does not clean itself; none where the book
    /// asks for none of this size.
    pub fn sewer_least(&self, size: PipeSize, fall: Fall) -> Option<Found<Demand>> {
        let grid = self.sewers.as_ref()?.least.as_ref()?;
        self.in_grid(grid, size, fall)?.ok()
    }

    /// A figure of a table by falls, in the steepest column that the fall reaches; none where it
    /// has no row for the size.
    fn in_grid(&self, grid: &Grid, size: PipeSize, fall: Fall) -> Option<Looked<Demand>> {
        grid.rows.iter().find(|r| r.size == size)?;
        let reached = |r: &Role| matches!(r, Role::Fall(f) if self.meets(fall, *f));
        let column = grid.columns.iter().rposition(|c| reached(&c.role));
        Some(match column {
            Some(column) => grid.at(size, column).map(|f| f.map(|n| self.figure(n))),
            None => Err(grid.info.beyond(format!(
                "{} has no column for a fall as flat as {:.2} %",
                grid.info.cite(),
                fall.percent()
            ))),
        })
    }
}

type RawGrid = toml::Spanned<RawTable<RawRow>>;

pub(super) fn load(
    check: &mut Checker,
    rules: &Raw,
    most: Option<&RawGrid>,
    least: Option<&RawGrid>,
) -> (Sewers, Vec<TableInfo>) {
    let mut f = Figures::new(check, "sewers", rules);
    let as_drains = f.yes("as building drains");
    let mut infos = vec![f.done()];
    let mut grid = |key: &str, raw: Option<&RawGrid>| {
        let raw = raw?;
        let grid = Grid::load(check, key, raw);
        check_falls(check, &grid, raw.span());
        infos.push(grid.info.clone());
        Some(grid)
    };
    let most = grid("sewer", most);
    let least = grid("sewer_least", least);
    let sewers = Sewers {
        as_drains,
        most,
        least,
    };
    (sewers, infos)
}
