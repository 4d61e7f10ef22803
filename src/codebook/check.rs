//! Collects everything that is wrong with a book file, each with its line and column.

use std::ops::Range;

use super::amend::Place;
use super::found::TableInfo;
use super::number::Size;
use super::options::Options;
use super::raw::RawTable;
use super::{Beyond, Found, Provenance};
use crate::diagnostics::{Diagnostic, Severity};
use crate::units::PipeSize;

/// The text of a book file and what is wrong with it so far.
pub struct Checker<'a> {
    path: &'a str,
    text: &'a str,
    /// Rows of the text that stand in another, which the user wrote, and where they stand there.
    written: Option<(&'a str, &'a [Place])>,
    /// Everything found wrong, in the order of the check.
    pub wrong: Vec<Diagnostic>,
    /// What is chosen of each of the book's options.
    pub options: Options,
    /// Whether the book names pipes by DN.
    pub dn: bool,
}

impl<'a> Checker<'a> {
    pub fn new(path: &'a str, text: &'a str) -> Self {
        Checker {
            path,
            text,
            written: None,
            wrong: Vec::new(),
            options: Options::default(),
            dn: false,
        }
    }

    /// Reads a text that was put together; what is wrong with these rows of it is told where they
    /// stand in the text that the user wrote.
    pub fn put_together(path: &'a str, text: &'a str, own: &'a str, places: &'a [Place]) -> Self {
        Checker {
            written: Some((own, places)),
            ..Checker::new(path, text)
        }
    }

    /// The book's text.
    pub fn text(&self) -> &'a str {
        self.text
    }

    /// Notes one thing that is wrong at a byte range of the book's text.
    ///
    /// The span of a diagnostic is one of the job's text, and this is another file: so the place
    /// goes into `at` as path, line and column.
    pub fn says(
        &mut self,
        code: &'static str,
        name: &'static str,
        span: Range<usize>,
        message: String,
    ) {
        let (text, at) = match self.written {
            None => (self.text, span.start),
            Some((own, places)) => {
                let row = places.iter().find(|(row, _)| row.contains(&span.start));
                (own, row.map_or(0, |(_, at)| *at))
            }
        };
        let (line, column) = line_column(text, at);
        self.wrong.push(Diagnostic {
            at: format!("{}:{line}:{column}", self.path),
            ..Diagnostic::plain(code, name, Severity::Error, message)
        });
    }

    /// A pipe size of the trade's list.
    pub fn size(&mut self, said: Size, span: Range<usize>) -> Option<PipeSize> {
        let (size, words) = match said {
            Size::Inches(inches) => (PipeSize::from_inches(inches), format!("{inches} in")),
            Size::Dn(dn) => (PipeSize::from_dn(dn), format!("DN {dn}")),
        };
        if size.is_none() {
            let message = format!("{words} is not a nominal pipe size");
            self.says("B006", "book-size-unknown", span, message);
        }
        size
    }

    /// A number that may not be negative.
    pub fn positive(&mut self, value: f64, what: &str, span: Range<usize>) -> f64 {
        if value < 0.0 {
            let message = format!("{what} is {value}: a book has no negative figures");
            self.says("B004", "book-number-negative", span, message);
        }
        value
    }

    /// Provenance words; a row's, or the table's own.
    pub fn provenance(
        &mut self,
        words: Option<&str>,
        or: Provenance,
        span: Range<usize>,
    ) -> Provenance {
        let Some(words) = words else { return or };
        Provenance::from_words(words).unwrap_or_else(|| {
            let known: Vec<_> = Provenance::ALL.iter().map(|p| p.words()).collect();
            let message = format!(
                "`{words}` is not a provenance; one of: {}",
                known.join("; ")
            );
            self.says("B007", "book-provenance-unknown", span, message);
            or
        })
    }

    /// The head of a table.
    pub fn head<R>(&mut self, key: &str, raw: &toml::Spanned<RawTable<R>>) -> TableInfo {
        let table = raw.get_ref();
        for (what, text) in [
            ("section", &table.section),
            ("title", &table.title),
            ("unit", &table.unit),
        ] {
            if text.trim().is_empty() {
                let message = format!("[{key}] has no {what}");
                self.says("B005", "book-section-missing", raw.span(), message);
            }
        }
        let words = table.provenance.get_ref().as_str();
        let provenance = self.provenance(Some(words), Provenance::Memory, table.provenance.span());
        TableInfo {
            key: key.to_owned(),
            title: table.title.clone(),
            table: table.table.clone(),
            section: table.section.clone(),
            unit: table.unit.clone(),
            provenance,
            notes: table.notes.clone(),
            amended_by: table.amended_by.clone(),
            dn: self.dn,
        }
    }
}

/// Line and column of a byte offset, from one; the column counts characters.
pub fn line_column(text: &str, offset: usize) -> (usize, usize) {
    let mut end = offset.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = text.get(..end).unwrap_or("");
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (line, column)
}

/// A size the table does not have a row for.
pub fn no_row(info: &TableInfo, size: PipeSize, ends: &str) -> Beyond {
    info.beyond(format!(
        "{} has no row for {} pipe; {ends}",
        info.cite(),
        info.size(size)
    ))
}

/// Shorthand of the look-ups.
pub type Looked<T> = Result<Found<T>, Beyond>;
