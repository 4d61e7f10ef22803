use super::check::{Checker, Looked};
use super::found::TableInfo;
use super::grid::{Grid, Role};
use super::raw::{RawFall, RawTable};
use super::{Book, Found, Provenance};
use crate::units::{Demand, Fall, Flow, Length, PipeSize};

/// The trap arm of one trap size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArmRow {
    /// Its least fall.
    pub fall: Fall,
    /// Its most developed length, trap weir to vent fitting.
    pub length: Length,
}

/// A row of the least falls, checked.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SlopeRow {
    /// None: any larger size.
    to: Option<PipeSize>,
    fall: Fall,
    /// The percentage that the book's own text gives as the same fall.
    percent: Option<Fall>,
    provenance: Provenance,
}

impl Book {
    /// Least flow of an ejector's pump through a discharge of this size, if the book has the rule.
    pub fn ejector_flow(&self, size: PipeSize) -> Option<Looked<Flow>> {
        let grid = self.ejector.as_ref()?;
        Some(grid.at(size, 0).map(|f| f.map(Flow::from_gpm)))
    }

    /// Least size of an ejector's discharge that the book lists.
    pub fn ejector_least(&self) -> Option<PipeSize> {
        self.ejector.as_ref()?.rows.first().map(|r| r.size)
    }

    /// Least fall of a horizontal drain, without the place where it stands: asked for every pipe,
    /// several times. None where [`Book::least_fall`] has none.
    pub fn least_fall_alone(&self, size: PipeSize) -> Option<Fall> {
        let rows = &self.slope.1;
        let row = rows.iter().find(|r| r.to.is_none_or(|to| size <= to));
        row.map(|r| r.fall)
    }

    /// Least fall of a horizontal drain.
    pub fn least_fall(&self, size: PipeSize) -> Looked<Fall> {
        let (info, rows) = &self.slope;
        let row = rows.iter().find(|r| r.to.is_none_or(|to| size <= to));
        match row {
            Some(r) => {
                let label = match r.to {
                    Some(to) => format!("to {}", info.size(to)),
                    None => "larger".to_owned(),
                };
                Ok(info.found(r.fall, label, "least fall", r.provenance))
            }
            None => Err(info.beyond(format!(
                "{} has no least fall for {} pipe",
                info.cite(),
                info.size(size)
            ))),
        }
    }

    /// Whether a fall is as steep as one that the book asks for.
    ///
    /// Where the book's text gives a round percentage beside the inches per foot (2 % for
    /// 1/4 in), that percentage is enough.
    pub fn meets(&self, fall: Fall, asked: Fall) -> bool {
        if fall >= asked || fall.same(asked) {
            return true;
        }
        let said = self.slope.1.iter().find(|r| r.fall.same(asked));
        said.and_then(|r| r.percent)
            .is_some_and(|p| fall >= p || fall.same(p))
    }

    /// Most load of a building drain, of a branch of it or of a building sewer. The column is the
    /// steepest listed one that the fall reaches.
    pub fn building_drain(&self, size: PipeSize, fall: Fall) -> Looked<Demand> {
        let grid = &self.building_drain;
        let reached = grid
            .columns
            .iter()
            .rposition(|c| matches!(c.role, Role::Fall(f) if self.meets(fall, f)));
        match reached {
            Some(column) => grid.at(size, column).map(|f| f.map(|n| self.figure(n))),
            None => Err(grid.info.beyond(format!(
                "{} has no column for a fall as flat as {:.2} %",
                grid.info.cite(),
                fall.percent()
            ))),
        }
    }

    /// Most fixtures on a building drain or a branch of it, where the table counts them.
    pub fn building_drain_fixtures(&self, size: PipeSize) -> Option<Found<u32>> {
        let grid = &self.building_drain;
        let row = grid.rows.iter().find(|r| r.size == size)?;
        let label = grid.info.size(size);
        let fixtures = row.fixtures?;
        Some(
            grid.info
                .found(fixtures, label, "fixtures", grid.info.provenance),
        )
    }

    /// Most load of a horizontal branch.
    pub fn branch(&self, size: PipeSize) -> Looked<Demand> {
        self.by_role(size, |r| *r == Role::Branch)
    }

    /// Most load of a whole stack that so many branch intervals discharge into.
    pub fn stack(&self, size: PipeSize, intervals: u32) -> Looked<Demand> {
        let fits = |r: &Role| match r {
            Role::Stack(to) => to.is_none_or(|to| intervals <= to),
            Role::Vertical => true,
            _ => false,
        };
        self.by_role(size, fits)
    }

    /// Most load of an upright drain that is not a stack; none where the book has no figures of
    /// its own for it, and it counts as the branch that it drains into.
    pub fn upright(&self, size: PipeSize) -> Option<Looked<Demand>> {
        let column = self.branches_and_stacks.column(|r| *r == Role::Vertical)?;
        let cell = self.branches_and_stacks.at(size, column);
        Some(cell.map(|f| f.map(|n| self.figure(n))))
    }

    /// Most load of one branch interval of a stack; none where the book has no such column. The
    /// column holds whatever the stack's number of intervals: it is asked for, so that a book
    /// that limits it can.
    pub fn stack_interval(&self, size: PipeSize, _intervals: u32) -> Option<Looked<Demand>> {
        let column = self.branches_and_stacks.column(|r| *r == Role::Interval)?;
        let cell = self.branches_and_stacks.at(size, column);
        Some(cell.map(|f| f.map(|n| self.figure(n))))
    }

    fn by_role(&self, size: PipeSize, wanted: impl Fn(&Role) -> bool) -> Looked<Demand> {
        let grid = &self.branches_and_stacks;
        match grid.column(wanted) {
            Some(column) => grid.at(size, column).map(|f| f.map(|n| self.figure(n))),
            None => Err(grid
                .info
                .beyond(format!("{} has no column for this", grid.info.cite()))),
        }
    }

    /// Whether a water closet may drain into a pipe of this size.
    pub fn closets_allowed(&self, size: PipeSize) -> Found<bool> {
        self.closet_least.clone().map(|least| size >= least)
    }

    /// Most water closets on an upright or a level drain of this size; none where the book does
    /// not count them there.
    pub fn closets_most(&self, size: PipeSize, upright: bool) -> Option<Found<u32>> {
        let grid = self.closet_counts.as_ref()?;
        let role = if upright {
            Role::Vertical
        } else {
            Role::Branch
        };
        let cell = grid.at(size, grid.column(|r| *r == role)?).ok()?;
        // Whole numbers: the loader refuses any other.
        Some(cell.map(|n| n as u32))
    }

    /// The least size of a drain that carries a water closet.
    pub fn closet_least(&self) -> Found<PipeSize> {
        self.closet_least.clone()
    }

    /// Most water closets of a room that are proposed on one branch; none: as many as there are.
    pub fn closet_row(&self) -> Option<Found<u32>> {
        self.closet_row.clone()
    }

    /// Least fall and most length of the trap arm of this trap.
    pub fn trap_arm(&self, trap: PipeSize) -> Looked<ArmRow> {
        let fall = self.trap_arms.at(trap, 0)?;
        let length = self.trap_arms.at(trap, 1)?;
        // The length is what a finding turns on, so its place and provenance are given.
        let fall = Fall::from_inches_per_foot(fall.value);
        Ok(length.map(|feet| ArmRow {
            fall,
            length: Length::from_feet(feet),
        }))
    }
}

/// Checks what only a building-drain grid has: columns that are falls, ascending.
pub(super) fn check_falls(check: &mut Checker, grid: &Grid, span: std::ops::Range<usize>) {
    let mut last: Option<Fall> = None;
    for column in &grid.columns {
        match column.role {
            Role::Fall(fall) if last.is_none_or(|l| fall > l) => last = Some(fall),
            _ => {
                let message = format!("[{}]: columns are falls, ascending", grid.info.key);
                check.says("B009", "book-column-unknown", span.clone(), message);
            }
        }
    }
}

/// Checks what only a grid of counts has: whole numbers, for level and for upright drains.
pub(super) fn check_counts(check: &mut Checker, grid: &Grid, span: std::ops::Range<usize>) {
    let known = |r: &Role| matches!(r, Role::Branch | Role::Vertical);
    if !grid.columns.iter().all(|c| known(&c.role)) {
        let message = format!("[{}]: columns are for branch and vertical", grid.info.key);
        check.says("B009", "book-column-unknown", span.clone(), message);
    }
    let cells = grid.rows.iter().flat_map(|r| r.cells.iter().flatten());
    if cells.into_iter().any(|n| n.fract() != 0.0) {
        let message = format!("[{}]: counts are whole numbers", grid.info.key);
        check.says("B012", "book-row-incomplete", span, message);
    }
}

pub(super) fn load_slope(
    check: &mut Checker,
    info: &TableInfo,
    raw: &toml::Spanned<RawTable<RawFall>>,
) -> Vec<SlopeRow> {
    let mut rows: Vec<SlopeRow> = Vec::new();
    for raw in &raw.get_ref().rows {
        let (span, r) = (raw.span(), raw.get_ref());
        let to = match r.to {
            None => None,
            Some(n) => match check.size(n, span.clone()) {
                Some(size) => Some(size),
                None => continue,
            },
        };
        let ends_before = rows.last().is_some_and(|l| match (l.to, to) {
            (Some(a), Some(b)) => b <= a,
            (None, _) => true,
            (Some(_), None) => false,
        });
        if ends_before {
            let message = format!("[{}]: the sizes do not ascend", info.key);
            check.says("B003", "book-rows-not-ascending", span.clone(), message);
        }
        let mut positive = |n: super::number::Number| check.positive(n.0, "a fall", span.clone());
        let percent = r.percent.map(|p| Fall::from_percent(positive(p)));
        let inches = (r.fall).map(|f| Fall::from_inches_per_foot(positive(f)));
        let Some(fall) = inches.or(percent) else {
            let message = format!("[{}]: a row has `fall` or `percent`", info.key);
            check.says("B012", "book-row-incomplete", span, message);
            continue;
        };
        rows.push(SlopeRow {
            to,
            fall,
            percent,
            provenance: check.provenance(r.provenance.as_deref(), info.provenance, span),
        });
    }
    if rows.is_empty() {
        let message = format!("[{}] has no rows", info.key);
        check.says("B008", "book-table-empty", raw.span(), message);
    }
    rows
}
