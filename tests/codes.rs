//! A code of a finding stands for one thing: whoever looks one up, waives one or filters by one
//! must not get two.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Whether a literal is a code: a letter and three figures.
fn is_code(word: &str) -> bool {
    let figures = |rest: &str| rest.len() == 3 && rest.chars().all(|c| c.is_ascii_digit());
    word.chars().next().is_some_and(|c| c.is_ascii_uppercase()) && figures(&word[1..])
}

/// Whether a literal is the name that stands beside a code.
fn is_name(word: &str) -> bool {
    word.contains('-') && word.chars().all(|c| c.is_ascii_lowercase() || c == '-')
}

/// The codes of a source text, each with the name that follows it.
fn named(text: &str) -> Vec<(String, String)> {
    let literals: Vec<&str> = text.split('"').collect();
    let follows = |w: &&[&str]| {
        let between: String = w[1].chars().filter(|c| !c.is_whitespace()).collect();
        is_code(w[0]) && is_name(w[2]) && matches!(between.as_str(), "," | ",name:")
    };
    let all = literals.windows(3).filter(follows);
    all.map(|w| (w[0].to_owned(), w[2].to_owned())).collect()
}

#[test]
fn a_code_stands_for_one_thing() {
    let mut files = Vec::new();
    sources(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
        &mut files,
    );
    let mut names: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for file in files {
        let text = std::fs::read_to_string(file).expect("a source");
        for (code, name) in named(&text) {
            names.entry(code).or_default().insert(name);
        }
    }
    assert!(names.len() > 60, "they are found: {}", names.len());
    let twice: Vec<_> = names.iter().filter(|(_, n)| n.len() > 1).collect();
    assert!(twice.is_empty(), "{twice:?}");
}
