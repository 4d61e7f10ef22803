//! The books themselves, and books that are wrong.

use std::path::Path;

use super::*;
use crate::units::{Fall, Flow, Length, Load, PipeSize};

const IPC: &str = include_str!("books/ipc-2021.toml");
const IRC: &str = include_str!("books/irc-2021.toml");
const UPC: &str = include_str!("books/upc-2021.toml");

fn size(inches: f64) -> PipeSize {
    PipeSize::from_inches(inches).expect("a size of the list")
}

fn book(id: &str) -> std::sync::Arc<Book> {
    Book::builtin(id).expect("a built-in book")
}

/// Codes and places of what is wrong with a changed book.
fn wrong(text: &str, from: &str, to: &str) -> Vec<(&'static str, String)> {
    assert!(text.contains(from), "nothing to change: {from}");
    let changed = text.replacen(from, to, 1);
    let wrong = load::read("town.toml", &changed, &[]).expect_err("a wrong book is refused");
    wrong.into_iter().map(|d| (d.code, d.at)).collect()
}

#[test]
fn built_in_books_read() {
    for id in Book::builtin_ids() {
        let text = super::open::text(id).expect("built in");
        // Under every choice of its options.
        let mut choices: Vec<Vec<String>> = vec![Vec::new()];
        for group in book(id).options().groups() {
            let with = |word: &String| {
                let word = word.clone();
                let add = move |c: &Vec<String>| [c.clone(), vec![word.clone()]].concat();
                choices.iter().map(add).collect::<Vec<_>>()
            };
            choices = group.all.iter().flat_map(with).collect();
        }
        for choice in &choices {
            if let Err(wrong) = load::read(id, text, choice) {
                panic!("{choice:?}: {wrong:#?}");
            }
        }
        assert_eq!(book(id).id(), *id);
    }
    assert!(Book::builtin("ipc-1900").is_none());
}

#[test]
fn every_table_has_section_unit_and_provenance() {
    for id in Book::builtin_ids() {
        let book = book(id);
        assert!(book.tables().len() >= 20, "{id}: {}", book.tables().len());
        for table in book.tables() {
            assert!(
                !table.title.is_empty() && !table.section.is_empty(),
                "{table:?}"
            );
            assert!(
                !table.unit.is_empty() && !table.provenance.words().is_empty(),
                "{table:?}"
            );
        }
        // No table of the file is missing from the list, and each states its provenance itself.
        let text = super::open::text(id).expect("built in");
        let file: toml::Table = toml::from_str(text).expect("TOML");
        for (key, value) in &file {
            if matches!(key.as_str(), "book" | "sections") {
                continue;
            }
            assert!(value.get("provenance").is_some(), "{id}: [{key}]");
            assert!(book.tables().iter().any(|t| t.key == *key), "{id}: [{key}]");
        }
    }
}

#[test]
fn provenance_of_a_cell_overrides_its_tables() {
    let ipc = book("ipc-2021");
    let at = |load, vent| ipc.stack_vent(size(5.0), Load::from_dfu(load), size(vent));
    let doubtful = at(1400.0, 3.0).expect("in the table");
    let read = at(1400.0, 4.0).expect("in the table");
    assert_eq!(doubtful.provenance, Provenance::Memory);
    assert_eq!(read.provenance, Provenance::Adoption);
    let irc = book("irc-2021");
    let drain = |fall| {
        let fall = Fall::from_inches_per_foot(fall);
        irc.building_drain(size(3.0), fall)
            .expect("in the table")
            .provenance
    };
    assert_eq!(drain(0.25), Provenance::SeenSecondHand);
    assert_eq!(drain(0.5), Provenance::Memory);
}

#[test]
fn a_found_figure_says_where_it_stands() {
    let found = book("irc-2021").branch(size(3.0)).expect("in the table");
    assert_eq!(found.cite(), "Table P3005.4.1");
    assert_eq!(found.place(), "3 in, any horizontal branch");
}

#[test]
fn round_percentages_count_only_where_the_book_gives_them() {
    let (two, quarter) = (Fall::from_percent(2.0), Fall::from_inches_per_foot(0.25));
    assert!(book("irc-2021").meets(two, quarter));
    assert!(!book("ipc-2021").meets(two, quarter));
    assert!(!book("irc-2021").meets(Fall::from_percent(1.9), quarter));
}

#[test]
fn more_baths_than_the_table_follow_its_note() {
    let irc = book("irc-2021");
    let baths = |halves| irc.baths(halves).map(|f| (f.value.dfu(), f.provenance));
    assert_eq!(baths(7), Some((11.0, Provenance::SeenSecondHand)));
    assert_eq!(baths(8), Some((12.0, Provenance::Memory)));
    assert_eq!(baths(9), Some((13.0, Provenance::Memory)));
    assert_eq!(baths(2), None);
    assert_eq!(book("ipc-2021").baths(7), None);
}

#[test]
fn an_unknown_kind_is_neither_found_nor_beyond() {
    for id in Book::builtin_ids() {
        let q = FixtureQuery {
            kind: "orrery",
            flow: Some(Flow::from_gpm(900.0)),
            ..FixtureQuery::default()
        };
        assert!(book(id).fixture(&q).is_none());
        assert!(book(id).fixture_beyond(&q).is_none());
    }
}

#[test]
fn vents_over_the_length_go_up_one_size() {
    let rule = book("irc-2021");
    let rule = rule.vent_rule();
    let at = |feet| rule.size(size(3.0), Some(Length::from_feet(feet)));
    assert_eq!(at(40.0), Some(size(1.5)));
    assert_eq!(at(40.1), Some(size(2.0)));
    assert_eq!(rule.size(size(3.0), None), Some(size(1.5)));
}

#[test]
fn wrong_books_are_refused_with_line_and_column() {
    let cases = [
        ("dfu = 3, trap = 2 }", "dfu = -3, trap = 2 }", "B004"),
        ("section = \"709.1\"", "section = \"\"", "B005"),
        ("dfu = 3, trap = 2 }", "dfu = 3, trap = 2.2 }", "B006"),
        (
            "provenance = \"seen second-hand\"",
            "provenance = \"hearsay\"",
            "B007",
        ),
        (
            "{ size = 2, is = [3] },",
            "{ size = 1.5, is = [3] },",
            "B003",
        ),
        ("for = \"branch\"", "for = \"twig\"", "B009"),
        ("is = [3, 2, 4, 8]", "is = [3, 2, 4]", "B010"),
        ("kinds = [\"bidet\"]", "kinds = [\"orrery\"]", "B011"),
        ("dfu = 1, trap = 1.25 },", "trap = 1.25 },", "B012"),
        (
            "horizontal_to_vertical = \"c\"",
            "horizontal_to_vertical = \"z\"",
            "B013",
        ),
        (
            "{ rule = \"spacing\", feet = 100",
            "{ rule = \"distance\", feet = 100",
            "B014",
        ),
        (
            "{ rule = \"spacing\", feet = 100",
            "{ rule = \"spacing\", inches = 1, feet = 100",
            "B012",
        ),
        (
            "cells = { \"from memory\" = [\"3\"] }",
            "cells = { \"from memory\" = [\"9\"] }",
            "B009",
        ),
        ("[wet_vent]", "[wet]", "B002"),
        ("title = ", "title == ", "B002"),
        (
            "id = \"ipc-2021\"",
            "id = \"town\"\namends = \"ipc-1821\"",
            "B001",
        ),
        ("dfu = 3, trap = 2 }", "dfu = nan, trap = 2 }", "B002"),
        ("fall = \"1/4\" }", "fall = \"1/0\" }", "B002"),
    ];
    for (from, to, code) in cases {
        let wrong = wrong(IPC, from, to);
        assert!(wrong.iter().any(|w| w.0 == code), "{to}: {wrong:?}");
        for (_, at) in wrong {
            let parts: Vec<_> = at.rsplitn(3, ':').collect();
            assert_eq!(parts.len(), 3, "{at}");
            assert!(
                parts
                    .iter()
                    .take(2)
                    .all(|n| n.parse::<usize>().is_ok_and(|n| n > 0))
            );
        }
    }
}

#[test]
fn a_wrong_row_is_named_by_its_own_line() {
    let line = 1 + IPC
        .lines()
        .position(|l| l.contains("[3, 2, 4, 8]"))
        .expect("the row");
    let wrong = wrong(IPC, "is = [3, 2, 4, 8]", "is = [3, -2, 4, 8]");
    assert_eq!(wrong, [("B004", format!("town.toml:{line}:3"))]);
}

#[test]
fn any_cut_of_a_book_is_refused_without_a_panic() {
    for end in (0..IRC.len())
        .step_by(211)
        .filter(|&e| IRC.is_char_boundary(e))
    {
        if let Ok(book) = load::read("cut", &IRC[..end], &[]) {
            // Only the sections at the end may be cut without harm.
            assert!(book.tables().len() >= 22, "{end}");
        }
    }
}

#[test]
fn opens_a_path_beside_the_job_and_says_what_is_missing() {
    let folder = std::env::temp_dir().join(format!("stackfall-book-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let town = folder.join("town.toml");
    std::fs::write(&town, IRC.replacen("irc-2021", "town", 1)).expect("a file");
    let book = Book::open("town.toml", &folder, &[]).expect("a book");
    assert_eq!(book.id(), "town");
    let beside_a_file = Book::open("./town.toml", &town, &[]).expect("a book");
    assert_eq!(beside_a_file.id(), "town");
    for said in ["irc-1999", "./none.toml", "./"] {
        let wrong = Book::open(said, &folder, &[]).expect_err("no such book");
        assert_eq!(wrong.first().map(|d| d.code), Some("B001"), "{said}");
    }
    std::fs::remove_dir_all(&folder).expect("removed");
    assert_eq!(
        Book::open("irc-2021", Path::new("/nowhere"), &[]).map(|b| b.id().to_owned()),
        Ok("irc-2021".to_owned())
    );
}

const TOWN: &str = include_str!("../../samples/books/fernwick.toml");

/// What the town changes is the town's, with its own citation; all else is the model code's.
#[test]
fn a_town_amends_a_book() {
    let town = load::read("fernwick.toml", TOWN, &[]).expect("the town's book reads");
    let ipc = book("ipc-2021");
    assert_eq!((town.id(), town.edition()), ("fernwick-2025", "2025"));
    let (id, changes) = town.amends().expect("it amends");
    assert_eq!(id, "ipc-2021");
    let keys: Vec<&str> = changes.iter().map(|c| c.key.as_str()).collect();
    assert_eq!(keys, ["slope", "fixtures", "cleanouts", "terminals"]);
    let fall = |b: &Book, inches: f64| b.least_fall(size(inches)).expect("a row");
    let three = fall(&town, 3.0);
    assert!(three.value.same(Fall::from_inches_per_foot(0.25)));
    assert_eq!(
        (three.cite(), three.provenance),
        ("Fernwick 7-12", Provenance::Amended)
    );
    assert!(
        fall(&town, 4.0)
            .value
            .same(Fall::from_inches_per_foot(0.125))
    );
    // Of a size that the town does not speak of the model code's row still holds.
    assert_eq!(fall(&town, 8.0), fall(&ipc, 8.0));
    let shower = |b: &Book, heads: Option<u32>| {
        let q = FixtureQuery {
            kind: "shower",
            heads,
            ..FixtureQuery::default()
        };
        let found = b.fixture(&q).expect("a row");
        (
            found.value.trap,
            found.value.trap_section.clone(),
            found.provenance,
        )
    };
    let six = shower(&town, Some(6));
    assert_eq!(
        six,
        (
            Some(size(3.0)),
            "Fernwick 7-15".to_owned(),
            Provenance::Amended
        )
    );
    assert_eq!(shower(&town, Some(5)), shower(&ipc, Some(5)));
    assert_eq!(shower(&town, None), shower(&ipc, None));
    assert!(town.cleanouts().base_of_stack.value);
    assert_eq!(town.cleanouts().base_of_stack.cite(), "Fernwick 7-18");
    let least = town.terminal().least.as_ref().expect("a rule");
    assert_eq!((least.value, least.cite()), (size(3.0), "Fernwick 7-31"));
    assert!(ipc.terminal().least.is_none());
    assert_eq!(town.branch(size(3.0)), ipc.branch(size(3.0)));
}

/// One cell of a grid: that alone is the town's.
#[test]
fn one_cell_can_be_amended() {
    let row = IPC
        .lines()
        .find(|l| l.contains("{ size = 3, is = [20,"))
        .expect("the branch row");
    let changed = row.trim().trim_end_matches(',').replace("[20,", "[18,");
    let text = format!(
        "[book]\namends = \"ipc-2021\"\nid = \"t\"\ntitle = \"T\"\n[branches_and_stacks]\nsection = \"T 1\"\nrows = [{changed}]\n"
    );
    let town = load::read("t.toml", &text, &[]).expect("it reads");
    let found = town.branch(size(3.0)).expect("in the table");
    assert_eq!((found.value.number(), found.cite()), (18.0, "T 1"));
    let (town, ipc) = (
        town.stack(size(3.0), 2),
        book("ipc-2021").stack(size(3.0), 2),
    );
    assert_eq!(town, ipc);
}

/// Each defect of an amendment is told at its own line of the town's file.
#[test]
fn a_wrong_amendment_is_told_at_its_own_line() {
    for (from, to, code) in [
        (
            "{ to = 3, fall = \"1/4\" }",
            "{ to = 3, fall = \"-1/4\" }",
            "B002",
        ),
        (
            "{ to = 3, fall = \"1/4\" }",
            "{ to = 3.7, fall = \"1/4\" }",
            "B006",
        ),
        ("section = \"Fernwick 7-18\"\n", "", "B005"),
        (
            "rule = \"base of each stack\"",
            "rule = \"foot of each stack\"",
            "B015",
        ),
        ("kinds = [\"shower\"]", "kinds = [\"orrery\"]", "B011"),
        ("amends = \"ipc-2021\"", "amends = \"ipc-1821\"", "B001"),
        (
            "rows = [{ rule = \"least",
            "columns = []\nrows = [{ rule = \"least",
            "B017",
        ),
    ] {
        assert!(TOWN.contains(from), "{from}");
        let changed = TOWN.replacen(from, to, 1);
        let wrong = load::read("t.toml", &changed, &[]).expect_err("a wrong amendment is refused");
        assert!(wrong.iter().any(|d| d.code == code), "{to}: {wrong:?}");
        let line = 1 + TOWN
            .find(from)
            .map_or(0, |i| TOWN[..i].matches('\n').count());
        // The row, or the table that lacks its section.
        let near = |at: &str| {
            let at: Vec<_> = at.rsplitn(3, ':').collect();
            at.get(1)
                .and_then(|l| l.parse::<usize>().ok())
                .is_some_and(|l| l.abs_diff(line) <= 2)
        };
        assert!(
            wrong.iter().any(|d| near(&d.at)),
            "{to}, line {line}: {wrong:?}"
        );
    }
    // Any cut of it is refused or read, and never panics.
    for end in (0..TOWN.len()).filter(|e| TOWN.is_char_boundary(*e)) {
        let _ = load::read("t.toml", &TOWN[..end], &[]);
    }
}

/// A book sizes vents by one length, or by a table of lengths; one that has neither is refused,
/// and so is one that counts closets in parts.
#[test]
fn what_stands_in_for_a_rule_is_checked_like_it() {
    let codes = |text: &str| -> Vec<&'static str> {
        let wrong = load::read("t", text, &[]).err().unwrap_or_default();
        wrong.iter().map(|d| d.code).collect()
    };
    assert_eq!(codes(UPC), Vec::<&str>::new());
    let (before, table) = UPC.split_once("[vent_lengths]").expect("a table of vents");
    let (_, after) = table.split_once("[terminals]").expect("the next table");
    assert_eq!(codes(&format!("{before}[terminals]{after}")), ["B014"]);
    let halves = UPC.replace("size = 3, is = [3, 4] }", "size = 3, is = [3.5, 4] }");
    assert_ne!(halves, UPC);
    assert_eq!(codes(&halves), ["B012"]);
}
