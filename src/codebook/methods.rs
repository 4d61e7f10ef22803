use super::check::Checker;
use super::found::TableInfo;
use super::raw::{RawMethod, RawTable};
use super::{Book, Provenance};
use crate::catalogue;

/// One way to vent a trap.
#[derive(Clone, Debug, PartialEq)]
pub struct Method {
    /// In the trade's words (`wet vent`).
    pub word: String,
    /// Its section.
    pub section: String,
    /// Whether it may be proposed without the job allowing it.
    pub usual: bool,
    /// Whether the authority approves it first, job by job.
    pub approval: bool,
    /// The only kinds of fixture that it takes, in the catalogue's words; none: any.
    pub takes: Option<Vec<String>>,
    /// Kinds of fixture that it does not take.
    pub bars: Vec<String>,
    /// What a fixture that it takes may not have (`disposer`).
    pub without: Vec<String>,
    /// Whether its section was read in a source.
    pub provenance: Provenance,
}

impl Method {
    /// Why it does not take a fixture of this kind that has these things with it, in words.
    pub fn refuses(&self, kind: &str, with: &[String]) -> Option<String> {
        let barred = self.bars.iter().any(|k| k == kind);
        let taken = self
            .takes
            .as_ref()
            .is_none_or(|t| t.iter().any(|k| k == kind));
        if barred || !taken {
            return Some(format!("takes no {kind}"));
        }
        let has = self.without.iter().find(|w| with.contains(w))?;
        Some(format!("takes no {kind} with a {has}"))
    }

    /// Its section as it is printed beside a reason, and that it needs approval where the book
    /// asks for it.
    pub fn cite(&self) -> String {
        match self.approval {
            true => format!("{}, by prior approval", self.section),
            false => self.section.clone(),
        }
    }
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
        let kinds = r.takes.iter().flatten().chain(&r.bars);
        for kind in kinds.filter(|k| catalogue::kind(k).is_none_or(|c| c.word != k.as_str())) {
            let message = format!("`{kind}` is not a fixture kind of the catalogue");
            check.says("B011", "book-fixture-unknown", span.clone(), message);
        }
        all.push(Method {
            approval: r.approval,
            takes: r.takes.clone(),
            bars: r.bars.clone(),
            without: r.without.clone(),
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
