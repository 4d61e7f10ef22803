use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::sync::{Arc, OnceLock};

use super::{Book, load};
use crate::diagnostics::{Diagnostic, Outcome, Severity};

/// The built-in books: id and text. The one list of them.
const BUILTIN: [(&str, &str); 4] = [
    ("ipc-2021", include_str!("books/ipc-2021.toml")),
    ("irc-2021", include_str!("books/irc-2021.toml")),
    ("upc-2021", include_str!("books/upc-2021.toml")),
    ("en-12056-2", include_str!("books/en-12056-2.toml")),
];
const IDS: [&str; BUILTIN.len()] = [BUILTIN[0].0, BUILTIN[1].0, BUILTIN[2].0, BUILTIN[3].0];
static PARSED: [OnceLock<Option<Arc<Book>>>; BUILTIN.len()] =
    [const { OnceLock::new() }; BUILTIN.len()];

/// No book is larger; a path that names something endless must not be read to its end.
const MOST_BYTES: u64 = 4 << 20;

/// The text of a built-in book.
pub(super) fn text(id: &str) -> Option<&'static str> {
    BUILTIN.iter().find(|b| b.0 == id).map(|b| b.1)
}

impl Book {
    /// A built-in book by its id, parsed once.
    pub fn builtin(id: &str) -> Option<Arc<Book>> {
        let at = BUILTIN.iter().position(|b| b.0 == id)?;
        let (name, text) = BUILTIN.get(at)?;
        // A test reads every built-in book, so none here means a book that was never tested.
        let parsed = PARSED.get(at)?;
        parsed
            .get_or_init(|| load::read(name, text, &[]).ok().map(Arc::new))
            .clone()
    }

    /// Ids of the built-in books.
    pub fn builtin_ids() -> &'static [&'static str] {
        &IDS
    }

    /// Opens what a job's `code` names: a built-in id, or a path to a whole book file.
    ///
    /// # Arguments
    /// `said`: the job's words. `beside`: the job's folder (or the job file itself); a relative
    /// path starts there. `options`: what the job chooses of the book's options.
    ///
    /// # Errors
    /// A book that is not there, that cannot be read, or everything that is wrong with its text,
    /// each with the book's path, line and column in `at`.
    pub fn open(said: &str, beside: &Path, options: &[String]) -> Outcome<Arc<Book>> {
        if let Some(text) = text(said).filter(|_| !options.is_empty()) {
            return load::read(said, text, options).map(Arc::new);
        }
        if let Some(book) = Book::builtin(said) {
            return Ok(book);
        }
        let looks_like_a_path = said.ends_with(".toml") || said.contains(['/', '\\']);
        if !looks_like_a_path {
            let help = format!(
                "built-in books: {}; or a path such as \"./ourtown.toml\"",
                IDS.join(", ")
            );
            let message = format!("there is no code book `{said}`");
            return Err(vec![not_found(said, message, help)]);
        }
        let folder = if beside.is_dir() {
            beside
        } else {
            beside.parent().unwrap_or(beside)
        };
        let path = folder.join(said);
        let text = read_file(&path).map_err(|why| {
            let message = format!("the code book `{said}` cannot be read: {why}");
            let help = format!("looked for it at {}", path.display());
            vec![not_found(said, message, help)]
        })?;
        load::read(said, &text, options).map(Arc::new)
    }
}

fn read_file(path: &Path) -> Result<String, String> {
    let about = std::fs::metadata(path).map_err(|e| e.to_string())?;
    if !about.is_file() {
        return Err("it is not a file".to_owned());
    }
    let file = File::open(path).map_err(|e| e.to_string())?;
    let mut bytes = Vec::new();
    file.take(MOST_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| e.to_string())?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(format!("it is larger than {} MiB", MOST_BYTES >> 20));
    }
    String::from_utf8(bytes).map_err(|_| "it is not UTF-8 text".to_owned())
}

fn not_found(said: &str, message: String, help: String) -> Diagnostic {
    Diagnostic {
        at: said.to_owned(),
        help: Some(help),
        ..Diagnostic::plain("B001", "book-not-found", Severity::Error, message)
    }
}
