//! Tables with pipe sizes down their side.

use super::Provenance;
use super::check::{Checker, Looked, no_row};
use super::found::TableInfo;
use super::raw::{RawRow, RawTable};
use crate::units::{Fall, Length, Load, PipeSize};

/// What a column stands for.
#[derive(Clone, Debug, PartialEq)]
pub enum Role {
    /// Named only.
    Plain,
    /// A horizontal branch.
    Branch,
    /// One branch interval of a stack.
    Interval,
    /// A stack with up to so many branch intervals; none: with any number.
    Stack(Option<u32>),
    /// Any upright drain, a stack with any number of branch intervals or another.
    Vertical,
    /// A stack of less than this height; none: of any.
    Height(Option<Length>),
    /// A limit of its own.
    Limit(Limit),
    /// A fall.
    Fall(Fall),
    /// A vent's size.
    Vent(PipeSize),
}

/// What a column of limits limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Most developed length, feet.
    Length,
    /// Most drop, feet.
    Drop,
    /// Most bends of a quarter turn.
    Bends,
    /// Most water closets.
    Closets,
    /// Most load, dfu.
    Load,
    /// Least fall, inches per foot.
    Fall,
}

/// A column.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    pub name: String,
    pub role: Role,
    /// What the book's figures are taken by, for the unit of the look-up.
    pub factor: f64,
}

/// A row.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    pub size: PipeSize,
    /// Most load of this row, where loads stand down the side as well.
    pub to: Option<Load>,
    /// Most fixtures on such a pipe.
    pub fixtures: Option<u32>,
    /// Most water closets on such a pipe.
    pub closets: Option<u32>,
    pub cells: Vec<Option<f64>>,
    pub provenance: Vec<Provenance>,
}

/// A table of figures by pipe size.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    pub info: TableInfo,
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
}

impl Grid {
    /// Checks a table of the book file.
    pub fn load(check: &mut Checker, key: &str, raw: &toml::Spanned<RawTable<RawRow>>) -> Grid {
        let info = check.head(key, raw);
        let columns = load_columns(check, key, raw);
        let mut rows: Vec<Row> = Vec::new();
        for row in &raw.get_ref().rows {
            let Some(row) = load_row(check, &info, &columns, row) else {
                continue;
            };
            let fits = |last: &Row| match (last.to, row.value.to) {
                (Some(a), Some(b)) if last.size == row.value.size => b > a,
                _ => row.value.size > last.size,
            };
            if rows.last().is_some_and(|last| !fits(last)) {
                let message = format!(
                    "[{key}]: the row for {} does not come after the one before it",
                    info.size(row.value.size)
                );
                check.says("B003", "book-rows-not-ascending", row.span, message);
            }
            rows.push(row.value);
        }
        if rows.is_empty() {
            let message = format!("[{key}] has no rows");
            check.says("B008", "book-table-empty", raw.span(), message);
        }
        Grid {
            info,
            columns,
            rows,
        }
    }

    /// The figure in a row and a column; a dash or a missing row is beyond the table.
    pub fn at(&self, size: PipeSize, column: usize) -> Looked<f64> {
        let Some(row) = self.rows.iter().find(|r| r.size == size) else {
            return Err(no_row(&self.info, size, &self.ends()));
        };
        self.cell(row, column)
    }

    /// The figure in a row already chosen.
    pub fn cell(&self, row: &Row, column: usize) -> Looked<f64> {
        let name = self.columns.get(column).map_or("", |c| c.name.as_str());
        let label = self.info.size(row.size);
        match row.cells.get(column).copied().flatten() {
            Some(value) => {
                let provenance = row.provenance.get(column).copied();
                let provenance = provenance.unwrap_or(self.info.provenance);
                Ok(self.info.found(value, label, name, provenance))
            }
            None => Err(self.info.beyond(format!(
                "{} has no figure for {label} pipe under \u{201c}{name}\u{201d}",
                self.info.cite()
            ))),
        }
    }

    /// The first column of a role.
    pub fn column(&self, wanted: impl Fn(&Role) -> bool) -> Option<usize> {
        self.columns.iter().position(|c| wanted(&c.role))
    }

    /// Where the table begins and ends, in words.
    pub fn ends(&self) -> String {
        match (self.rows.first(), self.rows.last()) {
            (Some(a), Some(b)) if self.info.dn => {
                format!("its rows are DN {} to {}", a.size.dn(), b.size.dn())
            }
            (Some(a), Some(b)) => format!(
                "its rows are {} to {} in",
                a.size.trade_name(),
                b.size.trade_name()
            ),
            _ => "it is empty".to_owned(),
        }
    }
}

fn load_columns(
    check: &mut Checker,
    key: &str,
    raw: &toml::Spanned<RawTable<RawRow>>,
) -> Vec<Column> {
    let mut columns = Vec::new();
    for raw in &raw.get_ref().columns {
        let c = raw.get_ref();
        let (role, own) = if let Some(fall) = c.fall {
            let fall = check.positive(fall.0, "a fall", raw.span());
            let printer = crate::units::Printer {
                units: crate::units::UnitSystem::Feet,
            };
            let fall = Fall::from_inches_per_foot(fall);
            (
                Role::Fall(fall),
                format!("{} in per ft", printer.fall_plain(fall)),
            )
        } else if let Some(percent) = c.percent {
            let percent = check.positive(percent.0, "a fall", raw.span());
            let name = format!("{} %", crate::units::number(percent, 2, false));
            (Role::Fall(Fall::from_percent(percent)), name)
        } else if let Some(vent) = c.vent {
            match check.size(vent, raw.span()) {
                Some(size) => (Role::Vent(size), size.trade_name().to_owned()),
                None => continue,
            }
        } else {
            let role = match c.role.as_deref() {
                None => Role::Plain,
                Some("branch") => Role::Branch,
                Some("interval") => Role::Interval,
                Some("stack") => Role::Stack(c.intervals_to),
                Some("vertical") => Role::Vertical,
                Some("height") => {
                    let under = c.under.map(|n| check.positive(n.0, "a height", raw.span()));
                    Role::Height(under.map(Length::from_feet))
                }
                Some("length") => Role::Limit(Limit::Length),
                Some("drop") => Role::Limit(Limit::Drop),
                Some("bends") => Role::Limit(Limit::Bends),
                Some("closets") => Role::Limit(Limit::Closets),
                Some("load") => Role::Limit(Limit::Load),
                Some("fall") => Role::Limit(Limit::Fall),
                Some(other) => {
                    let message = format!("`{other}` is not what a column can be for");
                    check.says("B009", "book-column-unknown", raw.span(), message);
                    continue;
                }
            };
            (role, String::new())
        };
        let factor = match c.unit.as_deref() {
            None => 1.0,
            Some("%") => Fall::from_percent(1.0).inches_per_foot(),
            Some("m") => Length::from_m(1.0).feet(),
            Some(other) => {
                let message = format!("`{other}` is not a unit of a column: `%` or `m`");
                check.says("B009", "book-column-unknown", raw.span(), message);
                continue;
            }
        };
        columns.push(Column {
            name: c.name.clone().unwrap_or(own),
            role,
            factor,
        });
    }
    if columns.is_empty() {
        let message = format!("[{key}] has no columns");
        check.says("B009", "book-column-unknown", raw.span(), message);
    }
    columns
}

struct Placed {
    value: Row,
    span: std::ops::Range<usize>,
}

fn load_row(
    check: &mut Checker,
    info: &TableInfo,
    columns: &[Column],
    raw: &toml::Spanned<RawRow>,
) -> Option<Placed> {
    let span = raw.span();
    let row = raw.get_ref();
    let size = check.size(row.size, span.clone())?;
    let to = row
        .dfu
        .map(|n| Load::from_dfu(check.positive(n.0, "a load", span.clone())));
    let mut cells: Vec<Option<f64>> = Vec::new();
    if let Some(first) = row.first {
        let first = check.size(first, span.clone())?;
        let empty = columns
            .iter()
            .position(|c| c.role == Role::Vent(first))
            .unwrap_or(columns.len());
        cells.resize(empty, None);
    }
    for cell in &row.is {
        let factor = columns.get(cells.len()).map_or(1.0, |c| c.factor);
        let figure = |v| factor * check.positive(v, "a cell", span.clone());
        cells.push(cell.0.map(figure));
    }
    // A row that says where it starts may stop early; any other has a cell for every column.
    let short = row.first.is_none() && cells.len() < columns.len();
    if short || cells.len() > columns.len() {
        let message = format!(
            "[{}]: the row for {} has {} cells for {} columns",
            info.key,
            info.size(size),
            cells.len(),
            columns.len()
        );
        check.says("B010", "book-cells-miscounted", span, message);
        return None;
    }
    cells.resize(columns.len(), None);
    let whole = check.provenance(row.provenance.as_deref(), info.provenance, span.clone());
    let mut provenance = vec![whole; columns.len()];
    for (words, names) in &row.cells {
        let status = check.provenance(Some(words), whole, span.clone());
        for name in names {
            let mut known = false;
            for (column, p) in columns.iter().zip(&mut provenance) {
                if column.name == *name {
                    *p = status;
                    known = true;
                }
            }
            if !known {
                let message = format!("[{}] has no column `{name}`", info.key);
                check.says("B009", "book-column-unknown", span.clone(), message);
            }
        }
    }
    Some(Placed {
        value: Row {
            size,
            to,
            fixtures: row.fixtures,
            closets: row.closets,
            cells,
            provenance,
        },
        span,
    })
}
