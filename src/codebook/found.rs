use super::Provenance;
use crate::units::PipeSize;

/// A figure of the book, with where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Found<T> {
    /// The figure.
    pub value: T,
    /// Section that it is under (`710.1`).
    pub section: String,
    /// Table it was read in, if it stands in one (`Table 710.1(2)`).
    pub table: Option<String>,
    /// The row, in words; empty where there is none.
    pub row: String,
    /// The column, in words; empty where there is none.
    pub column: String,
    /// Whether the figure was read in a source.
    pub provenance: Provenance,
}

impl<T> Found<T> {
    /// The same place with another value.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Found<U> {
        Found {
            value: f(self.value),
            section: self.section,
            table: self.table,
            row: self.row,
            column: self.column,
            provenance: self.provenance,
        }
    }
    /// The table if there is one, else the section: what is printed beside a number.
    pub fn cite(&self) -> &str {
        self.table.as_deref().unwrap_or(&self.section)
    }
    /// Row and column in one phrase, for a working.
    pub fn place(&self) -> String {
        [self.row.as_str(), self.column.as_str()]
            .into_iter()
            .filter(|s| !s.is_empty())
            .collect::<Vec<_>>()
            .join(", ")
    }
}

/// A look-up that leaves the table: never an extrapolation, always a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Beyond {
    /// What was asked and where the table ends, in one sentence.
    pub message: String,
    /// Section of the table.
    pub section: String,
    /// The table.
    pub table: Option<String>,
}

/// The head of one table or rule of a book.
#[derive(Clone, Debug, PartialEq)]
pub struct TableInfo {
    /// Its key in the book file (`building_drain`).
    pub key: String,
    /// Its title, in our words.
    pub title: String,
    /// Its number, if it is a table (`Table 710.1(1)`).
    pub table: Option<String>,
    /// The section it belongs to.
    pub section: String,
    /// Unit of its figures.
    pub unit: String,
    /// Where its figures come from, unless a row or a cell says otherwise.
    pub provenance: Provenance,
    /// Its notes, in our words.
    pub notes: Vec<String>,
    /// What a town cites for what it changed in this table.
    pub amended_by: Option<String>,
    /// Whether it names pipes by DN.
    pub(super) dn: bool,
}

impl TableInfo {
    /// A figure of this table.
    pub(super) fn found<T>(
        &self,
        value: T,
        row: impl Into<String>,
        column: impl Into<String>,
        provenance: Provenance,
    ) -> Found<T> {
        // What a town changed stands in the town's own law, and no longer in the table.
        let town = self.amended_by.as_ref();
        let town = town.filter(|_| provenance == Provenance::Amended);
        Found {
            value,
            section: town.unwrap_or(&self.section).clone(),
            table: self.table.clone().filter(|_| town.is_none()),
            row: row.into(),
            column: column.into(),
            provenance,
        }
    }
    /// A size as this table names it.
    pub(super) fn size(&self, size: PipeSize) -> String {
        match self.dn {
            true => format!("DN {}", size.dn()),
            false => format!("{} in", size.trade_name()),
        }
    }
    /// A look-up beyond this table.
    pub(super) fn beyond(&self, message: String) -> Beyond {
        Beyond {
            message,
            section: self.section.clone(),
            table: self.table.clone(),
        }
    }
    /// The table's name, else its section.
    pub fn cite(&self) -> &str {
        self.table.as_deref().unwrap_or(&self.section)
    }
}
