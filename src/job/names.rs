//! Names: their grammar, and the one table of what each stands for.

use std::collections::BTreeMap;

use super::keys::What;
use super::model::Target;
use super::problems::{NAME_USED_TWICE, Problems, RESERVED_NAME, UNREADABLE_NAME, Unread, shown};
use crate::diagnostics::{Span, line_column};

/// Names that the job file keeps for itself.
pub const RESERVED: [&str; 2] = ["exit", "roof"];

const LONGEST: usize = 32;
/// The most characters of a name that is made of a thing's, a stack's and a floor's: what can still
/// be lettered beside a pipe.
pub const LONGEST_MADE: usize = 48;
const GRAMMAR: &str = "expected 1 to 32 letters, digits, `-` and `_`";

/// Whether this can be the name of a thing.
pub fn check(name: &str) -> Result<(), Unread> {
    let fits = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    grammar(name, fits, GRAMMAR)?;
    reserved(name, &RESERVED)
}

/// Whether this can be the name of a floor. `roof` is the roof.
pub fn check_floor(name: &str) -> Result<(), Unread> {
    let fits = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_' || c == ' ';
    let help = "expected 1 to 32 letters, digits, `-`, `_` and spaces";
    grammar(name, fits, help)?;
    if name.trim() != name {
        let message = format!("`{}` begins or ends with a space", shown(name));
        return Err(Unread::new(UNREADABLE_NAME, message, help));
    }
    reserved(name, &["exit"])
}

fn grammar(name: &str, fits: impl Fn(char) -> bool, help: &str) -> Result<(), Unread> {
    if !name.is_empty() && name.len() <= LONGEST && name.chars().all(&fits) {
        return Ok(());
    }
    let help = match name.contains('@') {
        true => "names with `@` are those of copies, which `[repeat]` makes",
        false => help,
    };
    let message = match name.chars().find(|c| !fits(*c)) {
        Some(c) => format!("a name cannot hold `{}`", shown(&c.to_string())),
        None if name.is_empty() => "a name cannot be empty".to_owned(),
        None => format!("a name of {} characters is too long", name.len()),
    };
    Err(Unread::new(UNREADABLE_NAME, message, help))
}

fn reserved(name: &str, words: &[&str]) -> Result<(), Unread> {
    if !words.contains(&name) {
        return Ok(());
    }
    let message = format!("`{name}` is kept for the job file's own use");
    Err(Unread::new(RESERVED_NAME, message, "expected another name"))
}

/// What each name stands for.
#[derive(Debug, Default)]
pub struct Names {
    all: BTreeMap<String, (What, Option<Target>, usize, Span)>,
    /// In the order of the file's sections, for suggestions.
    order: Vec<(String, What)>,
}

impl Names {
    /// Adds a name; one that is taken is an error that shows the first place.
    pub fn add(
        &mut self,
        problems: &mut Problems,
        text: &str,
        name: &str,
        (what, target, index): (What, Option<Target>, usize),
        span: &Span,
    ) {
        if let Some((first, _, _, place)) = self.all.get(name) {
            let (line, _) = line_column(text, place.start);
            let message = format!(
                "`{}` is already {} (line {line})",
                shown(name),
                first.called()
            );
            let help = Some(
                "expected a name of its own: names are used once in the whole file".to_owned(),
            );
            problems.add(NAME_USED_TWICE, name, span.clone(), message, help);
            return;
        }
        self.all
            .insert(name.to_owned(), (what, target, index, span.clone()));
        self.order.push((name.to_owned(), what));
    }
    /// These names with those of another table behind them, but for those that are the same.
    pub fn over(&self, others: &Names) -> Names {
        let mut both = Names {
            all: self.all.clone(),
            order: self.order.clone(),
        };
        for (name, what) in &others.order {
            if let Some(known) = others.all.get(name)
                && !both.all.contains_key(name)
            {
                both.all.insert(name.clone(), known.clone());
                both.order.push((name.clone(), *what));
            }
        }
        both
    }
    /// What a name stands for: its kind, what can lead into it, and its index in its section.
    pub fn get(&self, name: &str) -> Option<(What, Option<Target>, usize)> {
        self.all
            .get(name)
            .map(|(what, target, index, _)| (*what, target.clone(), *index))
    }
    /// Names of these kinds, in the order of the file, that a word could have been meant for: those
    /// of copies only where it is one.
    pub fn of<'a>(&'a self, kinds: &'a [What], word: &str) -> impl Iterator<Item = &'a str> {
        let copies = word.contains('@');
        self.order
            .iter()
            .filter(move |(name, what)| kinds.contains(what) && name.contains('@') == copies)
            .map(|(name, _)| name.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grammar_of_names() {
        for name in ["S1", "WC-1", "bath_2", "1", &"a".repeat(32)] {
            assert!(check(name).is_ok(), "{name}");
        }
        for name in ["", "a b", "WC.1", "é", "a\u{0}", &"a".repeat(33)] {
            assert_eq!(
                check(name).map_err(|e| e.mistake.name),
                Err("unreadable-name"),
                "{name}"
            );
        }
        for name in ["exit", "roof"] {
            assert_eq!(
                check(name).map_err(|e| e.mistake.name),
                Err("reserved-name")
            );
        }
        assert!(check_floor("first floor").is_ok());
        assert!(check_floor("roof").is_ok());
        assert!(check_floor(" first").is_err());
    }
}
