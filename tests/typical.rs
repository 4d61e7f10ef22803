//! Storeys and stacks that are built alike are drawn once, and nothing is lost by it: what is not
//! drawn is said, with the same sizes and loads as when all is drawn.

mod common;

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;
use stackfall::pipeline::{Options, Run, run_text};
use stackfall::sheets::Role;

/// A tower of baths: `stacks` stacks of `floors` storeys; `more` goes under `[drawing]`.
fn tower(stacks: usize, floors: usize, more: &str, fixtures: &str) -> Run {
    let bank = r#""S1..S{n}" = { into = "main", station = "10'", each = "9'" }"#;
    stands(
        &bank.replace("{n}", &stacks.to_string()),
        stacks,
        floors,
        more,
        fixtures,
    )
}

/// The same with its stacks as they are written.
fn stands(bank: &str, stacks: usize, floors: usize, more: &str, fixtures: &str) -> Run {
    let drawing = format!("sheet = \"arch-d\"\n{more}");
    let text = common::tower_of_baths(bank, (stacks, floors), &drawing, fixtures);
    match run_text("tower", "tower.toml", &text, &Options::default()) {
        Ok(run) => run,
        Err(failure) => panic!("{:?}", failure.problems),
    }
}

/// Each pipe of a part of the result with what it says of size and load.
fn pipes(value: &Value) -> BTreeMap<String, (Value, Value)> {
    let all = value["pipes"].as_array().into_iter().flatten();
    all.map(|p| {
        let id = p["id"].as_str().unwrap_or_default().to_owned();
        (id, (p["size"].clone(), p["load"].clone()))
    })
    .collect()
}

/// The ids of what has a role on some sheet.
fn on_sheets(run: &Run, role: Role) -> BTreeSet<String> {
    let items = run.sheets.sheets.iter().flat_map(|s| &s.items);
    items
        .filter(|i| i.role == role)
        .map(|i| i.id.clone())
        .collect()
}

fn breaks(run: &Run) -> Vec<String> {
    let items = run.sheets.sheets.iter().flat_map(|s| &s.items);
    let broken = items.filter(|i| i.data.contains(&("kind", "break".to_owned())));
    let words = |i: &stackfall::sheets::Item| {
        let lines: Vec<&str> = i.texts.iter().map(|t| t.text.as_str()).collect();
        lines.join(" ")
    };
    broken.map(words).collect()
}

/// Drawn once or in full, each pipe has the same size and load; and each is drawn or said to be
/// built like something drawn, never both.
#[test]
fn nothing_is_lost() {
    let (once, full) = (tower(6, 9, "", ""), tower(6, 9, "in_full = true", ""));
    assert!(once.sheets.sheets.len() < full.sheets.sheets.len());
    let (r, whole) = (once.result(), full.result());
    assert!(whole["built_like"].is_null());
    let (drawn, like) = (pipes(&r), pipes(&r["built_like"]));
    assert!(like.len() > drawn.len(), "{} {}", like.len(), drawn.len());
    assert!(drawn.keys().all(|id| !like.contains_key(id)));
    let mut all = drawn.clone();
    all.extend(like);
    assert_eq!(all, pipes(&whole));
    let ids = on_sheets(&once, Role::Pipe);
    assert_eq!(ids, drawn.keys().cloned().collect::<BTreeSet<_>>());
    assert_eq!(
        on_sheets(&full, Role::Pipe),
        pipes(&whole).keys().cloned().collect::<BTreeSet<_>>()
    );
    // Fixtures likewise.
    let count = |v: &Value| v["fixtures"].as_array().map_or(0, Vec::len);
    assert_eq!(count(&r) + count(&r["built_like"]), count(&whole));
}

/// A break says which storeys it stands for, and the stack there what it carries at both ends.
#[test]
fn a_break_names_its_storeys() {
    let run = tower(6, 9, "", "");
    let words = breaks(&run);
    assert!(
        words
            .iter()
            .any(|w| w.contains(" TO ") && w.contains("AS FLOOR")),
        "{words:?}"
    );
    let labels = run.sheets.sheets.iter().flat_map(|s| &s.items);
    let labels = labels
        .filter(|i| i.role == Role::Label)
        .flat_map(|i| &i.texts);
    let both = |t: &str| t.contains(" TO ") && t.ends_with("DFU");
    assert!(labels.map(|t| t.text.as_str()).any(both));
    let tables = run.tables();
    let storeys = tables.iter().find(|t| t.name == "storeys").map(|t| &t.rows);
    let rows = storeys.map_or(0, Vec::len);
    let like = &run.result()["built_like"]["storeys"];
    assert!(rows > 0 && like.as_array().is_some_and(|l| !l.is_empty()));
}

/// A stack that carries one fixture more is drawn itself, and its storey too.
#[test]
fn what_differs_is_drawn() {
    let odd = r#"FD-9 = { kind = "floor drain", floor = "5", into = "S3", trap_seal = "primer" }"#;
    let odd = odd.replace(r#", trap_seal = "primer""#, "");
    let run = tower(6, 9, "", &odd);
    let symbols = on_sheets(&run, Role::Symbol);
    assert!(symbols.contains("FD-9"));
    let r = run.result();
    let stacks = r["built_like"]["stacks"]
        .as_array()
        .cloned()
        .unwrap_or_default();
    let named = |v: &Value| {
        v["stacks"]
            .as_array()
            .is_some_and(|s| s.contains(&"S3".into()))
    };
    assert!(!stacks.iter().any(named), "{stacks:?}");
    let storeys = r["built_like"]["storeys"]
        .as_array()
        .cloned()
        .unwrap_or_default();
    let floor = |v: &Value, key: &str| v[key].as_str().and_then(|s| s.parse::<usize>().ok());
    let over = storeys.iter().filter(|v| v["stack"] == "S3").any(|v| {
        let (first, last) = (floor(v, "first"), floor(v, "last"));
        first <= Some(5) && last >= Some(5)
    });
    assert!(!over, "{storeys:?}");
}

/// Stacks that differ in nothing but the way of an offset are not built alike.
#[test]
fn an_offset_the_other_way_is_no_likeness() {
    let stack = |n: usize, go: &str| {
        let offset = format!("{{ floor = \"4\", invert = \"-10in\", go = \"{go} 4'\", by = 90 }}");
        let station = 10 + 20 * n;
        format!("S{n} = {{ into = \"main\", station = \"{station}'\", offsets = [{offset}] }}")
    };
    let like = |ways: [&str; 3]| {
        let bank: Vec<String> = (1..).zip(ways).map(|(n, go)| stack(n, go)).collect();
        let run = stands(&bank.join("\n"), 3, 9, "", "");
        let value = run.result();
        let stacks = value["built_like"]["stacks"].as_array().cloned();
        let others = stacks.unwrap_or_default();
        let each = others
            .iter()
            .flat_map(|s| s["stacks"].as_array().cloned().unwrap_or_default());
        each.filter_map(|s| s.as_str().map(str::to_owned))
            .collect::<Vec<_>>()
    };
    assert_eq!(like(["east", "east", "east"]), ["S2", "S3"]);
    assert_eq!(like(["east", "west", "east"]), ["S3"]);
}

/// What fits one sheet is drawn in full, repeated or not.
#[test]
fn one_sheet_is_drawn_in_full() {
    let run = tower(1, 3, "", "");
    assert!(run.result()["built_like"].is_null());
    assert!(breaks(&run).is_empty());
}
