use super::check::Checker;
use super::found::TableInfo;
use super::raw::{RawMethod, RawTable};
use super::{Book, Provenance};

/// One way to vent a trap.
#[derive(Clone, Debug, PartialEq)]
pub struct Method {
    /// In the trade's words (`wet vent`).
    pub word: String,
    /// Its section.
    pub section: String,
    /// Whether it may be proposed without the job allowing it.
    pub usual: bool,
    /// Whether its section was read in a source.
    pub provenance: Provenance,
}

/// The venting methods that a book has.
#[derive(Clone, Debug, PartialEq)]
pub struct Methods {
    /// Head of the table.
    pub info: TableInfo,
    /// All of them, in the order of the book.
    pub all: Vec<Method>,
}

impl Methods {
    /// The method of this word, if the book has it.
    pub fn get(&self, word: &str) -> Option<&Method> {
        self.all.iter().find(|m| m.word == word)
    }
    /// The methods that may be proposed without the job allowing them.
    pub fn usual(&self) -> impl Iterator<Item = &Method> {
        self.all.iter().filter(|m| m.usual)
    }
}

impl Book {
    /// The venting methods of the book, each with its section.
    pub fn methods(&self) -> &Methods {
        &self.methods
    }
}

pub(super) fn load_methods(
    check: &mut Checker,
    info: &TableInfo,
    raw: &toml::Spanned<RawTable<RawMethod>>,
) -> Methods {
    let mut all = Vec::new();
    for raw in &raw.get_ref().rows {
        let (span, r) = (raw.span(), raw.get_ref());
        if r.section.trim().is_empty() {
            let message = format!("`{}` has no section", r.word);
            check.says("B005", "book-section-missing", span.clone(), message);
        }
        all.push(Method {
            word: r.word.clone(),
            section: r.section.clone(),
            usual: r.usual,
            provenance: check.provenance(r.provenance.as_deref(), info.provenance, span),
        });
    }
    Methods {
        info: info.clone(),
        all,
    }
}
