//! Published figures and worked examples as data, each with its source.
//!
//! The cases are `tests/handbook/*.toml`, typed from the sources and not from the book files.
//! A case says what is asked and what it `is`; a case of a kind that nobody knows fails, and so
//! does one whose answer could be changed without being noticed.

#[path = "handbook/arithmetic.rs"]
mod arithmetic;
#[path = "handbook/case.rs"]
mod case;
mod common;
#[path = "handbook/flows.rs"]
mod flows;
#[path = "handbook/jobs.rs"]
mod jobs;
#[path = "handbook/laid.rs"]
mod laid;
#[path = "handbook/limits.rs"]
mod limits;
#[path = "handbook/lookups.rs"]
mod lookups;
#[path = "handbook/methods.rs"]
mod methods;
#[path = "handbook/recorded.rs"]
mod recorded;
#[path = "handbook/rules.rs"]
mod rules;

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use case::Case;

/// No source behind it, and said so.
const UNSOURCED: [&str; 2] = ["from memory", "common practice, no source"];

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/handbook")
}

/// The documents that cases may name, by key.
fn sources() -> BTreeMap<String, String> {
    let text = fs::read_to_string(folder().join("sources.toml")).expect("sources.toml");
    toml::from_str(&text).expect("sources.toml is a table of strings")
}

/// Every case of every file, with the file's name and its number.
fn cases() -> Vec<Case> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder())
        .expect("the folder of cases")
        .map(|entry| entry.expect("a file").path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .filter(|p| p.file_stem().is_some_and(|s| s != "sources"))
        .collect();
    files.sort();
    let mut cases = Vec::new();
    for path in files {
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        let text = fs::read_to_string(&path).expect("a case file");
        let file: toml::Table = toml::from_str(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
        let rows = file.get("cases").and_then(toml::Value::as_array);
        let rows = rows.unwrap_or_else(|| panic!("{name} has no `cases`"));
        assert_eq!(file.len(), 1, "{name} has keys beside `cases`");
        for (i, row) in rows.iter().enumerate() {
            let table = row
                .as_table()
                .unwrap_or_else(|| panic!("{name} {i}: no table"));
            cases.push(Case::new(format!("{name}, case {}", i + 1), table.clone()));
        }
    }
    cases
}

/// Runs one case: what it asks, against what it says it is.
fn run(case: &Case) -> Result<(), String> {
    let mut case = case.clone();
    let kind = case.text("kind")?;
    let answer = lookups::answer(&kind, &mut case)
        .or_else(|| rules::answer(&kind, &mut case))
        .or_else(|| arithmetic::answer(&kind, &mut case))
        .or_else(|| flows::answer(&kind, &mut case))
        .or_else(|| limits::answer(&kind, &mut case))
        .or_else(|| methods::answer(&kind, &mut case))
        .or_else(|| jobs::answer(&kind, &mut case))
        .or_else(|| laid::answer(&kind, &mut case))
        .unwrap_or_else(|| Err(format!("unknown kind of case `{kind}`")))?;
    case.compare(&answer)
}

#[test]
fn handbook() {
    let (cases, sources) = (cases(), sources());
    let mut wrong = Vec::new();
    let mut by_worth: BTreeMap<&str, usize> = BTreeMap::new();
    for case in &cases {
        if let Err(why) = run(case) {
            wrong.push(format!("{}: {why}", case.place));
        }
        let source = case.source();
        let key = source.split([' ', ',']).next().unwrap_or("");
        match UNSOURCED.iter().find(|u| **u == source) {
            Some(worth) => *by_worth.entry(worth).or_default() += 1,
            None if sources.contains_key(key) => *by_worth.entry("sourced").or_default() += 1,
            None => wrong.push(format!("{}: no such source: `{source}`", case.place)),
        }
    }
    println!("handbook: {} cases {by_worth:?}", cases.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(cases.len() >= 60, "only {} cases", cases.len());
}

/// A case that would pass with another answer checks nothing.
#[test]
fn a_wrong_answer_is_noticed_in_every_case() {
    let idle: Vec<String> = cases()
        .iter()
        .filter(|case| run(&case.with_a_wrong_answer()).is_ok())
        .map(|case| case.place.clone())
        .collect();
    assert!(idle.is_empty(), "{idle:?}");
}

#[test]
fn an_unknown_kind_or_key_fails() {
    let table = |text: &str| toml::from_str(text).expect("a table");
    let unknown_kind = table("kind = \"phase of the moon\"\nis = 1\nsource = \"from memory\"");
    assert!(run(&Case::new(String::new(), unknown_kind)).is_err());
    let known =
        "kind = \"branch\"\nbook = \"ipc-2021\"\nsize = 3\nis = 20\nsource = \"from memory\"\n";
    assert!(run(&Case::new(String::new(), table(known))).is_ok());
    let unknown_key = format!("{known}colour = 1");
    assert!(run(&Case::new(String::new(), table(&unknown_key))).is_err());
}
