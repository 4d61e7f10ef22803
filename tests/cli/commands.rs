//! What the commands do.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::temp::Temp;
use crate::{sample, stackfall};

/// A copy of a sample under the name `cottage/job.toml`.
fn cottage(temp: &Temp) -> &'static str {
    let folder = temp.path().join("cottage");
    fs::create_dir_all(&folder).expect("a folder");
    fs::copy(sample("garden-cottage"), folder.join("job.toml")).expect("copied");
    "cottage/job.toml"
}

fn names(folder: &Path) -> BTreeSet<String> {
    let entries = fs::read_dir(folder)
        .expect("a folder")
        .filter_map(Result::ok);
    entries
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .collect()
}

fn text_of(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

#[test]
fn draws_a_set_into_output_and_its_name() {
    let temp = Temp::new("cli-draw");
    let job = cottage(&temp);
    let result = stackfall(temp.path())
        .args(["draw", job, "--dpi", "30"])
        .assert()
        .code(0);
    let said = text_of(&result.get_output().stdout);
    for wanted in [
        "Garden cottage",
        "6 fixtures",
        "dfu at the exit",
        "output/cottage",
        "P-901",
    ] {
        assert!(said.contains(wanted), "{wanted} is not in\n{said}");
    }
    assert!(said.lines().count() <= 24, "one screen:\n{said}");
    let folder = temp.path().join("output/cottage");
    let written = names(&folder);
    for wanted in [
        "cottage.pdf",
        "cottage-P-901.svg",
        "cottage-P-901.png",
        "cottage-fixtures.csv",
        "manifest.json",
    ] {
        assert!(written.contains(wanted), "{wanted} is not in {written:?}");
    }
    assert!(written.iter().all(|n| !n.starts_with('.')), "{written:?}");
    // Again: the same bytes.
    let before: Vec<Vec<u8>> = written
        .iter()
        .map(|n| fs::read(folder.join(n)).expect("it"))
        .collect();
    let result = stackfall(temp.path())
        .args(["draw", job, "--dpi", "30"])
        .assert()
        .code(0);
    let said = text_of(&result.get_output().stdout);
    assert!(
        said.contains(&format!("{} of them unchanged", written.len() - 1)),
        "{said}"
    );
    let after: Vec<Vec<u8>> = written
        .iter()
        .map(|n| fs::read(folder.join(n)).expect("it"))
        .collect();
    assert!(before == after, "drawn twice, something differs");
}

#[test]
fn draws_only_what_is_asked_for() {
    let temp = Temp::new("cli-only");
    let job = cottage(&temp);
    stackfall(temp.path())
        .args(["draw", job, "--only", "svg", "--out", "here"])
        .assert()
        .code(0);
    let written = names(&temp.path().join("here"));
    assert!(
        written
            .iter()
            .all(|n| n.ends_with(".svg") || n == "manifest.json"),
        "{written:?}"
    );
    assert!(!temp.path().join("output").exists());
}

#[test]
fn leaves_other_files_alone_unless_forced() {
    let temp = Temp::new("cli-force");
    let job = cottage(&temp);
    let pdf = temp.path().join("cottage.pdf");
    fs::write(&pdf, "mine").expect("written");
    let draw = ["draw", job, "--only", "pdf", "--out", "."];
    let result = stackfall(temp.path())
        .args(draw)
        .assert()
        .code(2)
        .stdout_eq("");
    let said = text_of(&result.get_output().stderr);
    assert!(
        said.contains("O001 not-our-file") && said.contains("--force"),
        "{said}"
    );
    assert_eq!(fs::read(&pdf).expect("it"), b"mine");
    stackfall(temp.path())
        .args(draw)
        .arg("--force")
        .assert()
        .code(0);
    assert!(fs::read(&pdf).expect("it").starts_with(b"%PDF"));
}

#[test]
fn prints_one_json_object() {
    let temp = Temp::new("cli-json");
    let job = cottage(&temp);
    let drawn = stackfall(temp.path()).args(["draw", job, "--only", "csv", "--format", "json"]);
    let drawn = drawn.assert().code(0).stderr_eq("");
    let drawn: Value = serde_json::from_slice(&drawn.get_output().stdout).expect("one object");
    let checked = stackfall(temp.path())
        .args(["check", job, "--format", "json"])
        .assert()
        .code(0);
    let checked: Value = serde_json::from_slice(&checked.get_output().stdout).expect("one object");
    for key in [
        "units", "pipes", "fixtures", "stacks", "exit", "findings", "sheets",
    ] {
        assert!(!drawn[key].is_null(), "{key}");
        assert_eq!(drawn[key], checked[key], "{key}");
    }
    assert_eq!(drawn["fixtures"].as_array().map(Vec::len), Some(6));
    assert_eq!(drawn["folder"], "output/cottage");
}

#[test]
fn findings_of_error_severity_end_with_1() {
    let temp = Temp::new("cli-findings");
    let text = fs::read_to_string(sample("mill-house")).expect("the sample");
    // A fall that no book allows.
    let steep = text.replacen("run = [", "fall = \"0.1%\", run = [", 1);
    assert_ne!(steep, text);
    fs::write(temp.path().join("flat.toml"), steep).expect("written");
    let result = stackfall(temp.path())
        .args(["check", "flat.toml"])
        .assert()
        .code(1);
    let said = text_of(&result.get_output().stdout);
    assert!(
        said.contains("slope-below-minimum") && said.contains("flat.toml:"),
        "{said}"
    );
    stackfall(temp.path())
        .args(["draw", "flat.toml", "--only", "csv"])
        .assert()
        .code(1);
}

#[test]
fn colour_is_for_those_who_ask() {
    let temp = Temp::new("cli-colour");
    let job = cottage(&temp);
    let said = |colour: &str| {
        let draw = ["draw", job, "--only", "csv", "--colour", colour];
        text_of(
            &stackfall(temp.path())
                .args(draw)
                .assert()
                .code(0)
                .get_output()
                .stdout,
        )
    };
    assert!(said("always").contains('\u{1b}'));
    assert!(!said("never").contains('\u{1b}'));
    assert!(!said("auto").contains('\u{1b}'), "not a terminal");
}

#[test]
fn tells_the_time_of_every_stage() {
    let temp = Temp::new("cli-timings");
    let job = cottage(&temp);
    let result = stackfall(temp.path())
        .args(["draw", job, "--only", "svg", "--timings"])
        .assert();
    let said = text_of(&result.code(0).get_output().stderr);
    for stage in [
        "job",
        "network",
        "proposals",
        "solve",
        "findings",
        "placement",
        "sheets",
        "svg",
        "all",
    ] {
        assert!(
            said.lines()
                .any(|l| l.starts_with(stage) && l.ends_with(" ms")),
            "{stage}: {said}"
        );
    }
}

#[test]
fn the_schema_is_json() {
    let temp = Temp::new("cli-schema");
    let result = stackfall(temp.path()).arg("schema").assert().code(0);
    let schema: Value = serde_json::from_slice(&result.get_output().stdout).expect("JSON");
    assert!(schema["properties"]["fixtures"].is_object());
}

#[test]
fn every_shell_is_completed() {
    let temp = Temp::new("cli-shells");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let result = stackfall(temp.path())
            .args(["completions", shell])
            .assert()
            .code(0);
        assert!(
            text_of(&result.get_output().stdout).contains("dpi"),
            "{shell}"
        );
    }
}

/// The figure that the whole job hangs on, and the room at its far end.
#[test]
fn levels_go_up_from_the_exit_with_their_room() {
    let temp = Temp::new("cli-levels");
    let run = stackfall(temp.path())
        .args(["levels", &sample("alder-court")])
        .assert()
        .code(0);
    let out = text_of(&run.get_output().stdout);
    let row = |place: &str| {
        let line = out.lines().find(|l| l.starts_with(place));
        let line = line.unwrap_or_else(|| panic!("no {place} in {out}"));
        line.split_whitespace()
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert!(row("exit").contains(&"-10′-8″".to_owned()));
    let head = row("Place");
    for word in ["Invert", "Room", "Bound"] {
        assert!(head.contains(&word.to_owned()), "{head:?}");
    }
    let json = stackfall(temp.path())
        .args(["levels", &sample("alder-court"), "--format", "json"])
        .assert()
        .code(0);
    let json: Value = serde_json::from_slice(&json.get_output().stdout).expect("JSON");
    assert_eq!(json["levels"][0]["place"], "exit");
    assert_eq!(json["levels"][0]["invert"], "-10′-8″");
}

#[test]
fn reach_tells_how_far_and_what_stops_it() {
    let temp = Temp::new("cli-reach");
    let result = stackfall(temp.path())
        .args(["reach", &sample("alder-court"), "--format", "json"])
        .assert()
        .code(0);
    let json: Value = serde_json::from_slice(&result.get_output().stdout).expect("JSON");
    let rows = json["reach"].as_array().expect("rows");
    let of = |laid: &str| {
        let row = rows
            .iter()
            .find(|r| r["drain"] == "bb" && r["laid"] == laid);
        row.unwrap_or_else(|| panic!("{laid} in {rows:?}")).clone()
    };
    assert_eq!(of("as it is")["stopped_by"], "outlet of LAV-5");
    assert_eq!(of("all at the least falls")["fall"], "1/4");
    let wrong = stackfall(temp.path())
        .args(["reach", &sample("alder-court"), "bx"])
        .assert()
        .code(2);
    let said = text_of(&wrong.get_output().stderr);
    assert!(
        said.contains("no drain `bx`") && said.contains("did you mean `bb`?"),
        "{said}"
    );
}

#[test]
fn why_prints_the_working_of_a_pipe() {
    let temp = Temp::new("cli-why");
    let job = sample("alder-court");
    let run = stackfall(temp.path())
        .args(["why", &job, "bath2.BT-1"])
        .assert()
        .code(0);
    let out = text_of(&run.get_output().stdout);
    // The wet vent of 2 in carries 4 dfu (IRC Table P3108.3), which is what drains through it.
    for wanted in [
        "4 dfu of 4 allowed",
        "Table P3108.3",
        "1½″ would not do",
        "2½″ would do",
        "from memory",
    ] {
        assert!(out.contains(wanted), "{wanted} is not in\n{out}");
    }
    let run = stackfall(temp.path())
        .args(["why", &job, "S1", "--format", "json"])
        .assert()
        .code(0);
    let json: Value = serde_json::from_slice(&run.get_output().stdout).expect("JSON");
    assert_eq!(json["pipes"].as_array().map(Vec::len), Some(3));
    let wrong = stackfall(temp.path())
        .args(["why", &job, "bath"])
        .assert()
        .code(2);
    assert!(text_of(&wrong.get_output().stderr).contains("did you mean `bath2`?"));
}

#[test]
fn books_are_listed_printed_and_compared() {
    let temp = Temp::new("cli-book");
    let out = |arguments: &[&str], code: i32| {
        let run = stackfall(temp.path()).args(arguments).assert().code(code);
        let both = run.get_output();
        text_of(&both.stdout) + &text_of(&both.stderr)
    };
    let list = out(&["book"], 0);
    assert!(
        list.contains("ipc-2021") && list.contains("irc-2021"),
        "{list}"
    );
    assert!(out(&["book", "irc-2021"], 0).contains("P3005.4.2"));
    // IPC Table 710.1(2): a 3 in horizontal branch carries 20 dfu.
    let table = out(&["book", "ipc-2021", "710.1(2)"], 0);
    let row = table.lines().find(|l| l.trim_start().starts_with("3 "));
    let cells: Vec<&str> = row.unwrap_or_default().split_whitespace().collect();
    assert_eq!(cells, ["3", "20", "20", "48", "72"], "{table}");
    assert!(out(&["book", "ipc-2021", "999"], 2).contains("no table or rule under `999`"));
    assert!(out(&["book", "ipc-1921"], 2).contains("there is no code book"));
    let town = format!("{}/samples/books/fernwick.toml", env!("CARGO_MANIFEST_DIR"));
    assert!(out(&["book", &town, "704.1"], 0).contains("amended"));
    let job = sample("quarry-flats");
    let differ = out(&["book", "diff", "ipc-2021", &town, &job], 0);
    // The town lets no vent through the roof smaller than 3 in.
    assert!(
        differ.contains("S1.vent.roof") && differ.contains("fernwick-2025"),
        "{differ}"
    );
    let same = out(&["book", "diff", "ipc-2021", "ipc-2021", &job], 0);
    assert!(same.contains("every pipe has the same size"), "{same}");
}

/// What was printed before is taken again: the same bytes of a job that was not edited; and what is
/// no result is refused in words, and nothing is written.
#[test]
fn draws_like_an_earlier_result() {
    let temp = Temp::new("cli-like");
    let job = cottage(&temp);
    let draw = |more: &[&str]| {
        let args = ["draw", job, "--only", "svg", "--format", "json"];
        stackfall(temp.path()).args(args).args(more).assert()
    };
    let first = draw(&["--out", "a"]).code(0);
    fs::write(temp.path().join("old.json"), &first.get_output().stdout).expect("written");
    draw(&["--out", "b", "--like", "old.json"]).code(0);
    let svg = |folder: &str| {
        let path = temp.path().join(folder).join("cottage-P-901.svg");
        fs::read_to_string(path).expect("a sheet")
    };
    assert_eq!(svg("a"), svg("b"));
    for (what, text) in [
        ("empty.json", ""),
        ("old.json", "{\"sheets\": []}"),
        ("deep.json", &"[".repeat(10_000)),
        ("other.json", "{\"drawing\": {\"form\": 1, \"from\": 7}}"),
    ] {
        fs::write(temp.path().join(what), text).expect("written");
        let said = draw(&["--out", "c", "--like", what]).code(2);
        let said: Value = serde_json::from_slice(&said.get_output().stdout).expect("JSON");
        assert_eq!(said["findings"][0]["code"], "P005", "{what}: {said}");
    }
    draw(&["--out", "c", "--like", "none.json"]).code(2);
    assert!(!temp.path().join("c").exists());
}
