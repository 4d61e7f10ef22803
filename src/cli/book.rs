//! `stackfall book`: the code books, their tables, and what another book would change.

use std::path::Path;

use super::End;
use super::args::{BookArgs, BookCommand, DiffArgs, Form};
use super::failed::failed;
use super::table;
use super::terminal;
use crate::codebook::{Book, Printed, TableInfo};
use crate::diagnostics::{Diagnostic, render};
use crate::job::Source;
use crate::pipeline::{self, Solved};
use crate::sheets::Table;
use crate::sizing::PieceSize;
use crate::units::Printer;

pub(super) fn book(a: &BookArgs) -> End {
    match (&a.command, &a.book, &a.table) {
        (Some(BookCommand::Diff(d)), _, _) => diff(d),
        (None, None, _) => list(),
        (None, Some(book), None) => with(book, contents),
        (None, Some(book), Some(section)) => with(book, |b| print(b, section)),
    }
}

/// The books that are built in.
fn list() -> End {
    for id in Book::builtin_ids() {
        if let Some(book) = Book::builtin(id) {
            let (title, edition) = (book.title(), book.edition());
            terminal::out(&format!("{id}  {title} {edition}, {}\n", book.authority()));
        }
    }
    End::Clean
}

fn with(said: &str, does: impl FnOnce(&Book) -> End) -> End {
    match Book::open(said, Path::new("."), &[]) {
        Ok(book) => does(&book),
        Err(problems) => {
            told(&problems);
            End::Failed
        }
    }
}

fn told(problems: &[Diagnostic]) {
    terminal::err(&format!(
        "{}\n",
        render(problems, &Source::default(), false)
    ));
}

/// Every table of a book, with its section and where its figures come from.
fn contents(book: &Book) -> End {
    let row = |t: &TableInfo| {
        vec![
            t.section.clone(),
            t.table.clone().unwrap_or_else(|| "—".to_owned()),
            t.title.clone(),
            t.provenance.words().to_owned(),
        ]
    };
    let all = Table {
        head: ["Section", "Table", "Title", "Figures"]
            .map(str::to_owned)
            .to_vec(),
        rows: book.tables().iter().map(row).collect(),
        foot: options(book),
        ..Table::default()
    };
    table::print(&all, "tables", Form::Text);
    End::Clean
}

/// What a job chooses between, and how it says so.
fn options(book: &Book) -> Vec<String> {
    let groups = book.options().groups();
    let said = groups
        .iter()
        .map(|g| format!("one of {}", g.all.join(", ")));
    let mut foot: Vec<String> = said.collect();
    if !foot.is_empty() {
        foot.insert(
            0,
            "code_options of [job], the first of each if it says nothing:".to_owned(),
        );
    }
    foot
}

/// The tables of a section, as the book file has them.
fn print(book: &Book, section: &str) -> End {
    let found = book.printed(section);
    if found.is_empty() {
        terminal::err(&format!(
            "{} has no table or rule under `{section}`; `stackfall book {}` lists them\n",
            book.id(),
            book.id()
        ));
        return End::Failed;
    }
    for (i, t) in found.iter().enumerate() {
        if i > 0 {
            terminal::out("\n");
        }
        terminal::out(&head(t));
        let rows = Table {
            head: t.head.clone(),
            rows: t.rows.clone(),
            foot: t.info.notes.clone(),
            ..Table::default()
        };
        table::print(&rows, "rows", Form::Text);
    }
    End::Clean
}

fn head(t: &Printed) -> String {
    let info = &t.info;
    let number = info.table.as_ref().map(|n| format!("{n}, "));
    format!(
        "{}{} ({}), {}; {}\n",
        number.unwrap_or_default(),
        info.title,
        info.section,
        info.unit,
        info.provenance.words()
    )
}

/// The pipes of a job that another book would size otherwise.
fn diff(a: &DiffArgs) -> End {
    let under = |book: &str| pipeline::solve_under(&a.job, Some(book));
    let (one, other) = match (under(&a.one), under(&a.other)) {
        (Ok(one), Ok(other)) => (one, other),
        (Err(f), _) | (_, Err(f)) => return failed(&a.say, &f.problems, &f.source),
    };
    table::print(&differences(&one, &other), "differences", a.say.format);
    End::Clean
}

fn differences(one: &Solved, other: &Solved) -> Table {
    let print = Printer {
        units: one.job.units,
    };
    let (here, there) = (one.sizes(), other.sizes());
    let size = |s: Option<&PieceSize>| {
        let Some(s) = s else {
            return ["—".to_owned(), "—".to_owned(), String::new()];
        };
        let w = &s.working;
        let cite = w.table.as_ref().unwrap_or(&w.section);
        let code = s.code_size.map(|c| print.size_plain(c));
        let code = code.unwrap_or_else(|| "—".to_owned());
        [print.size_plain(s.size), code, cite.clone()]
    };
    let mut names: Vec<&String> = here.keys().chain(there.keys()).collect();
    names.sort();
    names.dedup();
    let rows = names.into_iter().filter_map(|id| {
        let (a, b) = (here.get(id), there.get(id));
        let key = |s: Option<&&PieceSize>| s.map(|s| (s.size, s.code_size));
        (key(a) != key(b)).then(|| {
            let (a, b) = (size(a.copied()), size(b.copied()));
            std::iter::once(id.clone()).chain(a).chain(b).collect()
        })
    });
    let rows: Vec<Vec<String>> = rows.collect();
    let foot = match rows.is_empty() {
        true => "every pipe has the same size, and the same least size, under both".to_owned(),
        false => format!("{} pipes differ", rows.len()),
    };
    let mut head = vec!["Pipe".to_owned()];
    for id in [one.book_id(), other.book_id()] {
        head.extend([id.to_owned(), format!("{id} min."), format!("{id} by")]);
    }
    Table {
        head,
        rows,
        foot: vec![foot],
        ..Table::default()
    }
}
