use super::Book;
use super::check::{Looked, no_row};
use super::grid::{Grid, Role};
use crate::units::{Length, Load, PipeSize};

impl Book {
    /// Whether the book sizes stack vents and vent stacks by a table of lengths.
    pub fn has_stack_vent_table(&self) -> bool {
        self.stack_vents.is_some()
    }

    /// Most developed length of a stack vent or vent stack of this size, for a stack of this size
    /// and the load it vents.
    ///
    /// The row is the first of the stack's rows whose load is not exceeded. A vent larger than
    /// the row's last column may be at least as long as that column says, and that length is
    /// given. A book without such a table sizes these vents by [`Book::vent_rule`] alone; then
    /// every look-up here is beyond, with that said.
    pub fn stack_vent(&self, stack: PipeSize, load: Load, vent: PipeSize) -> Looked<Length> {
        let Some(grid) = &self.stack_vents else {
            let rule = &self.vents;
            return Err(rule.info.beyond(format!(
                "this book has no table of lengths for stack vents; {} sizes them by the drain",
                rule.info.cite()
            )));
        };
        let rows: Vec<_> = grid.rows.iter().filter(|r| r.size == stack).collect();
        let Some(last) = rows.last() else {
            return Err(no_row(&grid.info, stack, &grid.ends()));
        };
        let row = rows.iter().find(|r| r.to.is_none_or(|to| load <= to));
        let Some(row) = row else {
            return Err(grid.info.beyond(format!(
                "{} ends at {} dfu for a {} in stack; {} dfu are vented",
                grid.info.cite(),
                last.to.unwrap_or_default().dfu(),
                stack.trade_name(),
                load.dfu()
            )));
        };
        let listed = |c: usize| row.cells.get(c).copied().flatten().is_some();
        let column = (0..grid.columns.len())
            .rev()
            .find(|&c| listed(c) && matches!(vent_of(grid, c), Some(v) if v <= vent));
        let Some(column) = column else {
            return Err(grid.info.beyond(format!(
                "{} has no {} in vent for a {} in stack with {} dfu: it is too small",
                grid.info.cite(),
                vent.trade_name(),
                stack.trade_name(),
                load.dfu()
            )));
        };
        let exact = vent_of(grid, column) == Some(vent);
        if !exact && (column + 1..grid.columns.len()).any(listed) {
            return Err(grid.info.beyond(format!(
                "{} has no column for a {} in vent",
                grid.info.cite(),
                vent.trade_name()
            )));
        }
        let mut found = grid.cell(row, column)?.map(Length::from_feet);
        if let Some(to) = row.to {
            found.row = format!("{} in stack, {} dfu", stack.trade_name(), to.dfu());
        }
        found.column = match exact {
            true => format!("{} in vent", vent.trade_name()),
            false => format!("{} in vent, the largest listed", found.column),
        };
        Ok(found)
    }

    /// Whether the book sizes every vent by a table of loads and lengths.
    pub fn has_vent_table(&self) -> bool {
        self.vent_lengths.is_some()
    }

    /// Most load of a vent of this size, where the book has a table of them.
    pub fn vent_load(&self, size: PipeSize) -> Option<Looked<Load>> {
        let grid = self.vent_lengths.as_ref()?;
        Some(grid.at(size, 0).map(|f| f.map(Load::from_dfu)))
    }

    /// Most developed length of a vent of this size, where the book has a table of them.
    pub fn vent_length(&self, size: PipeSize) -> Option<Looked<Length>> {
        let grid = self.vent_lengths.as_ref()?;
        Some(grid.at(size, 1).map(|f| f.map(Length::from_feet)))
    }

    /// Most load of the vertical drain that a common vent for two levels stands on, from the
    /// upper fixture.
    pub fn common_vent(&self, size: PipeSize) -> Looked<Load> {
        match &self.common_vent {
            Some(grid) => grid.at(size, 0).map(|f| f.map(Load::from_dfu)),
            None => Err((self.vents.info)
                .beyond("this book has no table of common vents for two levels".to_owned())),
        }
    }

    /// Most load of a wet vent.
    pub fn wet_vent(&self, size: PipeSize) -> Looked<Load> {
        match &self.wet_vent {
            Some((grid, _)) => grid.at(size, 0).map(|f| f.map(Load::from_dfu)),
            None => Err((self.vents.info).beyond("this book has no wet vents".to_owned())),
        }
    }
}

fn vent_of(grid: &Grid, column: usize) -> Option<PipeSize> {
    match grid.columns.get(column)?.role {
        Role::Vent(size) => Some(size),
        _ => None,
    }
}
